"""Bodies laid down for the checks of mechanics, on invented beds."""

from dataclasses import replace

import numpy as np

from leeward.contact.balance import Balance, Lying, find_balance
from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.pose import Pose
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.setting import Room, lay_down, make_room, with_anchors
from leeward.contact.stand import Stand
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture

MAN = Body(stature=1.756, mass=80.0, sex=Sex.MALE)
LEVEL = Posture()
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
WHOLE = replace(SPLIT, kind=SurfaceKind.WHOLE)


def room_of(
    body: Body, surface: SurfaceGeometry | None, count: int = 1, friction: float | None = None
) -> Room:
    """A body with the first few scenarios; all with one friction if it is given."""
    scenarios = corner_scenarios(Bed(), surface, body)[:count]
    if friction is not None:
        scenarios = tuple(replace(scenario, friction=friction) for scenario in scenarios)
    return make_room(body, Bed(), surface, scenarios)


def turned(room: Room, degrees: float, posture: Posture = LEVEL) -> Stand:
    """The body turned along its path."""
    level = raise_sections(room, posture, settle_level(room, posture))
    return follow_turns(room, posture, level, np.radians([degrees]))[0]


def lying_of(room: Room, stand: Stand, posture: Posture = LEVEL) -> Lying:
    """The bed and body of a stand, with its anchors."""
    return with_anchors(lay_down(room, posture, stand.turn, stand.which), stand.anchors)


def balance_of(room: Room, stand: Stand, posture: Posture = LEVEL) -> Balance:
    """What acts on the body of a stand."""
    return find_balance(lying_of(room, stand, posture), stand.pose)


def moved(pose: Pose, unknown: int, by: float) -> Pose:
    """A pose with one unknown changed."""
    change = np.zeros((len(pose.place), 45))
    change[:, unknown] = by
    return pose.moved(change)
