"""A sheet kept in a record: the whole plan, who answers for it, why, and what was printed."""

import hashlib
from datetime import datetime
from pathlib import Path

from leeward import __version__
from leeward.exchange.plan_file import StoredPlan
from leeward.exchange.record_store import keep_entry
from leeward.exchange.sheet_file import SheetOrder
from leeward.exchange.sheet_identity import programme_digest
from leeward.records.entry import Entry


def keep_sheet(
    folder: Path, stored: StoredPlan, order: SheetOrder, sheet: bytes, at: datetime
) -> Entry:
    """Keep a sheet in a record, with the whole plan it was made from.

    Parameters
    ----------
    folder : Path
        The record.
    stored : StoredPlan
        The plan.
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
        If the record takes no entry.
    """
    reason = order.accept_reason.strip()
    body = {
        "plan": stored.written,
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
