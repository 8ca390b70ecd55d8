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
