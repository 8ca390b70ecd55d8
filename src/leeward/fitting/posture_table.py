"""Every setting of bed and surface with what was found there; nothing found is no clearance."""

from dataclasses import dataclass, replace
from typing import Final

from leeward.fitting.finding import Finding, Outcome, to_measure, worst
from leeward.fitting.known_bed import Variants, variants
from leeward.fitting.measures import MEASURES, Measure
from leeward.fitting.mechanism import BedSetting, check_setting
from leeward.fitting.rails import Beside, rail_findings
from leeward.fitting.runs import run_findings
from leeward.terms.bed import RailKind
from leeward.terms.bed_sheet import BedSheet
from leeward.terms.case import Case
from leeward.terms.equipment import Ability, Equipment
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.posture import Place
from leeward.terms.units import deg_from_radians, radians_from_deg
from leeward.terms.verdict import Quantity

#: Steps of the table. Convention of this project. [rad], [-]
BACKREST_STEP: Final = radians_from_deg(10.0)
KNEE_STEPS: Final = 4


@dataclass(frozen=True, slots=True)
class PostureRow:
    """One setting.

    Parameters
    ----------
    setting : BedSetting
        The setting.
    outcome : Outcome
        The worst of what was found here and everywhere.
    findings : tuple of Finding
        What was found here, but for what breaks no limit.
    """

    setting: BedSetting
    outcome: Outcome
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Axes:
    """Settings that are looked at.

    Parameters
    ----------
    turns : tuple of float
        Signed turns, ascending. [rad]
    backs : tuple of (float, float)
        Backrest and knee raise. [rad]
    lifts : tuple of float
        Rise above the lowest place. [m]
    """

    turns: tuple[float, ...]
    backs: tuple[tuple[float, float], ...]
    lifts: tuple[float, ...]


def used_backs(case: Case) -> tuple[tuple[float, float], ...]:
    """List backrest and knee raise of every part of the day in which turns are made.

    Parameters
    ----------
    case : Case
        The case. [-]

    Returns
    -------
    tuple of (float, float)
        Each once, as written and as the person's and the bed's backrest limits leave it. [rad]
    """
    day, person = case.day, case.person
    used = [(day.usual_backrest, day.usual_knee_raise)]
    used += [
        (one.posture.backrest, one.posture.knee_raise)
        for one in day.prescribed
        if one.posture.place is Place.BED and (one.may_turn or one.posture.turn != 0.0)
    ]
    edges = [edge.value for edge in case.posture_limits.backrest]
    edges.append(case.bed.platform.largest_backrest)
    if person.greatest_backrest is not None:
        edges.append(person.greatest_backrest)
    raised = [(max(backrest, person.least_backrest or 0.0), knee) for backrest, knee in used]
    limited = [(min(backrest, edge), knee) for backrest, knee in raised for edge in edges]
    return tuple(dict.fromkeys([*used, *raised, *limited]))


def axes(case: Case, sheet: FitSheet, unit: Equipment) -> Axes:
    """Lay out what is looked at: all that can be set, and all that the day uses.

    Parameters
    ----------
    case : Case
        The case.
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.

    Returns
    -------
    Axes
        Settings.
    """
    platform, ability = sheet.bed.platform, unit.ability
    steps = int(platform.largest_backrest / BACKREST_STEP + 1e-6)
    backrests = [number * BACKREST_STEP for number in range(steps + 1)]
    if platform.largest_backrest - backrests[-1] > 1e-6:
        backrests.append(platform.largest_backrest)
    knees = [platform.largest_knee_raise * n / (KNEE_STEPS - 1) for n in range(KNEE_STEPS)]
    grid = [(backrest, knee) for backrest in backrests for knee in knees]
    prescribed = [
        (one.posture.backrest, one.posture.knee_raise)
        for one in case.day.prescribed
        if one.posture.place is Place.BED
    ]
    used = used_backs(case)
    # A backrest limit found here leaves the day's knee raise at a backrest of the grid.
    lowered = [(backrest, knee) for backrest in backrests for _, knee in used]
    backs = tuple(dict.fromkeys([*grid, *used, *lowered, *prescribed]))
    right = [-turn for turn in reversed(_turns(ability, ability.largest_turn_right))]
    turns = (*right, 0.0, *_turns(ability, ability.largest_turn_left))
    return Axes(turns, backs, _lifts(sheet.bed))


def _turns(ability: Ability, largest: float) -> list[float]:
    count = int((largest - ability.smallest_turn) / ability.turn_step + 1e-6) + 1
    return [ability.smallest_turn + number * ability.turn_step for number in range(count)]


def _lifts(bed: BedSheet) -> tuple[float, ...]:
    if bed.lowest is None or bed.highest is None:
        return (0.0,)
    return tuple(dict.fromkeys((0.0, max(0.0, bed.highest - bed.lowest))))


def posture_table(
    case: Case, sheet: FitSheet, unit: Equipment, everywhere: tuple[Finding, ...]
) -> tuple[PostureRow, ...]:
    """Judge every setting.

    Parameters
    ----------
    case : Case
        The case.
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.
    everywhere : tuple of Finding
        What holds in every posture.

    Returns
    -------
    tuple of PostureRow
        In the order of `axes`: lifts inside backs inside turns.
    """
    shown, known = axes(case, sheet, unit), variants(sheet, unit)
    general = worst(everywhere) if everywhere else Outcome.NO_LIMIT_BROKEN
    rows = []
    for turn in shown.turns:
        for backrest, knee in shown.backs:
            setting = BedSetting(turn, backrest, knee)
            check_setting(setting)
            here = [
                *_asked(known, setting, sheet.bed),
                *_settled(known, _beside(case, sheet, unit, known, setting)),
                *_paused(unit, setting),
            ]
            for lift in shown.lifts:
                at = replace(setting, lift=lift)
                found = (*here, *run_findings(known.mechanisms, sheet, at))
                outcome = worst((Finding("general", general, ""), *found))
                kept = tuple(one for one in found if one.outcome is not Outcome.NO_LIMIT_BROKEN)
                rows.append(PostureRow(at, outcome, kept))
    return tuple(rows)


def _beside(
    case: Case, sheet: FitSheet, unit: Equipment, known: Variants, setting: BedSetting
) -> list[list[Finding]]:
    """What each mechanism says of the rails."""
    bed, thickness = sheet.bed, case.bed.mattress.thickness
    if bed.rails in (RailKind.NONE, RailKind.UNDESCRIBED):
        return []
    if thickness is None:
        asked = to_measure(MEASURES["mattress-thickness"], needed_for="what a rail leaves open")
        return [[asked]]
    tilting = (True, False) if bed.rails_tilt is None else (bed.rails_tilt,)
    return [
        [
            finding
            for part in bed.rail_parts
            for finding in rail_findings(
                Beside(mechanism, unit.geometry.thickness, thickness, tilts), part, setting
            )
        ]
        for mechanism in known.mechanisms
        for tilts in tilting
    ]


def _settled(known: Variants, said: list[list[Finding]]) -> list[Finding]:
    """Keep what every mechanism says; what only some of them bar cannot be told."""
    by_all = set.intersection(*({f.code for f in one} for one in said)) if said else set()
    unknown = ", ".join(dict.fromkeys(measure.what for measure in known.unknown))
    return list(
        dict.fromkeys(
            replace(finding, outcome=Outcome.CANNOT_TELL, remedy=_first(unknown))
            if finding.outcome is Outcome.NOT_TO_BE_USED and finding.code not in by_all
            else finding
            for one in said
            for finding in one
        )
    )


def _first(unknown: str) -> str:
    return f"It hangs on what nobody measured: {unknown or 'whether the rails tilt'}."


def _asked(known: Variants, setting: BedSetting, bed: BedSheet) -> list[Finding]:
    """What must be measured before this setting can be told about."""
    matters = {
        "mattress-width": True,
        "unit-place": setting.turn != 0.0,
        "pivot": setting.turn != 0.0,
        "back-travel": setting.backrest > 0.0,
        "coupling": setting.backrest > 0.0,
        "calf-motion": setting.knee_raise > 0.0,
    }
    asked: list[Measure] = [one for one in known.unknown if matters[one.code]]
    if bed.lowest is None or bed.highest is None:
        asked.append(MEASURES["lift-range"])
    return [to_measure(one, needed_for="what moves how far") for one in asked]


def _paused(unit: Equipment, setting: BedSetting) -> list[Finding]:
    edge = unit.ability.pauses_above_backrest
    if edge is None or setting.turn == 0.0 or setting.backrest <= edge + 1e-9:
        return []
    return [
        Finding(
            "unit-pauses",
            Outcome.NOT_TO_BE_USED,
            f"With the backrest at {deg_from_radians(setting.backrest):.0f}° the unit pauses; it "
            f"turns up to {deg_from_radians(edge):.0f}°.",
            "Lower the backrest before the unit turns.",
            (Quantity("pauses above", round(deg_from_radians(edge)), "deg"),),
        )
    ]
