"""What several parts of a case hold: a practitioner's signed reason, a turn with its side."""

from typing import Annotated

from pydantic import AfterValidator, Field

from leeward.exchange.field_types import (
    Day,
    Group,
    Line,
    Prose,
    Refusal,
    TurnedTo,
    with_letters,
)
from leeward.terms.person import SignedReason
from leeward.terms.units import radians_from_deg


class SignedReasonFields(Group):
    """Who decided something, when, and why in their own words."""

    by: Annotated[
        Line, AfterValidator(with_letters), Field(description="Name and role of the practitioner.")
    ]
    when: Annotated[Day, Field(description="Date, year-month-day.")]
    reason: Annotated[
        Prose,
        AfterValidator(with_letters),
        Field(min_length=1, description="The reason, in their own words."),
    ]

    def record(self) -> SignedReason:
        """The record the other rooms use."""
        return SignedReason(by=self.by, when=self.when, reason=self.reason)


def _not_left_blank(signed: SignedReasonFields | None) -> SignedReasonFields | None:
    # A default is not checked: None here was written, as a line that nobody filled in.
    if signed is None:
        raise Refusal(
            "a signature left blank",
            expected="`by`, `when` and `reason` of a named practitioner",
            remedy="let them sign, or take the line out",
        )
    return signed


#: A signature, or no line at all.
Signature = Annotated[SignedReasonFields | None, AfterValidator(_not_left_blank)]


def signed_turn(turned_to: TurnedTo, turn_deg: float) -> float:
    """Turn a written side and angle into a signed turn.

    Parameters
    ----------
    turned_to : TurnedTo
        Side, or level.
    turn_deg : float
        How far. [deg]

    Returns
    -------
    float
        Positive towards the person's own left. [rad]

    Raises
    ------
    Refusal
        If a side comes without an angle, or an angle without a side.
    """
    if turned_to is TurnedTo.LEVEL and turn_deg != 0.0:
        raise Refusal(
            f"level, yet turned {turn_deg:g} degrees",
            expected="`turned_to: left` or `right` with an angle, or `level` without one",
            remedy="correct turned_to or turn_deg",
        )
    if turned_to is not TurnedTo.LEVEL and turn_deg == 0.0:
        raise Refusal(
            f"turned to the {turned_to.value} without an angle",
            expected="`turn_deg` above 0 for a turn to a side",
            remedy="add turn_deg, or write `turned_to: level`",
        )
    return turned_to.sign * radians_from_deg(turn_deg)
