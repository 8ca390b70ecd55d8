"""What was found at the bed: where the unit lies, and how far bed and surface may move."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import (
    Group,
    Line,
    Refusal,
    Towards,
    TowardsWord,
    Words,
)
from leeward.terms.case import Placement
from leeward.terms.limits import Limit
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.units import metres_from_mm, radians_from_deg


class LimitedMovement(StrEnum):
    """A movement that something at the bed may limit."""

    TURN_TO_LEFT = "turn to the left"
    TURN_TO_RIGHT = "turn to the right"
    BACKREST = "backrest"


class PlacementFields(Group):
    """Where the unit's line was found under the body."""

    line_towards: Annotated[
        TowardsWord, Field(description="Which way the line lies from the body's mid-line.")
    ]
    line_offset_mm: Annotated[
        float, Field(ge=0, le=500, description="How far; leave out when in the middle.")
    ] = 0.0
    measured_by: Annotated[Line, Field(description="Who measured it.")]

    @model_validator(mode="after")
    def _side_and_distance_agree(self) -> Self:
        if (self.line_towards is Towards.MIDDLE) != (self.line_offset_mm == 0.0):
            raise Refusal(
                f"{self.line_offset_mm:g} mm towards {self.line_towards.value}",
                expected="a distance with a side, or `middle` without one",
                remedy="correct line_towards or line_offset_mm",
            )
        return self

    def record(self) -> Placement:
        """The record the other rooms use."""
        offset = self.line_towards.sign * metres_from_mm(self.line_offset_mm)
        return Placement(line_offset=offset, measured_by=self.measured_by)


class FittedLimitFields(Group):
    """A largest movement found at this bed: rails, hoses, slack, edge."""

    of: Annotated[LimitedMovement, Words(), Field(description="Which movement.")]
    largest_deg: Annotated[float, Field(ge=0, le=90, description="How far it may go.")]
    found_by: Annotated[Line, Field(description="Who found it, and what limits it.")]

    def record(self) -> Limit:
        """The record the other rooms use."""
        return Limit(radians_from_deg(self.largest_deg), "rad", self.found_by)


def posture_limits(entries: Iterable[FittedLimitFields]) -> PostureLimits:
    """Sort written limits by what they limit.

    Parameters
    ----------
    entries : iterable of FittedLimitFields
        As written.

    Returns
    -------
    PostureLimits
        The record the other rooms use.
    """
    found: dict[LimitedMovement, list[Limit]] = {movement: [] for movement in LimitedMovement}
    for entry in entries:
        found[entry.of].append(entry.record())
    return PostureLimits(
        turn_left=tuple(found[LimitedMovement.TURN_TO_LEFT]),
        turn_right=tuple(found[LimitedMovement.TURN_TO_RIGHT]),
        backrest=tuple(found[LimitedMovement.BACKREST]),
    )
