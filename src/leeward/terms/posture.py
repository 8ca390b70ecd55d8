"""A posture: how the surface and the bed are set and what props the person up."""

from dataclasses import dataclass
from enum import StrEnum

from leeward.terms.site import Side
from leeward.terms.units import deg_from_radians


class Support(StrEnum):
    """Something that props a part of the person in one posture."""

    PILLOW_UNDER_CALVES = "pillow under calves"
    PILLOW_BETWEEN_KNEES = "pillow between knees"
    BOLSTER_LEFT = "bolster along the left side"
    BOLSTER_RIGHT = "bolster along the right side"
    LEG_BLOCK_LEFT = "night posture block along the left leg"
    LEG_BLOCK_RIGHT = "night posture block along the right leg"
    TRUNK_BLOCK_LEFT = "night posture block along the left of the trunk"
    TRUNK_BLOCK_RIGHT = "night posture block along the right of the trunk"

    @property
    def side(self) -> Side | None:
        """The person's side it stands along; None for what has no side."""
        return _SIDES.get(self)

    @property
    def is_block(self) -> bool:
        """Whether it is a night posture block, which holds only as well as it is fixed."""
        return self in BLOCKS


_SIDES = {
    Support.BOLSTER_LEFT: Side.LEFT,
    Support.BOLSTER_RIGHT: Side.RIGHT,
    Support.LEG_BLOCK_LEFT: Side.LEFT,
    Support.LEG_BLOCK_RIGHT: Side.RIGHT,
    Support.TRUNK_BLOCK_LEFT: Side.LEFT,
    Support.TRUNK_BLOCK_RIGHT: Side.RIGHT,
}

#: Night posture supports: what each is fixed to is written under the bed.
BLOCKS = (
    Support.LEG_BLOCK_LEFT,
    Support.LEG_BLOCK_RIGHT,
    Support.TRUNK_BLOCK_LEFT,
    Support.TRUNK_BLOCK_RIGHT,
)


class Place(StrEnum):
    """Where the person is: only loads in bed are modelled."""

    BED = "in bed"
    CHAIR = "out in a chair"
    ELSEWHERE = "elsewhere"


@dataclass(frozen=True, slots=True)
class Posture:
    """One posture.

    Parameters
    ----------
    turn : float
        Signed tilt of the surface under the trunk; positive: the person is turned
        towards their own left, their right side is raised. [rad]
    backrest : float
        Angle of the back section above level. [rad]
    knee_raise : float
        Angle of the thigh section above level. [rad]
    head_up : float
        Tilt of the whole bed, head end up positive. [rad]
    supports : frozenset of Support
        Props used in this posture.
    place : Place
        In bed, or out of it.
    """

    turn: float = 0.0
    backrest: float = 0.0
    knee_raise: float = 0.0
    head_up: float = 0.0
    supports: frozenset[Support] = frozenset()
    place: Place = Place.BED

    @property
    def turned_to(self) -> Side | None:
        """The side the person is turned towards; None when level."""
        if self.turn == 0.0:
            return None
        return Side.LEFT if self.turn > 0.0 else Side.RIGHT

    @property
    def raised_side(self) -> Side | None:
        """The side that is raised; None when level."""
        side = self.turned_to
        return None if side is None else side.other

    def with_turn(self, turn: float) -> "Posture":
        """Return the same posture at another turn.

        Parameters
        ----------
        turn : float
            Signed tilt of the surface. [rad]

        Returns
        -------
        Posture
            A copy.
        """
        # not by `replace`, which takes ten times as long: tables of movements make thousands
        return Posture(
            turn, self.backrest, self.knee_raise, self.head_up, self.supports, self.place
        )


def turn_in_words(turn: float) -> str:
    """Say a turn so that it cannot be read both ways.

    Parameters
    ----------
    turn : float
        Signed tilt, positive towards the person's own left. [rad]

    Returns
    -------
    str
        Words naming the side turned to, the side raised and the angle.

    Examples
    --------
    >>> from leeward.terms.units import radians_from_deg
    >>> turn_in_words(radians_from_deg(20.0))
    'turned to the left 20°, right side raised'
    >>> turn_in_words(0.0)
    'level'
    """
    degrees = round(deg_from_radians(abs(turn)), 1)
    if degrees == 0.0:
        return "level"
    side = Side.LEFT if turn > 0.0 else Side.RIGHT
    return f"turned to the {side.value} {degrees:g}°, {side.other.value} side raised"
