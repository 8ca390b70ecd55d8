"""Invented bodies and beds that the tests of this room share."""

import math

from leeward.contact.loads import LoadRequest
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture

MAN = Body(stature=1.756, mass=80.0, sex=Sex.MALE)
WOMAN = Body(stature=1.60, mass=58.0, sex=Sex.FEMALE)
BENT = Body(
    stature=1.63,
    mass=61.0,
    sex=Sex.FEMALE,
    rest_angles=RestAngles(0.6, 0.8, 0.9, 0.5, windswept=0.3, trunk_side_bend=0.2),
)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
UNDESCRIBED = Bed()
WHOLE = SurfaceGeometry(SurfaceKind.WHOLE, 1.9, 0.85, 0.06, 0.15, 12.0)


def turned(degrees: float, **others: object) -> Posture:
    """A posture at a turn in degrees."""
    return Posture(turn=math.radians(degrees), **others)


def request(
    body: Body,
    surface: SurfaceGeometry | None,
    postures: tuple[Posture, ...],
    scenarios: int = 1,
    bed: Bed = UNDESCRIBED,
) -> LoadRequest:
    """A request with the first few scenarios."""
    found = corner_scenarios(bed, surface, body)[:scenarios]
    return LoadRequest(body, bed, surface, postures, found)
