"""The room's front door: all that was found at the bed, and what the planner keeps to."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from leeward.contact.load_table import LoadTable
from leeward.fitting.around import around_findings
from leeward.fitting.barred import posture_limits
from leeward.fitting.burden import burden_findings
from leeward.fitting.finding import NOT_A_CLEARANCE, Finding, Outcome, to_measure, worst
from leeward.fitting.line import line_effects, line_findings, turns_to_try
from leeward.fitting.measures import MEASURES
from leeward.fitting.mechanism import BedSetting
from leeward.fitting.openings import opening_findings
from leeward.fitting.placement import placement_findings
from leeward.fitting.posture_table import PostureRow, posture_table, used_backs
from leeward.fitting.rails import rails_to_measure
from leeward.fitting.runs import BY_EYE, moves_with, runs_to_measure
from leeward.fitting.sensing import sensing_findings
from leeward.terms.bed import Platform, RailKind
from leeward.terms.case import Case, MissingFact
from leeward.terms.equipment import Equipment
from leeward.terms.errors import CannotCompute
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.posture import Posture
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.verdict import Reason

#: Looked at by eye whatever was measured.
ALWAYS_BY_EYE = (
    "At full turn to each side press the mattress's edge down and look at the gap along both "
    "rails: no measured gap says how it is when pressed.",
    f"{BY_EYE[0].upper()}{BY_EYE[1:]}.",
)


@dataclass(frozen=True, slots=True)
class Fitting:
    """What was found at the bed.

    Parameters
    ----------
    everywhere : tuple of Finding
        What holds in every posture: rails, openings, masses, sizes, runs.
    placement, sensing, around, line : tuple of Finding
        Where the unit lies, where its elements go, round the bed, what the line's place does.
    securing : tuple of str
        What each strap and lead moves with.
    rows : tuple of PostureRow
        Every setting.
    limits : PostureLimits
        What the planner keeps to.
    by_eye : tuple of str
        What is looked at whatever was measured.
    """

    everywhere: tuple[Finding, ...]
    placement: tuple[Finding, ...]
    sensing: tuple[Finding, ...]
    around: tuple[Finding, ...]
    line: tuple[Finding, ...]
    securing: tuple[str, ...]
    rows: tuple[PostureRow, ...]
    limits: PostureLimits
    by_eye: tuple[str, ...]

    @property
    def outcome(self) -> Outcome:
        """The worst of what was asked and of what holds in every posture, level among them."""
        level = [row for row in self.rows if is_flat(row.setting)]
        here = [finding for row in level for finding in row.findings]
        asked = (*self.placement, *self.sensing, *self.around, *self.line)
        return worst([*self.everywhere, *asked, *here])

    @property
    def words(self) -> str:
        """What the outcome means."""
        is_whole = self.outcome is Outcome.NO_LIMIT_BROKEN
        return NOT_A_CLEARANCE if is_whole else self.outcome.value

    @property
    def to_measure(self) -> tuple[Finding, ...]:
        """Everything that cannot be told, each once."""
        listed = [*self.everywhere, *self.placement, *self.sensing, *self.around, *self.line]
        listed += [finding for row in self.rows for finding in row.findings]
        return tuple(dict.fromkeys(one for one in listed if one.outcome is Outcome.CANNOT_TELL))


def is_flat(setting: BedSetting) -> bool:
    """Say whether bed and surface lie flat and level.

    Parameters
    ----------
    setting : BedSetting
        The setting.

    Returns
    -------
    bool
        At whatever lift.
    """
    return setting.turn == setting.backrest == setting.knee_raise == 0.0


def fit(
    case: Case, outside: tuple[Reason, ...] = (), loads: Callable[..., LoadTable] | None = None
) -> Fitting:
    """Judge the equipment at this bed, under this person.

    Parameters
    ----------
    case : Case
        The case, with its fit sheet.
    outside : tuple of Reason
        Edges of the adult tables that the body lies beyond.
    loads : callable or None
        Given postures, their loads with the scenarios of `leeward.fitting.line.shifted`; where
        it is missing or cannot compute them, that is said of the line.

    Returns
    -------
    Fitting
        What was found.

    Raises
    ------
    CannotCompute
        If the case names no unit, or no fit sheet.
    """
    sheet, unit = _given(case)
    everywhere = _everywhere(case, sheet, unit, outside)
    rows = posture_table(case, sheet, unit, everywhere)
    limits = posture_limits(rows, everywhere, used_backs(case))
    return Fitting(
        everywhere=everywhere,
        placement=tuple(placement_findings(case, sheet, unit)),
        sensing=tuple(sensing_findings(sheet, unit)),
        around=tuple(around_findings(sheet)),
        line=_line(turns_to_try(case, limits), loads),
        securing=tuple(moves_with(run) for run in sheet.runs),
        rows=rows,
        limits=limits,
        by_eye=ALWAYS_BY_EYE,
    )


def with_limits(case: Case, outside: tuple[Reason, ...] = ()) -> Case:
    """Put what was found at the bed into a case, so that its plan keeps to it.

    Parameters
    ----------
    case : Case
        The case.
    outside : tuple of Reason
        Edges of the adult tables that the body lies beyond.

    Returns
    -------
    Case
        With the limits beside those written by hand, and what must be measured among the
        missing facts; the same case where there is no fit sheet or no unit.
    """
    if case.fit_sheet is None or case.equipment is None:
        return case
    found = fit(case, outside)
    written, limits = case.posture_limits, found.limits
    asked = dict.fromkeys(
        MissingFact("fitting", f"{one.sentence} {one.remedy}".strip()) for one in found.to_measure
    )
    return replace(
        case,
        posture_limits=PostureLimits(
            turn_left=written.turn_left + limits.turn_left,
            turn_right=written.turn_right + limits.turn_right,
            backrest=written.backrest + limits.backrest,
        ),
        missing=(*case.missing, *asked),
    )


def open_reasons(case: Case) -> tuple[Reason, ...]:
    """Say in a plan what could not be told at the bed.

    Parameters
    ----------
    case : Case
        As `with_limits` gives it.

    Returns
    -------
    tuple of Reason
        One, with the first of what is open; none where nothing is.
    """
    asked = [fact.consequence for fact in case.missing if fact.field == "fitting"]
    if not asked:
        return ()
    sentence = (
        f"At the bed {len(asked)} {'thing' if len(asked) == 1 else 'things'} cannot be told, and "
        f"limit nothing here; `leeward fit` lists them. First: {asked[0]}"
    )
    return (Reason("fitting-open", sentence),)


def _given(case: Case) -> tuple[FitSheet, Equipment]:
    if case.equipment is not None and case.fit_sheet is not None:
        return case.fit_sheet, case.equipment
    raise CannotCompute(
        "no fit sheet" if case.fit_sheet is None else "no tilting unit",
        where="case, fitting and equipment",
        expected="a unit under `equipment` and what was measured at the bed under `fitting`",
        remedy="measure at the bed, write a fit sheet, and name it in the case",
    )


def _everywhere(
    case: Case, sheet: FitSheet, unit: Equipment, outside: tuple[Reason, ...]
) -> tuple[Finding, ...]:
    thickness = case.bed.mattress.thickness
    lying = None if thickness is None else unit.geometry.thickness + thickness
    found = [
        *rails_to_measure(sheet.bed),
        *opening_findings(sheet.bed, lying),
        *burden_findings(case, sheet, unit, outside),
        *runs_to_measure(sheet, unit),
        *_contradictions(case, sheet),
    ]
    if thickness is None:
        needed_for = "how high a person lies"
        found.append(to_measure(MEASURES["mattress-thickness"], needed_for=needed_for))
    return tuple(dict.fromkeys(found))


def _contradictions(case: Case, sheet: FitSheet) -> list[Finding]:
    """Case and bed sheet describe one bed: where they differ, neither is believed."""
    bed, written = sheet.bed, case.bed
    pairs = [
        ("safe working load", written.safe_working_load, bed.safe_working_load),
        ("whether the rails tilt", written.rails_travel_with_surface, bed.rails_tilt),
        (
            "side rails",
            None if written.rails is RailKind.UNDESCRIBED else written.rails,
            None if bed.rails is RailKind.UNDESCRIBED else bed.rails,
        ),
        (
            "width of the platform",
            None if written.platform == Platform() else written.platform.width,
            bed.platform.width,
        ),
    ]
    return [
        Finding(
            "case-and-bed-differ",
            Outcome.CANNOT_TELL,
            f"Cannot tell the {what}: the case says {one}, the bed sheet {other}.",
            "Look at the bed, and correct the one that is wrong.",
        )
        for what, one, other in pairs
        if one is not None and other is not None and one != other
    ]


def _line(
    postures: tuple[Posture, ...], loads: Callable[..., LoadTable] | None
) -> tuple[Finding, ...]:
    why = "nobody computed it"
    if loads is not None:
        try:
            return tuple(line_findings(line_effects(loads(*postures))))
        except CannotCompute as error:
            why = error.what
    sentence = f"Cannot tell what the place of the line does: {why}."
    remedy = "Describe the mattress, so that loads can be computed."
    return (Finding("line-not-computed", Outcome.CANNOT_TELL, sentence, remedy),)
