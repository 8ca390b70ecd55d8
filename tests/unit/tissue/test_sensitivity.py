"""Ranking under the ends of the conventions' ranges."""

import numpy as np
import pytest

from leeward.terms.errors import InvalidInput
from leeward.tissue import constants
from leeward.tissue.law import STANDARD_LAW
from leeward.tissue.sensitivity import RepeatingDay, law_corners, law_draws, ranking_sensitivity

REGIME = RepeatingDay(np.array([7200.0, 7200.0]), np.array([[1.0, 0.4], [0.4, 1.0]]))


def sides(stay: float, relieved: float) -> RepeatingDay:
    return RepeatingDay(np.array([stay, stay]), np.array([[1.0, relieved], [relieved, 1.0]]))


def test_every_corner_is_tried_and_the_standard_law_comes_first():
    laws = law_corners()
    assert laws[0] == STANDARD_LAW
    assert len(set(laws)) == len(laws) == 27


def test_drawn_laws_fill_the_ranges_of_all_four_numbers_evenly():
    laws = law_draws(20)
    assert len(set(laws)) == 20
    for name, constant in (
        ("time_constant", constants.TIME_CONSTANT),
        ("loaded_recovery", constants.LOADED_RECOVERY),
        ("relief_recovery", constants.RELIEF_RECOVERY),
        ("lag", constants.LAG),
    ):
        values = np.array([getattr(law, name) for law in laws])
        assert ((constant.low <= values) & (values <= constant.high)).all()
        assert 8 <= (values < np.sqrt(constant.low * constant.high)).sum() <= 12


def test_more_relief_for_the_same_stay_ranks_first_under_every_convention():
    found = ranking_sensitivity([sides(7200.0, 0.2), sides(7200.0, 0.6)], REGIME, [True, True])
    assert (found.same_order == 1.0).all()
    assert (found.same_side == 1.0).all()
    assert (found.worst_index[:, 0] < found.worst_index[:, 1]).all()


def test_longer_stays_with_more_relief_may_pass_under_one_convention_and_fail_under_another():
    days = [sides(10800.0, 0.0), sides(3600.0, 0.5)]
    found = ranking_sensitivity(days, REGIME, [True, True])
    assert found.same_side.min() < 1.0


def test_an_unknown_load_ranks_nothing():
    found = ranking_sensitivity([sides(7200.0, 0.2), sides(7200.0, np.nan)], REGIME, [True, True])
    assert np.isnan(found.same_order).all()


@pytest.mark.parametrize(("days", "sites"), [(1, [True, True]), (2, [False, False])])
def test_too_little_to_rank_is_refused(days: int, sites: list[bool]):
    with pytest.raises(InvalidInput):
        ranking_sensitivity([REGIME] * days, REGIME, sites)
