"""The few lines that rule against all of them."""

import numpy as np
import pytest

from leeward.programme.ruling_lines import CLOSE, ruling_lines

WHERE = np.linspace(0.0, 1.0, 401)[:, np.newaxis, np.newaxis]


def largest(gain, offset, low, high):
    """Largest line at many places of each range, (places, n, s)."""
    at = low + WHERE * (high - low)
    return np.max([g * at + o for g, o in zip(gain, offset, strict=True)], axis=0)


def tangents(random, lines, shape):
    """Tangents of parabolas: every one of them rules somewhere."""
    touches = np.sort(random.uniform(-0.2, 1.2, (lines, *shape)), axis=0)
    return 2.0 * touches, -(touches**2)


@pytest.mark.parametrize("lines", [1, 2, 3, 40])
@pytest.mark.parametrize("seed", [1, 2])
def test_the_largest_of_those_found_is_close_below_that_of_all(lines, seed):
    random = np.random.default_rng(seed)
    gain, offset = tangents(random, lines, (5, 3))
    low = random.uniform(0.0, 0.5, (5, 3))
    high = low + random.uniform(0.0, 0.5, (5, 3))
    found = largest(*ruling_lines(gain, offset, low, high), low, high)
    missed = largest(gain, offset, low, high) - found
    assert missed.min() >= -1e-12
    assert missed.max() <= CLOSE


def test_lines_in_any_order_with_equal_neighbours_are_all_looked_at():
    random = np.random.default_rng(3)
    gain, offset = tangents(random, 30, (4, 2))
    order = np.repeat(random.permutation(30), 2)
    gain, offset = gain[order], offset[order]
    low, high = np.zeros((4, 2)), np.ones((4, 2))
    found = largest(*ruling_lines(gain, offset, low, high), low, high)
    assert np.abs(largest(gain, offset, low, high) - found).max() <= CLOSE


def test_only_lines_that_rule_are_kept_where_two_do():
    gain = np.array([0.0, 0.4, 1.0])[:, np.newaxis, np.newaxis]
    offset = np.array([0.5, 0.2, 0.0])[:, np.newaxis, np.newaxis]
    found = ruling_lines(gain, offset, np.zeros((1, 1)), np.ones((1, 1)))
    assert found[:, :, 0, 0].tolist() == [[0.0, 1.0], [0.5, 0.0]]


def test_where_a_line_is_unknown_the_largest_is():
    gain, offset = np.ones((3, 1, 2)), np.zeros((3, 1, 2))
    offset[1:, 0, 1] = np.nan
    found = ruling_lines(gain, offset, np.zeros((1, 2)), np.ones((1, 2)))
    peak = (found[0] + found[1]).max(axis=0)
    assert peak[0, 0] == 1.0
    assert np.isnan(peak[0, 1])
