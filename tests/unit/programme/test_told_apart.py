"""Which choices are said to be told apart, by draws of the loads and by other conventions."""

import numpy as np
import pytest

from leeward.programme.assessment import judged, worst_under_other_laws
from leeward.programme.choices import choose
from leeward.programme.programmes import moved_day, programme_at
from leeward.programme.search import look
from leeward.programme.yardstick import OTHER_LAWS
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law import STANDARD_LAW
from leeward.tissue.regime_day import regime_series
from tests.unit.programme import invented


def small_case():
    """Few settings: 15 and 30 degrees, 40 and 120 minutes."""
    unit = invented.unit(
        smallest_turn=radians_from_deg(15.0),
        turn_step=radians_from_deg(15.0),
        shortest_stay=seconds_from_min(40.0),
        stay_step=seconds_from_min(80.0),
    )
    return invented.case(unit)


def test_a_day_under_another_convention_is_held_against_the_regime_under_the_same():
    case = small_case()
    given = invented.searched(case)
    looked = look(given)
    places = np.flatnonzero(looked.fits)[[0, 8, 16]].tolist()
    found = judged(given, [programme_at(given, looked, place) for place in places])
    by_law = worst_under_other_laws(given, found)
    assert by_law.shape == (len(OTHER_LAWS), 3)
    series = regime_series(invented.regime(case))
    rows = [given.table.row(posture) for posture in series.postures]
    columns, loads = given.indexed, given.table.ratio[0]
    for number, law in enumerate(OTHER_LAWS[:4]):
        seen = steady_peak(series.durations, loads[rows][:, columns], law)
        standard = steady_peak(series.durations, loads[rows][:, columns], STANDARD_LAW)
        allowed = given.compared.allowed()[0, columns] * seen / standard
        for one, worst in zip(found, by_law[number], strict=True):
            day = moved_day(one.day, given.table)
            peak = steady_peak(day.durations, loads[day.rows][:, columns], law)
            assert worst == pytest.approx((peak / allowed).max(), rel=1e-12)


def test_every_pair_of_choices_that_another_convention_puts_in_another_order_is_named():
    given = invented.searched(small_case())
    looked = look(given)
    choices = choose(given, looked)
    assert len(choices) > 1
    found = judged(given, [choice.programme for choice in choices])
    by_law = worst_under_other_laws(given, found)
    for number, choice in enumerate(choices):
        said = [r.sentence for r in choice.reasons if r.code == "cannot-be-told-apart"]
        for other, beside in enumerate(choices):
            if other == number:
                continue
            order = np.sign(found[other].worst - found[number].worst)
            laws = np.sign(by_law[:, other] - by_law[:, number])
            apart = abs(found[other].worst[0] - found[number].worst[0]) >= 0.005
            keeps = min((order == order[0]).mean(), (laws == order[0]).mean()) >= 0.9
            assert any(beside.name.value in one for one in said) == (not (apart and keeps))
