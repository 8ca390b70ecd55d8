"""A sheet of one choice as a PDF file, as a draft or accepted by a named practitioner."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from leeward.exchange.field_types import (
    LONGEST_LINE,
    LONGEST_PROSE,
    Refusal,
    checked_line,
    with_letters,
)
from leeward.exchange.new_file import check_folder, need_folder, replace_whole
from leeward.exchange.plan_file import StoredPlan
from leeward.exchange.plan_folder import REVIEW_AFTER_DAYS
from leeward.exchange.sheet import bedside_sheet
from leeward.exchange.sheet_identity import Acceptance, SheetIdentity, programme_digest
from leeward.exchange.sheet_plan import plan_document
from leeward.programme.acceptance import cannot_accept, in_the_way
from leeward.programme.decision import Choice
from leeward.terms.errors import InvalidInput
from leeward.terms.person import SignedReason
from leeward.terms.verdict import Reason

#: A version beyond this is a date or a slip of the hand. Convention of this project. [-]
LARGEST_VERSION = 999
#: Nobody can say that a programme holds longer than this. Convention of this project. [day]
LONGEST_TO_REVIEW = 400


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """What sheet is wanted.

    Parameters
    ----------
    choice : Choice
        Of which choice.
    author : str
        Who answers for it.
    today : date
        Day of printing.
    review_on : date or None
        Last day it is valid; None: a week from today.
    version : int
        Version of the person's programme.
    accept_reason : str
        The author's reason for accepting it; empty for a draft.
    is_whole_plan : bool
        The two-page plan instead of the bedside sheet.
    """

    choice: Choice
    author: str
    today: date
    review_on: date | None
    version: int
    accept_reason: str
    is_whole_plan: bool

    @property
    def valid_to(self) -> date:
        """The last day it is valid."""
        return self.review_on or self.today + timedelta(days=REVIEW_AFTER_DAYS)


def nothing_kept(content: bytes) -> None:
    """Keep no record of a sheet."""
    del content


def write_sheet(
    path: Path,
    stored: StoredPlan,
    order: SheetOrder,
    keep: Callable[[bytes], None] = nothing_kept,
) -> tuple[Reason, ...]:
    """Write a sheet; return what forbids accepting it, and then write nothing.

    Parameters
    ----------
    path : Path
        The PDF file.
    stored : StoredPlan
        The plan it is made from.
    order : SheetOrder
        What sheet is wanted.
    keep : callable
        Given the sheet's bytes before they are written: no sheet may hang at a bed that the
        record does not know.

    Returns
    -------
    tuple of Reason
        What forbids accepting it; empty when it was written.

    Raises
    ------
    InvalidInput
        If the order cannot be met, or no record could be kept.
    """
    _check_order(path, order)
    refused = refusals(stored, order)
    if refused:
        return refused
    accepted = None
    if order.accept_reason.strip():
        signed = SignedReason(order.author, order.today, order.accept_reason)
        accepted = Acceptance(signed, programme_digest(order.choice))
    identity = SheetIdentity(
        person_label=stored.case.person.label,
        version=order.version,
        author=order.author,
        review_on=order.valid_to,
        accepted=accepted,
    )
    make = plan_document if order.is_whole_plan else bedside_sheet
    content = make(stored.decision, order.choice, day=stored.case.day, identity=identity)
    need_folder(path)
    check_folder(path.parent)
    keep(content)
    replace_whole(path, content)
    return ()


def _check_order(path: Path, order: SheetOrder) -> None:
    if path.suffix.lower() != ".pdf":
        # A slip of the hand must not put a sheet in the place of a plan or a case.
        raise InvalidInput(
            "a sheet under the name of another kind of file",
            where=str(path),
            expected="a name that ends in .pdf",
            remedy="choose such a name",
        )
    _check_numbers(order)
    given = (
        ("author", order.author, LONGEST_LINE),
        ("reason", order.accept_reason, LONGEST_PROSE),
    )
    for field, text, longest in given:
        if not text.strip():
            continue  # no author is refused with the sheet; no reason makes a draft
        try:
            with_letters(checked_line(text, longest))
        except Refusal as refusal:
            raise InvalidInput(
                refusal.what,
                where=f"sheet, {field}",
                expected=refusal.expected,
                remedy=refusal.remedy,
            ) from refusal


def _check_numbers(order: SheetOrder) -> None:
    last = order.today + timedelta(days=LONGEST_TO_REVIEW)
    if order.review_on is not None and not order.today <= order.review_on <= last:
        raise InvalidInput(
            f"review on {order.review_on}, where today is {order.today}",
            where="sheet, review date",
            expected=f"a day from today to {last}, {LONGEST_TO_REVIEW} days ahead",
            remedy="correct the date, or leave it out for a week from today",
        )
    if not 1 <= order.version <= LARGEST_VERSION:
        raise InvalidInput(
            f"version {order.version}",
            where="sheet, version",
            expected=f"1 to {LARGEST_VERSION}, counted from the person's first programme",
            remedy="correct the version",
        )


def refusals(stored: StoredPlan, order: SheetOrder) -> tuple[Reason, ...]:
    """Everything that forbids accepting a choice; nothing forbids a draft."""
    if not order.accept_reason.strip():
        return ()
    # Asked of the case once more: a plan file may bear the right digests and still be forged.
    tasks = order.choice.programme.tasks
    open_questions = cannot_accept(stored.case, tasks, stored.decision.made_at)
    closest = Reason(
        "does-not-qualify",
        "This programme does not reach the regime compared: it cannot be accepted, only used as "
        "a start for a plan with the turns and offloading by hand that it lacks.",
    )
    return (
        *dict.fromkeys((*in_the_way(stored.decision.cannot_accept, tasks), *open_questions)),
        *order.choice.recheck,
        *(() if order.choice.assessment.qualifies else (closest,)),
    )
