"""The choices while conventions change one by one: the same sums, and what is said of them."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from leeward.programme.choices import choose
from leeward.programme.decision import Choice
from leeward.programme.other_conventions import (
    ConventionChanged,
    IndexThen,
    OrderOfTwo,
    Sensitivity,
)
from leeward.programme.problem import Problem
from leeward.programme.programmes import day_segments, moved_day
from leeward.programme.search import look
from leeward.programme.sensitivity import sensitivity
from leeward.programme.sensitivity_said import sensitivity_said
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law_ends import LAW_ENDS
from leeward.tissue.regime_day import regime_series
from tests.unit.programme import invented


@cache
def planned() -> tuple[Problem, tuple[Choice, ...], Sensitivity]:
    """Few settings: 15 and 30 degrees, 40 and 120 minutes."""
    unit = invented.unit(
        smallest_turn=radians_from_deg(15.0),
        turn_step=radians_from_deg(15.0),
        shortest_stay=seconds_from_min(40.0),
        stay_step=seconds_from_min(80.0),
    )
    given = invented.searched(invented.case(unit))
    looked = look(given)
    assert looked is not None
    choices = choose(given, looked)
    assert len(choices) > 1
    found = sensitivity(given, choices)
    assert found is not None
    return given, choices, found


def indices(found: Sensitivity, code: str) -> list[float]:
    (change,) = (one for one in found.changes if one.code == code)
    return [one.index for one in change.choices if one.index is not None]


def test_the_first_row_is_the_plan_itself():
    _, choices, found = planned()
    for choice, then in zip(choices, found.changes[0].choices, strict=True):
        assert then.site is choice.assessment.limiting_site
        results = {one.site: one.index for one in choice.assessment.sites}
        assert then.index == pytest.approx(results[then.site], rel=1e-12)


@pytest.mark.parametrize("end", LAW_ENDS, ids=lambda end: end.code)
def test_day_and_regime_are_counted_under_the_same_law(end):
    given, choices, found = planned()
    series = regime_series(invented.regime(given.case))
    rows = [given.table.row(posture) for posture in series.postures]
    columns, loads = given.indexed, given.table.ratio[0]
    seen = steady_peak(series.durations, loads[rows][:, columns], end.law)
    for choice, index in zip(choices, indices(found, end.code), strict=True):
        day = moved_day(day_segments(choice.programme, given.table), given.table)
        peak = steady_peak(day.durations, loads[day.rows][:, columns], end.law)
        assert index == pytest.approx(float((peak / seen).max()), rel=1e-9)


def test_a_skin_that_bears_a_fifth_less_has_every_index_a_quarter_higher():
    _, _, found = planned()
    less, as_planned = indices(found, "bears-less"), indices(found, "as-planned")
    assert less == pytest.approx([index / 0.8 for index in as_planned], rel=1e-12)
    assert indices(found, "bears-more") == pytest.approx([i / 1.25 for i in as_planned], rel=1e-12)


def test_each_limiting_site_is_tried_alone():
    _, _, found = planned()
    alone = {one.site for one in found.changes[0].choices if one.site is not None}
    codes = {f"bears-less-{site.value.replace(' ', '-')}" for site in alone}
    assert codes <= {change.code for change in found.changes}
    for code in codes:
        assert np.all(np.array(indices(found, code)) >= np.array(indices(found, "as-planned")))


def test_the_night_moved_by_an_hour_is_the_index_of_that_day():
    given, choices, found = planned()
    later = indices(found, "night-later")
    hour, sleep = 3600.0, given.case.day.sleep
    for choice, index in zip(choices, later, strict=True):
        day, night = (
            next(w for w in choice.programme.windows if (w.span.start == sleep.start) is is_night)
            for is_night in (False, True)
        )
        spans = (
            (day.cycle, day.span.duration + hour),
            (night.cycle, night.span.duration - hour),
        )
        stays = [piece for cycle, length in spans for piece in cut(cycle, length)]
        assert sum(length for _, length in stays) == pytest.approx(86400.0)
        rows = np.array([given.table.row(posture) for posture, _ in stays])
        lengths = np.array([length for _, length in stays])
        segments = day_segments(choice.programme, given.table)
        still = np.zeros(len(rows), dtype=bool)
        moved = moved_day(
            replace(segments, durations=lengths, rows=rows, turns=rows * 0.0, exempt=still,
                    window=rows * 0), given.table,
        )  # fmt: skip
        ratio = given.table.ratio[0][moved.rows][:, given.indexed]
        peak = steady_peak(moved.durations, ratio)
        allowed = given.compared.allowed()[0, given.indexed]
        assert index == pytest.approx(float((peak / allowed).max()), rel=1e-9)


def cut(cycle, length):
    pieces, place = [], 0
    while length > 1e-6:
        stay = cycle[place % len(cycle)]
        pieces.append((stay.posture, min(stay.duration, length)))
        length -= stay.duration
        place += 1
    return pieces


def test_two_choices_change_places_only_where_the_other_one_is_used_less():
    _, _, found = planned()
    by_code = {one.code: [then.index for then in one.choices] for one in found.changes}
    for order in found.orders:
        first, second = by_code["as-planned"][order.first], by_code["as-planned"][order.second]
        assert order.is_told_apart is (abs(first - second) > 0.005)
        for code, index in by_code.items():
            now = index[order.first] - index[order.second]
            turned = order.is_told_apart and now * (first - second) < 0.0 and abs(now) > 0.005
            assert (code in order.turned_by) is turned


def test_nothing_found_has_nothing_to_be_sensitive():
    given, _, _ = planned()
    assert sensitivity(given, ()) is None


def changed(code: str, *indices: float | None) -> ConventionChanged:
    sites = tuple(IndexThen(index, None if index is None else Site.SACRUM) for index in indices)
    return ConventionChanged(code, code.replace("-", " ").capitalize(), sites)


MADE_UP = Sensitivity(
    names=("gentlest", "most relief", "closest"),
    changes=(
        changed("as-planned", 0.95, 0.90, None),
        changed("slower", 0.92, 0.99, None),
        changed("quicker", 1.02, 0.91, None),
    ),
    orders=(OrderOfTwo(0, 1, True, ("slower",)), OrderOfTwo(0, 2, False, ())),
    compared_with="two-hourly turns",
)


def test_what_changes_places_and_sides_is_named_with_what_it_hangs_on():
    said = {reason.code: reason.sentence for reason in sensitivity_said(MADE_UP)}
    assert "1 (gentlest) and 2 (most relief) change places where slower" in said["order-changes"]
    assert "1 (gentlest) and 3 (closest) cannot be told apart" in said["not-told-apart"]
    assert "1 (gentlest) comes out above the regime compared where quicker" in said["side-changes"]
    assert "0.95 as planned, 0.92 to 1.02" in said["side-changes"]
    assert "is not known of 3 (closest)" in said["index-not-known"]


def test_what_never_leaves_its_side_is_still_no_promise():
    (kept,) = (one for one in sensitivity_said(MADE_UP) if one.code == "side-kept")
    assert "2 (most relief) stays at or below" in kept.sentence
    assert kept.sentence.endswith("That is no promise.")


def test_a_change_under_which_an_index_is_not_known_proves_no_side_and_no_order():
    partly = replace(
        MADE_UP,
        changes=(changed("as-planned", 0.8, 0.9), changed("x", 0.8, None), changed("y", 0.8, 0.9)),
        names=("gentlest", "balanced"),
        orders=(OrderOfTwo(0, 1, is_told_apart=True, turned_by=()),),
    )
    said = " ".join(reason.sentence for reason in sensitivity_said(partly))
    assert "keep their order under the 1 of 2 changes under which the index is known" in said
    assert "under every change" not in said


def test_every_change_has_a_sentence_and_a_law_of_its_own():
    assert len({end.code for end in LAW_ENDS}) == len(LAW_ENDS) == 9
    for first, second in pairwise(LAW_ENDS):
        assert first.law != second.law
        assert first.sentence != second.sentence
