"""What people do today, judged beside the choices by the same computation and recheck."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from leeward.programme.choices import as_choice
from leeward.programme.common_ways import (
    Way,
    common_by_hand,
    keep_todays,
    todays_regime,
    unit_default,
)
from leeward.programme.decision import Beside, Choice, ChoiceName, Outcome
from leeward.programme.ground import Ground, ground, with_postures
from leeward.programme.judged_anew import JudgedAnew, judge_anew
from leeward.programme.laid_ways import hand_windows
from leeward.programme.loads import ratio_table
from leeward.programme.planning import Findings
from leeward.programme.programme import Programme
from leeward.programme.programmes import tasks_for
from leeward.programme.pull import pull_of
from leeward.programme.rechecked import rechecked
from leeward.programme.sensitivity import sensitivity
from leeward.programme.way_remarks import remarks
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment, SurfaceKind
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, TurnMeans
from leeward.terms.verdict import Reason
from leeward.tissue.demand import Demand, Solver
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.lying_by_hand import lying_by_hand
from leeward.tissue.pull import pull_by_unit
from leeward.tissue.standing import StandingDecision

_KIND = {TurnMeans.WHOLE_SURFACE: SurfaceKind.WHOLE, TurnMeans.SPLIT_SURFACE: SurfaceKind.SPLIT}


_MAY_KEEP = (
    Reason(
        "todays-may-be-kept",
        "How the person is turned today keeps every rule, and may be kept until something better "
        f"is found: it is the choice called {ChoiceName.TODAYS.value}.",
    ),
)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A way judged, and the choice it would be."""

    judged: JudgedAnew
    choice: Choice


@dataclass(frozen=True, slots=True)
class _Ways:
    """What is to be compared, and what cannot be."""

    ways: tuple[Way, ...]
    todays: Way | None
    missing: tuple[Reason, ...]
    regime: Regime | None

    def remarks(self, way: Way, stands: Ground) -> tuple[Reason, ...]:
        return remarks(way, stands, self.regime if way is self.todays else None)

    def every(self) -> tuple[Way, ...]:
        return self.ways if self.todays is None else (*self.ways, self.todays)

    def turned(self, *, by_hand: bool) -> list[Way]:
        return [way for way in self.every() if way.programme.turned_by_hand is by_hand]


def rechecked_beside(
    case: Case,
    findings: Findings,
    found: Demand,
    standing: StandingDecision,
    now: datetime,
    solve: Solver,
) -> Findings:
    """Recheck the choices, and judge what people do today beside them.

    Parameters
    ----------
    case : Case
        The case.
    findings : Findings
        What the search found.
    found : Demand
        The load ratios it found them on.
    standing : StandingDecision
        Which regimes count.
    now : datetime
        Time of planning, aware.
    solve : Solver
        Computes the loads of turns by hand; asked once.

    Returns
    -------
    Findings
        Rechecked, with the common intervals by hand, the unit's default and today's way as far
        as they are known. None of them is offered; today's way may be kept where nothing was
        found against it, and then it is one more choice.
    """
    findings = rechecked(case, findings, found, standing, now)
    if not findings.compared_with or case.equipment is None:
        return findings
    stands = ground(case, standing, found, now)
    known = _ways(stands, case.equipment)
    judged, missing = _judged_all(stands, case.equipment, known, solve)
    by_unit = pull_by_unit(found.tables, _postures([one.programme for one in findings.choices]))
    choices = tuple(_pulled(choice, by_unit) for choice in findings.choices)
    kept = _kept(known.todays, judged)
    says_so = _MAY_KEEP if kept and findings.outcome is Outcome.NONE_QUALIFIES else ()
    return replace(
        findings,
        reasons=(*findings.reasons, *says_so),
        beside=tuple(
            _beside(way, judged[way.name], known.remarks(way, stands))
            for way in known.every()
            if way.name in judged
        ),
        not_beside=missing,
        sensitivity=sensitivity(stands.problem, choices),
        choices=(*choices, *kept),
    )


def _judged_all(
    stands: Ground, unit: Equipment, known: _Ways, solve: Solver
) -> tuple[dict[str, _Found], tuple[Reason, ...]]:
    """Whatever can be judged, and why the rest cannot."""
    judged = _judged_by_unit(stands, known.turned(by_hand=False))
    try:
        judged |= _judged_by_hand(stands, unit, known.turned(by_hand=True), solve)
    except CannotCompute as error:
        said = f"Turns by hand cannot be compared: {error.sentence}"
        return judged, (*known.missing, Reason("not-beside", said))
    return judged, known.missing


def _ways(stands: Ground, unit: Equipment) -> _Ways:
    case, tasks = stands.case, tasks_for(stands.problem)
    missing: list[Reason] = []
    default = unit_default(case, unit, tasks)
    if default is None:
        missing.append(
            Reason(
                "default-not-entered",
                "What the unit runs when nobody sets anything is not entered in its file, so it "
                "is not compared: read it in the unit's instructions.",
            )
        )
    regime = todays_regime(case, stands.now)
    why_not = _why_not_today(regime, unit)
    if why_not is not None:
        missing.append(why_not)
    ways = (*common_by_hand(case, unit, tasks), *(() if default is None else (default,)))
    todays = (
        None if regime is None or why_not is not None else keep_todays(case, unit, regime, tasks)
    )
    return _Ways(ways, todays, tuple(missing), regime)


def _why_not_today(regime: Regime | None, unit: Equipment) -> Reason | None:
    if regime is None:
        return Reason(
            "todays-not-known",
            "How this person is turned today is not in the case, so nothing can be said of "
            "keeping it: write it down as a regime with its dates.",
        )
    if _KIND.get(regime.means, unit.geometry.kind) is not unit.geometry.kind:
        return Reason(
            "todays-on-another-surface",
            f"{regime.name} was run on another kind of surface than this unit, so keeping it "
            "cannot be compared.",
        )
    return None


def _judged_by_unit(stands: Ground, ways: list[Way]) -> dict[str, _Found]:
    asked = _postures([way.programme for way in ways])
    return _judged(with_postures(stands, asked), ways, pull_by_unit(stands.demand.tables, asked))


def _judged(stands: Ground, ways: list[Way], pull: dict[Posture, float]) -> dict[str, _Found]:
    found = judge_anew(stands, [way.programme for way in ways]) if ways else []
    return {
        way.name: _Found(
            one, _pulled(as_choice(stands.problem, ChoiceName.TODAYS, one.numbers), pull)
        )
        for way, one in zip(ways, found, strict=True)
    }


def _judged_by_hand(
    stands: Ground, unit: Equipment, ways: list[Way], solve: Solver
) -> dict[str, _Found]:
    """By the loads of people's turns; level the bed is the same whoever turns."""
    turned = tuple(
        one
        for one in _postures([way.programme for way in ways])
        if one.turn != 0.0 and one not in _prescribed(stands.case)
    )
    lain = lying_by_hand(stands.case, stands.demand, turned, stands.now, solve)
    ratios = _beside_level(stands.demand.ratios, lain.ratios)
    nobody = replace(stands.case, equipment=None)
    by_hand = replace(
        stands,
        demand=replace(stands.demand, ratios=ratios),
        problem=replace(
            stands.problem,
            windows=hand_windows(stands.case, unit, night_differs=True),
            table=ratio_table(nobody, ratios),
        ),
    )
    level = pull_by_unit(stands.demand.tables, stands.demand.ratios.postures)
    return _judged(by_hand, ways, {**level, **lain.pull})


def _postures(programmes: Sequence[Programme]) -> tuple[Posture, ...]:
    stays = (stay for one in programmes for window in one.windows for stay in window.cycle)
    return tuple(dict.fromkeys(stay.posture for stay in stays))


def _prescribed(case: Case) -> tuple[Posture, ...]:
    return tuple(one.posture for one in case.day.prescribed if not one.may_turn)


def _beside_level(known: LoadRatios, lain: LoadRatios) -> LoadRatios:
    """What people turn to, with every posture of the plan that they do not turn to."""
    kept = tuple(one for one in known.postures if one not in lain.postures)
    return known.part(kept).beside(lain)


def _beside(way: Way, found: _Found, said: tuple[Reason, ...]) -> Beside:
    choice = found.choice
    return Beside(
        name=way.name,
        source=way.source,
        programme=way.programme,
        settings=choice.settings,
        assessment=choice.assessment,
        against=found.judged.against,
        remarks=said,
    )


def _kept(todays: Way | None, judged: dict[str, _Found]) -> tuple[Choice, ...]:
    """Today's way as a choice, where neither rules nor recheck find anything against it."""
    found = None if todays is None else judged.get(todays.name)
    return () if found is None or not found.judged.qualifies else (found.choice,)


def _pulled(choice: Choice, pull: dict[Posture, float]) -> Choice:
    cost = replace(choice.assessment.disturbance, pull=pull_of(choice.programme, pull))
    return replace(choice, assessment=replace(choice.assessment, disturbance=cost))
