"""Every check against the outside: what leeward computes beside what was published or measured.

Run as `make accuracy`. Prints a line for each and writes `docs/explanation/accuracy.md`. It judges
nothing. With `PEOPLE=FOLDER` before it, other people's maps in the form of `tests/data/pmatdata`
take the place of the seven kept, and the page is left alone.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

import numpy as np

from bench.accuracy_change import change_told_checks
from bench.accuracy_contact import closed_form_checks, mujoco_checks, pressure_checks
from bench.accuracy_maps import KEPT, folder
from bench.accuracy_people import Check, beside, between, people_checks
from bench.accuracy_raised import raised_side_checks
from bench.start_contact import adults
from leeward.contact.anthropometry import body_dimensions
from leeward.contact.layout import lay_out
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import INDEX, mass_fractions
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import PASCAL_PER_MMHG, radians_from_deg
from leeward.tissue.curves import human_curve, rat_curve

PAGE: Final = Path(__file__).parent.parent / "docs" / "explanation" / "accuracy.md"
#: What stands above it on the page is written by hand and kept.
MARK: Final = "<!-- below: written by make accuracy -->"
SPLIT: Final = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
MAN: Final = Body(1.756, 80.0, Sex.MALE)

_ANSUR: Final = "ANSUR II 2012, medians"
_DE_LEVA: Final = "de Leva 1996, Table 4"
_MEDIANS: Final = {
    "man": (Body(1.755, 84.6, Sex.MALE), (0.344, 0.509, 0.253, 0.234, 0.246)),
    "woman": (Body(1.626, 66.8, Sex.FEMALE), (0.353, 0.450, 0.245, 0.209, 0.231)),
}
_DIMENSIONS: Final = (
    "hip_breadth",
    "shoulder_breadth",
    "chest_depth",
    "waist_depth",
    "buttock_depth",
)
_HUMAN_MMHG: Final = {1: 555, 2: 299, 3: 181, 4: 120, 6: 64, 8: 41, 12: 21}
_RAT_KPA: Final = {15: 31.0, 60: 30.9, 90: 23.6, 95: 19.5, 110: 10.2, 120: 8.5, 240: 8.0}


def body_checks() -> Iterator[Check]:
    """Sizes and masses of the body."""
    for who, (body, medians) in _MEDIANS.items():
        found = body_dimensions(body)
        for name, median in zip(_DIMENSIONS, medians, strict=True):
            mine = 1e3 * getattr(found, name)
            yield beside(f"{name}_{who}_mm", mine, 1e3 * median, "mm", _ANSUR)
        layout = lay_out(body)
        centre = float(mass_fractions(body.sex) @ layout.mass_centre[:, 1]) / body.stature
        yield beside(f"mass_centre_{who}", 0.530 + centre, 0.555, "of stature", _DE_LEVA)


def lying_checks() -> Iterator[Check]:
    """A body lying level and turned on a split surface."""
    postures = (Posture(), Posture(turn=radians_from_deg(30.0)))
    scenarios = corner_scenarios(Bed(), SPLIT, MAN)[:1]
    table = posture_loads(LoadRequest(MAN, Bed(), SPLIT, postures, scenarios))
    for part, roll in (("pelvis", table.pelvis_roll_room), ("thorax", table.thorax_roll_room)):
        less = 30.0 - float(np.degrees(roll[0, 1]))
        source = "Woodhouse et al 2015, 10 people, automated against manual"
        yield between(f"roll_less_than_surface_{part}_deg", less, (9.4, 11.5), "deg", source)
    shares = []
    for body in adults():
        scenarios = corner_scenarios(Bed(), SPLIT, body)[:1]
        level = posture_loads(LoadRequest(body, Bed(), SPLIT, postures[:1], scenarios))
        shares.append(100.0 * level.segment_share[0, 0, INDEX["head"]])
    for name, value in (
        ("head_share_pct", np.median(shares)),
        ("head_share_lowest_pct", min(shares)),
        ("head_share_highest_pct", max(shares)),
    ):
        source = f"{_DE_LEVA}, a head bears its own weight; 200 adults of NHANES"
        yield between(name, float(value), (6.0, 9.0), "% of load", source)


def tissue_checks() -> Iterator[Check]:
    """Curves of pressure against time."""
    for hours, mmhg in _HUMAN_MMHG.items():
        mine = float(human_curve(3600.0 * hours)) / PASCAL_PER_MMHG
        source = "Linares, Mawson, Suarez 2012, Table 1, as quoted"
        yield beside(f"human_curve_{hours}_h_mmhg", mine, mmhg, "mmHg", source)
    for minutes, kpa in _RAT_KPA.items():
        mine = float(rat_curve(60.0 * minutes)) / 1e3
        source = "Linder-Ganz et al 2006, sigmoid, as quoted"
        yield beside(f"rat_curve_{minutes}_min_kpa", mine, kpa, "kPa", source)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.3g}"


def printed(checks: Iterable[Check]) -> list[Check]:
    """Print each check as soon as it is known."""
    found = []
    for check in checks:
        theirs, error = _number(check.theirs) or "-", _number(check.error) or "-"
        print(
            f"{check.name} ours {check.ours:.4g} theirs {theirs} error {error} "
            f"{check.unit} [{check.source}]",
            flush=True,
        )
        found.append(check)
    return found


def table_of(checks: list[Check]) -> str:
    """Checks as a table of the page."""
    rows = [
        f"| `{c.name}` | {_number(c.ours)} | {_number(c.theirs)} | {_number(c.error)} "
        f"| {c.unit} | {c.source} |"
        for c in checks
    ]
    return "\n".join(
        ["| check | ours | theirs | error | unit | source |", "|---|--:|--:|--:|---|---|", *rows]
    )


def main() -> None:
    """Print every check and write the page."""
    parts = {
        "Real people on a pressure mat": printed(people_checks()),
        "How much of one person's change can be told": printed(change_told_checks()),
        "The raised side": printed(raised_side_checks()),
        "The body": printed(body_checks()),
        "Lying": printed(lying_checks()),
        "Limits and foam in closed form": printed(closed_form_checks()),
        "Beside another program": printed(mujoco_checks()),
        "Pressures others measured": printed(pressure_checks()),
        "Curves of pressure and time": printed(tissue_checks()),
    }
    if folder() != KEPT:
        return
    kept, mark, _ = PAGE.read_text().partition(MARK)
    tables = [f"## {title}\n\n{table_of(checks)}" for title, checks in parts.items()]
    PAGE.write_text("\n\n".join([kept.strip(), mark, *tables]) + "\n")


if __name__ == "__main__":
    main()
