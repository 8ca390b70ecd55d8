"""How fast the lying body is solved, and where along the body its load lies.

Run as `python -m bench.contact_timing`. Prints; judges nothing.
"""

import statistics
import time
from collections.abc import Callable

import numpy as np

from leeward.contact.balance import find_balance
from leeward.contact.continuation import settle_level
from leeward.contact.equilibrium import settle
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.pose import joint_places
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.setting import anchored, first_pose, lay_down, make_room, with_anchors
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg

MAN = Body(1.756, 80.0, Sex.MALE)
BENT = Body(1.63, 61.0, Sex.FEMALE, rest_angles=RestAngles(0.6, 0.8, 0.9, 0.5, windswept=0.3))
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
WHOLE = SurfaceGeometry(SurfaceKind.WHOLE, 1.9, 0.85, 0.06, 0.15, 12.0)
TURNS = [radians_from_deg(angle) for angle in range(-40, 45, 5)]

NAMES = ("head", "upper trunk", "waist", "pelvis", "thighs", "calves and feet")
#: Ends of bands along the body from the crown, fraction of stature. Where the bands of the mean
#: maps below were cut is not known: two plausible cuts show how much that decides.
CUTS = ((0.14, 0.32, 0.40, 0.54, 0.71, 2.0), (0.14, 0.30, 0.40, 0.58, 0.72, 2.0))
#: Mean of seven healthy volunteers lying supine, % of load: pressure maps of the public set
#: "A Pressure Map Dataset for In-bed Posture Classification" (PhysioNet pmd 1.0.0, ODC-By).
PEOPLE = (6.1, 25.6, 13.6, 36.1, 6.5, 12.1)


def seconds(work: Callable[[], object], runs: int) -> float:
    """Median of several runs after one that warms up."""
    work()
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def one_balance() -> Callable[[], object]:
    """Settling one body level, from its layout."""
    room = make_room(MAN, Bed(), SPLIT, corner_scenarios(Bed(), SPLIT, MAN)[:1])
    lying = lay_down(room, Posture(), np.zeros(1), np.zeros(1, dtype=np.intp))
    pose = first_pose(lying)
    ready = anchored(lying, pose, joint_places(pose, room.figure.link)[0], release=True)
    return lambda: settle(ready, pose, 1.0)


def person(body: Body, surface: SurfaceGeometry, backrest: float = 0.0) -> Callable[[], object]:
    """Seventeen scenarios at level and eight turns a side, and one backrest if asked."""
    postures = [Posture(turn=turn) for turn in TURNS]
    if backrest:
        postures.append(Posture(backrest=backrest))
    scenarios = corner_scenarios(Bed(), surface, body)
    asked = LoadRequest(body, Bed(), surface, tuple(postures), scenarios)
    return lambda: posture_loads(asked)


def bands(body: Body, cuts: tuple[float, ...]) -> list[float]:
    """Share of the load in each band along a body lying supine. [%]"""
    room = make_room(body, Bed(), SPLIT, corner_scenarios(Bed(), SPLIT, body)[:1])
    stand = settle_level(room, Posture())
    lying = with_anchors(lay_down(room, Posture(), stand.turn, stand.which), stand.anchors)
    balance = find_balance(lying, stand.pose)
    touch = balance.touches[0]
    along = balance.joint[0, touch.segment, 1] + touch.arm[1]
    from_crown = (1.0 - 0.530) - along / body.stature
    force = touch.pressure * touch.facing
    share, low = [], -1.0
    for high in cuts:
        share.append(100.0 * force[(from_crown > low) & (from_crown <= high)].sum() / force.sum())
        low = high
    return share


def main() -> None:
    """Print the figures."""
    print(f"one level balance {1e3 * seconds(one_balance(), 25):.1f} ms")
    for name, work in (
        ("split, symmetric", person(MAN, SPLIT)),
        ("split, contracted", person(BENT, SPLIT)),
        ("whole, symmetric", person(MAN, WHOLE)),
        ("split, symmetric, and backrest 30", person(MAN, SPLIT, radians_from_deg(30.0))),
    ):
        print(f"whole person, {name} {seconds(work, 3):.2f} s")
    for cuts in CUTS:
        found = bands(Body(1.75, 75.0, Sex.MALE), cuts)
        print(f"bands ending at {cuts[:-1]}: model / people, % of load, supine")
        for name, model, people in zip(NAMES, found, PEOPLE, strict=True):
            print(f"  {name} {model:.1f} / {people}")
        print(f"  mean difference {np.mean(np.abs(np.array(found) - PEOPLE)):.1f} points")


if __name__ == "__main__":
    main()
