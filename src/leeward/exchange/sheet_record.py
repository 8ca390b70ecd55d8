"""A sheet kept in a record: the whole plan, who answers for it, why, and what was printed."""

import hashlib
from datetime import datetime
from pathlib import Path

from leeward import __version__
from leeward.exchange.plain_file import read_text
from leeward.exchange.plan_file import LARGEST, StoredPlan
from leeward.exchange.record_store import keep_entry
from leeward.exchange.sheet_file import SheetOrder
from leeward.exchange.sheet_identity import programme_digest
from leeward.records.canonical import plain_from_json
from leeward.records.entry import Entry
from leeward.terms.errors import InvalidInput


def keep_sheet(
    folder: Path, plan_file: Path, stored: StoredPlan, order: SheetOrder, sheet: bytes, at: datetime
) -> Entry:
    """Keep a sheet in a record, with the whole plan it was made from.

    Parameters
    ----------
    folder : Path
        The record.
    plan_file : Path
        The plan's file.
    stored : StoredPlan
        The plan as it was read from there.
    order : SheetOrder
        What sheet was wanted.
    sheet : bytes
        The sheet.
    at : datetime
        Now; aware.

    Returns
    -------
    Entry
        An acceptance where the order gives a reason to accept, else a draft.

    Raises
    ------
    InvalidInput
        If the plan's file was changed since it was read, or the record takes no entry.
    """
    plan = plain_from_json(read_text(plan_file, LARGEST, "a plan file").encode("utf-8"))
    if not isinstance(plan, dict) or plan.get("decision_digest") != stored.decision_digest:
        raise InvalidInput(
            "the plan was changed while the sheet was made",
            where=str(plan_file),
            expected="the plan as it was read",
            remedy="print the sheet again",
        )
    reason = order.accept_reason.strip()
    body = {
        "plan": plan,
        "choice": order.choice.name.value,
        "programme_digest": programme_digest(order.choice),
        "version": order.version,
        "review_on": order.valid_to.isoformat(),
        "accepted_because": reason or None,
        "is_whole_plan": order.is_whole_plan,
        "sheet_sha256": hashlib.sha256(sheet).hexdigest(),
        "leeward": __version__,
    }
    kind = "sheet accepted" if reason else "sheet drafted"
    return keep_entry(folder, body, at=at, author=order.author, kind=kind)
