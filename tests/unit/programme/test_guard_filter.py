"""The table of patterns against the guards computed cycle by cycle."""

from itertools import product

import numpy as np

from leeward.programme.cycles import CycleFamily
from leeward.programme.guard_filter import GuardedWindow, keeps_guards
from leeward.terms.equipment import Order
from leeward.tissue.guards import lacks_relief

HOUR = 3600.0
STAYS = np.array(list(product((900.0, 1500.0, 3600.0), repeat=2)))
FAMILY = CycleFamily(Order.LEFT_LEVEL, np.array([[1, 0], [2, 0]]), STAYS)
#: Options by site: level loads both, option 1 relieves the first, option 2 neither.
RATIO = np.array([[1.0, 1.0], [0.4, 0.9], [0.95, 1.2]])
ANY = np.array([np.inf, np.inf])


def test_a_turn_that_relieves_nothing_keeps_no_guard():
    assert not keeps_guards(FAMILY, RATIO, ANY, ())[1].any()


def test_relief_shorter_than_25_minutes_is_none():
    kept = keeps_guards(FAMILY, RATIO, ANY, ())[0]
    assert kept.tolist() == (STAYS[:, 0] >= 1500.0).tolist()


def test_each_cycle_is_judged_as_the_guards_judge_it():
    kept = keeps_guards(FAMILY, RATIO, ANY, (GuardedWindow(2.2 * HOUR, True),))
    for turn, stay in np.ndindex(kept.shape):
        ratio = RATIO[FAMILY.turns[turn]]
        assert kept[turn, stay] == (not lacks_relief(STAYS[stay], ratio, repeats=True).any())


def test_a_load_that_lasts_longer_than_under_the_regime_is_left_out():
    most = np.array([2400.0, 2400.0])
    kept = keeps_guards(FAMILY, RATIO, most, (GuardedWindow(12 * HOUR, True),))[0]
    assert kept.tolist() == ((STAYS[:, 0] >= 1500.0) & (STAYS[:, 1] <= 2400.0)).tolist()


def test_a_load_is_no_longer_than_the_window_it_is_cut_by():
    most = np.array([2400.0, 2400.0])
    short = keeps_guards(FAMILY, RATIO, most, (GuardedWindow(0.5 * HOUR, False),))[0]
    assert short.tolist() == (STAYS[:, 0] >= 1500.0).tolist()
