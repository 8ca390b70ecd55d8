"""Which sheet this is: whose, which version, by whom, until when, and who accepted what."""

from dataclasses import dataclass
from datetime import date

from leeward.programme.decision import Choice, Decision
from leeward.records.canonical import digest
from leeward.terms.errors import InvalidInput
from leeward.terms.person import SignedReason


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A named practitioner's acceptance of one programme.

    Parameters
    ----------
    signed : SignedReason
        Who, when and why.
    programme_digest : str
        Digest of the programme they accepted.
    """

    signed: SignedReason
    programme_digest: str


@dataclass(frozen=True, slots=True)
class SheetIdentity:
    """What every printed page bears.

    Parameters
    ----------
    person_label : str
        Pseudonymous label.
    version : int
        Version of this person's programme, from 1; it replaces the one before.
    author : str
        Who answers for the sheet.
    review_on : date
        Last day the sheet is valid.
    accepted : Acceptance or None
        None while it is a draft.
    """

    person_label: str
    version: int
    author: str
    review_on: date
    accepted: Acceptance | None = None


def programme_digest(choice: Choice) -> str:
    """Digest of what is accepted: the whole programme, and nothing else."""
    return digest(choice.programme)


def check_identity(decision: Decision, choice: Choice, identity: SheetIdentity) -> None:
    """Refuse a sheet that would print something other than what was decided or accepted."""
    made_at = decision.made_at
    accepted = identity.accepted
    faults = (
        (
            choice not in decision.choices,
            "a choice that is not among those decided",
            "one of the decision's choices",
        ),
        (
            accepted is not None and accepted.programme_digest != programme_digest(choice),
            "an acceptance of another programme",
            "the digest of the programme to be printed",
        ),
        (identity.version < 1, f"version {identity.version}", "1 or more"),
        (not identity.person_label.strip(), "no label for the person", "a label"),
        (not identity.author.strip(), "no author", "the name and role of who answers for it"),
        (made_at.tzinfo is None, "a decision without time zone", "an aware time"),
        (
            identity.review_on < made_at.date(),
            f"review on {identity.review_on}, before the decision of {made_at.date()}",
            "a later day",
        ),
    )
    for is_wrong, what, expected in faults:
        if is_wrong:
            raise InvalidInput(
                what, where="sheet", expected=expected, remedy="put it right and print again"
            )
