"""Estimates of draws that were not solved, on answers that are known exactly."""

import numpy as np
import pytest

from leeward.contact.bands import bearing, drawn_readings
from leeward.contact.draws import Draw, draw_quantiles, draws, positions
from leeward.contact.response import FIRST_SOLVED, LARGEST_ERROR, fit_response
from leeward.terms.bed import Bed
from leeward.terms.errors import InvalidInput
from tests.unit.contact.bodies import MAN, SPLIT

DRAWN = draws(Bed(), SPLIT, MAN, draw_quantiles(128, np.random.default_rng(3)))
PLACE = positions(DRAWN)
FIRST = int(FIRST_SOLVED.value)


def smooth(place: np.ndarray) -> np.ndarray:
    """Three postures by two sites, each answering smoothly to a few unknowns."""
    turn = np.array([0.5, 1.0, 1.5])
    first = 0.8 + 0.1 * place[:, [0]] * turn + 0.05 * place[:, [3]] ** 2 * turn
    second = 0.6 + 0.1 * place[:, [5]] * turn - 0.03 * place[:, [5]] * place[:, [1]]
    return np.stack([first, second], axis=-1)


def jagged(place: np.ndarray) -> np.ndarray:
    """Answers that jump with the sign of a product: nothing smooth describes them."""
    jump = np.sign(place[:, 0] * place[:, 1] * place[:, 2])
    return np.broadcast_to(0.8 + 0.2 * jump[:, None, None], (len(place), 3, 2))


def counting(answers, called: list[int]):
    """A solver that knows the answers and writes down how much it was asked."""

    def solve(asked: tuple[Draw, ...]) -> np.ndarray:
        called.append(len(asked))
        return answers(PLACE[[DRAWN.index(draw) for draw in asked]])

    return solve


def test_smooth_answers_are_estimated_and_the_error_is_known():
    value = smooth(PLACE)
    response = fit_response(PLACE[:FIRST], value[:FIRST])
    off = np.quantile(np.abs(response.predict(PLACE[FIRST:]) - value[FIRST:]), 0.95)
    assert off < 0.02
    assert 0.5 * off < response.error() < 2.0 * off


def test_solved_draws_are_given_back_closely():
    value = smooth(PLACE[:FIRST])
    response = fit_response(PLACE[:FIRST], value)
    assert np.abs(response.predict(PLACE[:FIRST]) - value).max() < 0.01


def test_an_answer_unknown_in_one_draw_is_estimated_in_none():
    value = smooth(PLACE[:FIRST]).copy()
    value[7, 2, 0] = np.nan
    estimate = fit_response(PLACE[:FIRST], value).predict(PLACE[FIRST:])
    assert np.isnan(estimate[:, 2, 0]).all()
    assert np.isfinite(estimate[:, :2]).all()
    assert np.isfinite(estimate[:, 2, 1]).all()


def test_estimates_are_never_below_zero():
    value = np.maximum(smooth(PLACE) - 0.8, 0.0)
    estimate = fit_response(PLACE[:FIRST], value[:FIRST]).predict(PLACE[FIRST:])
    assert estimate.min() == 0.0


def test_a_reading_that_never_changes_stays_what_it_is():
    value = np.full((FIRST, 3, 2), 0.7)
    response = fit_response(PLACE[:FIRST], value)
    assert response.predict(PLACE[FIRST:]) == pytest.approx(0.7, abs=1e-9)
    assert response.error() < 1e-9


def test_a_handful_of_draws_is_refused():
    with pytest.raises(InvalidInput, match="eight draws"):
        fit_response(PLACE[:5], smooth(PLACE[:5]))


def test_smooth_answers_are_solved_for_the_first_draws_only():
    called: list[int] = []
    found = drawn_readings(DRAWN, counting(smooth, called))
    assert called == [FIRST]
    assert found.solved == FIRST
    assert 0.0 < found.error <= LARGEST_ERROR.value
    assert found.value.shape == (128, 3, 2)


def test_jagged_answers_are_solved_for_every_draw():
    called: list[int] = []
    found = drawn_readings(DRAWN, counting(jagged, called))
    assert called == [FIRST, 128 - FIRST]
    assert found.error == 0.0
    assert np.array_equal(found.value, jagged(PLACE))


def test_with_nothing_known_no_more_draws_are_solved_and_there_is_no_band():
    called: list[int] = []
    found = drawn_readings(DRAWN, counting(lambda p: np.full((len(p), 3, 2), np.nan), called))
    assert called == [FIRST]
    assert found.value.shape == (128, 3, 2)
    assert np.isnan(found.band()[0]).all()


def test_nine_draws_in_ten_lie_in_the_band_which_is_moved_apart_by_the_error():
    found = drawn_readings(DRAWN, counting(smooth, []))
    low, high = found.band()
    true = smooth(PLACE)
    inside = (true >= low) & (true <= high)
    # over forty seeds 0.92 in the mean; single readings may lack one draw of 128
    assert inside.mean() >= 0.9
    assert inside.mean(axis=0).min() >= 0.88
    assert np.all(high - low > 2.0 * found.error)


def test_one_unknown_draw_leaves_no_band():
    def unknown(place: np.ndarray) -> np.ndarray:
        value = jagged(place).copy()
        value[-1, 1, 1] = np.nan
        return value

    low, high = drawn_readings(DRAWN, counting(unknown, [])).band()
    assert np.isnan(low[1, 1])
    assert np.isnan(high[1, 1])
    assert np.isfinite(low[0]).all()


def test_a_site_that_bears_next_to_nothing_does_not_count():
    value = np.stack([np.full((10, 3), 0.9), np.full((10, 3), 0.05)], axis=-1)
    assert bearing(value).tolist() == [[True, False]] * 3
