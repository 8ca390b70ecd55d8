"""What a pressure mat would show under the model lying as the people of the maps lay.

The wedge lies on the mat: what the body presses on the raised side reaches the mat through the
wedge, which is stiffer than what it lies on and prints its whole length.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bench.accuracy_maps import Print
from leeward.contact.balance import find_balance
from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.scenarios import Arms, corner_scenarios
from leeward.contact.segments import INDEX
from leeward.contact.setting import Room, lay_down, make_room, with_anchors
from leeward.contact.skin_contact import Touch
from leeward.contact.stand import Stand
from leeward.terms.bed import Bed
from leeward.terms.body import Body
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg

Array = NDArray[np.float64]

#: The wedges: as steep as the label says.
WEDGE: Final = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
#: How far the thin edge lies beyond the mid-line, on the low side. The label is the roll of the
#: body, which rolls less than what lifts it: from here the pelvis rolls by 30 degrees at 30. [m]
UNDER_THE_BODY: Final = 0.06
#: Ends of the two wedges' prints below the middle of the head's print, seen in the maps. [m]
WEDGE_ENDS: Final = (0.135, 0.755, 1.295)


@dataclass(frozen=True, slots=True)
class Laying:
    """How the people are taken to have lain.

    Parameters
    ----------
    under : float
        How far the wedge's thin edge lies beyond the mid-line. [m]
    arms : Arms
        Arms of the turned body; supine they lie out at the sides, as the maps show.
    """

    under: float = UNDER_THE_BODY
    arms: Arms = Arms.ON_TRUNK


@lru_cache(maxsize=64)
def _room(body: Body, laying: Laying | None) -> Room:
    """The body on an undescribed foam mattress with the likeliest friction."""
    central = corner_scenarios(Bed(), WEDGE, body)[0]
    if laying is None:
        lying = replace(central, arms=Arms.FORWARD)
    else:
        lying = replace(central, arms=laying.arms, line_offset=laying.under)
    return make_room(body, Bed(), WEDGE, (lying,))


@lru_cache(maxsize=64)
def _level(body: Body, laying: Laying | None) -> Stand:
    return settle_level(_room(body, laying), Posture())


def _touch(room: Room, stand: Stand, posture: Posture) -> tuple[Touch, Array]:
    """Skin in contact and its places (3, m)."""
    lying = with_anchors(lay_down(room, posture, stand.turn, stand.which), stand.anchors)
    balance = find_balance(lying, stand.pose)
    touch = balance.touches[0]
    return touch, balance.joint[0, touch.segment].T + touch.arm


def _force_on_bed(touch: Touch) -> Array:
    """Force of each point of skin on the bed (3, m)."""
    sheared = touch.shear[0] * touch.value.tangent[0] + touch.shear[1] * touch.value.tangent[1]
    return np.asarray(touch.facing * (touch.pressure * touch.value.gradient - sheared))


def _below_head(along: Array, load: Array, segment: NDArray[np.intp], stature: float) -> Array:
    head = segment == INDEX["head"]
    middle = float(along[head] @ load[head] / load[head].sum()) if load[head].sum() else 0.0
    return np.asarray((middle - along) / stature)


def print_raised(body: Body, backrest_deg: float = 0.0) -> Print:
    """What the mat shows supine; with a backrest it bends with the mattress."""
    room, posture = _room(body, None), Posture(backrest=radians_from_deg(backrest_deg))
    stand = raise_sections(room, posture, _level(body, None))
    touch, _ = _touch(room, stand, posture)
    load = touch.facing * touch.pressure
    below = _below_head(touch.value.place[1], load, touch.segment, body.stature)
    return Print(below, touch.value.place[0], load)


def print_turned(body: Body, turn_deg: float, laying: Laying) -> Print | None:
    """What the mat shows under a body turned on wedges; None where it finds no rest."""
    room, posture = _room(body, laying), Posture()
    turn = np.array([radians_from_deg(turn_deg)])
    stand = follow_turns(room, posture, _level(body, laying), turn)[0]
    if stand.state[0] != EquilibriumState.STABLE:
        return None
    touch, place = _touch(room, stand, posture)
    force = _force_on_bed(touch)
    # the bed bears no tension: skin hanging on by friction alone is left out
    down = np.maximum(-force[2], 0.0)
    slope = force[:2] / np.where(down > 0.0, down, np.inf)
    across, along = place[:2] + place[2] * slope
    below = _below_head(along, down, touch.segment, body.stature)
    rise = touch.value.gradient[0] / np.sin(radians_from_deg(turn_deg))
    on_wedge = np.clip(np.abs(rise), 0.0, 1.0) * (below * body.stature > WEDGE_ENDS[0])
    on_wedge *= below * body.stature < WEDGE_ENDS[-1]
    direct = Print(below, across, down * (1.0 - on_wedge))
    return _with_wedges(direct, down * on_wedge, body.stature)


def _with_wedges(direct: Print, on_wedge: Array, stature: float) -> Print:
    """Add the wedges' prints: each spreads its load evenly over its length and keeps its middle."""
    below, across, load = [direct.below], [direct.across], [direct.load]
    for start, end in pairwise(WEDGE_ENDS):
        along = direct.below * stature
        mine = on_wedge * ((along > start) & (along <= end))
        total = float(mine.sum())
        if total <= 0.0:
            continue
        centre, half = 0.5 * (start + end), 0.5 * (end - start)
        tilt = np.clip((float(mine @ along) / total - centre) / half, -1 / 3, 1 / 3)
        part = (np.arange(40) + 0.5) / 20.0 - 1.0
        share = (1.0 + 3.0 * tilt * part) / len(part)
        below.append(np.asarray((centre + half * part) / stature))
        middle = float(mine @ direct.across) / total
        across.append(np.asarray(middle * np.ones_like(part)))
        load.append(np.asarray(total * share))
    return Print(np.concatenate(below), np.concatenate(across), np.concatenate(load))
