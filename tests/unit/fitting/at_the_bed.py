"""Cases with their fit sheets, as the tests of this room take them."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from leeward.exchange.case_file import read_case
from leeward.exchange.fit_file import bundled_bed, read_fit_sheet
from leeward.fitting.fit import Fitting, fit
from leeward.fitting.mechanism import Mechanism
from leeward.terms.case import Case, Placement
from leeward.terms.equipment import SurfaceKind
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.unit_layout import Pivot

EXAMPLES = Path(__file__).parent.parent.parent.parent / "examples"


@cache
def fitted(name: str) -> Case:
    """An example with its fit sheet."""
    case = read_case(EXAMPLES / "cases" / f"{name}.yaml").case
    return replace(case, fit_sheet=read_fit_sheet(EXAMPLES / "fitting" / f"{name}.yaml"))


@cache
def found_at(name: str) -> Fitting:
    """What is found at the bed of an example."""
    return fit(fitted(name))


@cache
def all_measured() -> Case:
    """The small woman on rails that tilt, with everything measured; one turn to each side."""
    case = fitted("small-bent-hips")
    bed = bundled_bed("tilting-rails")
    platform = replace(bed.platform, largest_backrest=0.35, largest_knee_raise=0.35)
    sheet = replace(sheet_of(case), bed=replace(bed, platform=platform))
    assert case.equipment is not None
    ability = replace(
        case.equipment.ability, smallest_turn=0.3, largest_turn_left=0.3, largest_turn_right=0.3
    )
    return replace(
        case,
        equipment=replace(case.equipment, ability=ability),
        bed=replace(
            case.bed,
            rails=sheet.bed.rails,
            rails_travel_with_surface=True,
            safe_working_load=sheet.bed.safe_working_load,
        ),
        placement=Placement(0.0, "Example therapist C"),
        fit_sheet=sheet,
    )


def sheet_of(case: Case) -> FitSheet:
    """The fit sheet of a case that has one."""
    assert case.fit_sheet is not None
    return case.fit_sheet


def mechanism(
    bed: str = "frame-rails",
    kind: SurfaceKind = SurfaceKind.SPLIT,
    pivot: Pivot = Pivot.MIDDLE,
    half_width: float = 0.45,
) -> Mechanism:
    """A bed with a surface as long as its platform."""
    return Mechanism(bundled_bed(bed), kind, pivot, 0.0, half_width, 0.0, 2.0)
