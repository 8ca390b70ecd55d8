"""What the body would do with the line of a split surface elsewhere under it, in words."""

from leeward.contact.load_table import LoadTable
from leeward.exchange.load_summary import STATE_WORDS
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.units import deg_from_radians, radians_from_deg

#: How far the line is moved to each side to show what its place does.
LINE_MOVED_MM = 50.0


def line_moved_words(moved: LoadTable, posture: Posture) -> tuple[str, str]:
    """Say what each of two places of the line would do.

    Parameters
    ----------
    moved : LoadTable
        The posture with the line further to the person's left, then to their right.
    posture : Posture
        Which.

    Returns
    -------
    tuple of two str
        One sentence for each.
    """
    number = moved.position(posture)
    left, right = (
        f"with the line {LINE_MOVED_MM:.0f} mm further to the person's {side}: "
        f"{_words(moved, draw, number)}"
        for draw, side in enumerate(("left", "right"))
    )
    return left, right


def _words(moved: LoadTable, draw: int, number: int) -> str:
    state = EquilibriumState(int(moved.state[draw, number]))
    if state is not EquilibriumState.STABLE:
        return STATE_WORDS[state]
    roll = round(deg_from_radians(float(moved.pelvis_roll_room[draw, number])))
    return f"the pelvis would be {turn_in_words(radians_from_deg(roll))}"


def set_and_rolled(table: LoadTable, moved: LoadTable | None, posture: Posture) -> str:
    """Say side by side what the surface is set to and what the body does, also with its line aside.

    Parameters
    ----------
    table : LoadTable
        The posture, central draw first.
    moved : LoadTable or None
        The posture with the line further to the person's left, then to their right; None where
        there is no line.
    posture : Posture
        Which.

    Returns
    -------
    str
        One sentence; empty where the posture is level or its central draw is not stable.
    """
    number = table.position(posture)
    if posture.turn == 0.0 or table.state[0, number] != EquilibriumState.STABLE:
        return ""
    roll = float(table.pelvis_roll_room[0, number])
    said = f"You set {_degrees(posture.turn)}; this body rolls {_degrees(roll, posture.turn)}"
    if moved is None:
        return f"{said}."
    column = moved.position(posture)
    aside = f"with the line {LINE_MOVED_MM / 10.0:.0f} cm further to the person's"
    left, right = (_would(moved, draw, column, posture.turn) for draw in (0, 1))
    if left.startswith("roll"):
        right = right.removeprefix("roll ")
    return f"{said}; {aside} left it would {left}, to their right {right}."


def _would(moved: LoadTable, draw: int, column: int, towards: float) -> str:
    if moved.state[draw, column] != EquilibriumState.STABLE:
        return "not rest there"
    return f"roll {_degrees(float(moved.pelvis_roll_room[draw, column]), towards)}"


def _degrees(angle: float, towards: float | None = None) -> str:
    """Whole degrees; with both sides in words where the body rolls against the turn."""
    whole = round(deg_from_radians(abs(angle)))
    if whole and towards is not None and angle * towards < 0.0:
        rolled = turn_in_words(radians_from_deg(whole if angle > 0.0 else -whole))
        return f"against it, {rolled}"
    return f"{whole}°"
