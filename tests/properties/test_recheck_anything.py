"""Whatever it is given, the recheck answers; and it agrees with the tissue room's own numbers."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from leeward.programme.programme import BuildUpStep, ManualTask, Programme, Window
from leeward.programme.recheck import recheck
from leeward.programme.recheck_allowance import peak_allowance
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.person import ProtectedSite, TurnLimit
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay
from leeward.terms.site import Side, Site
from leeward.terms.verdict import Reason
from leeward.tissue.allowance import steady_peak
from leeward.tissue.load_ratios import LoadRatios
from tests.unit.programme.recheck_sound import CASE, NOW, PROGRAMME, SITES, SOUND

#: Numbers nobody should hand over, among those they might.
wild = st.sampled_from([0.0, -1.0, 1e-9, 0.3, 1.0, 7.0, 1e300, math.nan, math.inf, -math.inf])
angles = st.sampled_from([0.0, -0.0, 0.1, -0.1, 0.5236, -0.5236, 2.0, math.nan, math.inf])
lengths = st.sampled_from([2700.0, 3600.0, 3601.5, 7200.0, 5e4, 1e6])
uncountable = st.sampled_from([math.nan, math.inf, -1.0, 0.0, 1e-12, 59.0])
postures = st.builds(
    Posture, turn=angles, backrest=angles, knee_raise=angles, place=st.sampled_from(Place)
)
stays = st.builds(Stay, postures, lengths)
cycles = st.lists(stays, min_size=1, max_size=4).map(tuple)
spans = st.tuples(st.integers(0, 23), st.integers(0, 23)).map(
    lambda pair: DaySpan(3600.0 * pair[0], 3600.0 * pair[1])
)
tasks = st.builds(
    ManualTask,
    sites=st.lists(st.sampled_from(SITES), max_size=3).map(tuple),
    what=st.sampled_from(["", "Float it."]),
    times=st.just(()),
    duration=wild,
    work_min=wild,
)
steps = st.builds(BuildUpStep, wild, wild, st.sampled_from(["", "look"]))


@st.composite
def programmes(draw: st.DrawFn) -> Programme:
    """Programmes that keep the rules of their own record, and no other."""
    starts = sorted(draw(st.sets(st.integers(0, 23), min_size=1, max_size=4)))
    ends = [*starts[1:], starts[0]]
    windows = tuple(
        Window("one", DaySpan(3600.0 * start, 3600.0 * end), draw(cycles))
        for start, end in zip(starts, ends, strict=True)
    )
    return Programme(
        windows,
        draw(st.lists(steps, max_size=3).map(tuple)),
        draw(st.lists(tasks, max_size=2).map(tuple)),
    )


@st.composite
def tables(draw: st.DrawFn, known: st.SearchStrategy[Posture]) -> LoadRatios:
    """Tables of any loads, for some postures and some sites, in any number of draws."""
    rows = tuple(draw(st.lists(known, max_size=4)))
    sites = tuple(draw(st.lists(st.sampled_from(SITES), max_size=4, unique=True)))
    draws = draw(st.integers(0, 2))
    shape = (draws, len(rows), len(sites))
    values = draw(st.lists(wild, min_size=math.prod(shape), max_size=math.prod(shape)))
    flags = draw(st.lists(st.booleans(), min_size=draws * len(rows), max_size=draws * len(rows)))
    return LoadRatios(
        rows,
        sites,
        np.array(values, dtype=float).reshape(shape),
        np.array(flags, dtype=bool).reshape(shape[:2]),
    )


@st.composite
def questions(draw: st.DrawFn) -> tuple[Any, ...]:
    """A programme, a case, its loads and regimes: related, or not at all."""
    programme = draw(programmes())
    kept = [stay.posture for window in programme.windows for stay in window.cycle]
    regime = replace(
        CASE.regimes[0],
        cycle=draw(st.just(()) | cycles),
        standing=draw(st.sampled_from(RegimeStanding)),
        night_cycle=draw(st.just(()) | cycles),
        night=draw(st.none() | spans),
    )
    prescribed = st.builds(PrescribedWindow, st.just("meal"), spans, postures, st.booleans())
    person = replace(
        CASE.person,
        turn_limits=draw(st.just(()) | st.tuples(st.builds(
            TurnLimit, st.sampled_from(Side), wild, st.just("hip")))),
        protected_sites=draw(st.just(()) | st.tuples(st.builds(
            ProtectedSite, st.sampled_from(Site), st.just("wound"), st.none() | wild))),
    )  # fmt: skip
    day = replace(CASE.day, prescribed=draw(st.lists(prescribed, max_size=2).map(tuple)))
    case = replace(CASE, person=person, day=day, regimes=draw(st.sampled_from([(), (regime,)])))
    ratios = draw(tables(st.sampled_from(kept) | postures))
    compared = draw(st.none() | st.builds(RegimeLoads, st.just(regime), tables(postures)))
    failed = draw(st.lists(st.builds(RegimeLoads, st.just(regime), tables(postures)), max_size=1))
    return programme, case, ratios, compared, tuple(failed)


def answered(found: tuple[Reason, ...]) -> bool:
    return all(one.code and one.sentence.endswith(".") for one in found)


@settings(max_examples=80, suppress_health_check=list(HealthCheck))
@given(questions())
def test_it_always_answers_and_never_raises(question: tuple[Any, ...]):
    found = recheck(*question, now=NOW)
    assert found
    assert answered(found)
    assert len({(one.code, one.sentence) for one in found}) == len(found)


@settings(max_examples=30, suppress_health_check=list(HealthCheck))
@given(programmes(), st.sampled_from([CASE, replace(CASE, equipment=None)]))
def test_random_programmes_are_never_let_through(programme: Programme, case: Case):
    """None of them plans all the manual work and a build-up that names its looks."""
    assert recheck(programme, case, SOUND.ratios, SOUND.compared, now=NOW)


@given(programmes(), uncountable)
def test_stays_that_cannot_be_counted_are_the_only_finding(programme: Programme, length: float):
    window = programme.windows[0]
    object.__setattr__(window, "cycle", (Stay(Posture(), length), *window.cycle))
    found = recheck(programme, CASE, SOUND.ratios, SOUND.compared, now=NOW)
    assert [one.code for one in found] == ["stays-not-countable"]


segments = st.lists(
    st.tuples(st.integers(1, 240), st.floats(0.0, 2.0)), min_size=1, max_size=8
)  # fmt: skip


@given(segments)
def test_both_paths_to_the_peak_allowance_agree(day: list[tuple[int, float]]):
    """To 1e-9 of an allowance: they share the law and not a line of code."""
    durations = [60.0 * minutes for minutes, _ in day]
    ratios = [q for _, q in day]
    own = peak_allowance(durations, ratios)
    theirs = float(steady_peak(np.array(durations), np.array(ratios)[:, np.newaxis])[0])
    assert abs(own - theirs) < 1e-9


@given(st.integers(0, 3), st.floats(1.0, 3.0), st.sampled_from(SITES))
def test_more_load_never_silences_a_finding(window: int, factor: float, site: Site):
    """Heavier everywhere in the programme, nothing heavier in the regime compared."""
    column = SITES.index(site)
    table = SOUND.ratios.ratio.copy()
    table[:, :, column] *= factor
    before = {(one.code, one.sentence) for one in _loaded(SOUND.ratios)}
    after = {(one.code, one.sentence) for one in _loaded(replace(SOUND.ratios, ratio=table))}
    assert before <= after


def _loaded(ratios: LoadRatios) -> tuple[Reason, ...]:
    regime: Regime = replace(CASE.regimes[0], cycle=PROGRAMME.windows[0].cycle)
    assert SOUND.compared is not None
    loads = RegimeLoads(regime, SOUND.compared.ratios)
    return recheck(PROGRAMME, replace(CASE, regimes=(regime,)), ratios, loads, now=NOW)
