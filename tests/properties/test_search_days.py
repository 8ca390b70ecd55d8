"""The search's shortcuts over pairs of chains against the plain day they stand for."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from leeward.programme.front import non_dominated
from leeward.programme.joined_days import chain_map, joined_index
from leeward.programme.loads import MovementRows, RatioTable
from leeward.programme.moved_days import last_rows, moved
from leeward.programme.ruling_lines import CLOSE
from leeward.programme.runs_over_day import (
    load_runs,
    own_runs_are_short,
    own_stays_are_short,
    runs_are_short,
    stay_runs,
    stays_are_short,
)
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.tissue.allowance import steady_peak
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.movement import PIECES
from leeward.tissue.runs import longest_loaded

seeds = st.integers(0, 2**32 - 1)


def chain(random, count, segments, *, shortest=300.0):
    """Candidates with some padding; the first segment lasts and no stay is below the lag."""
    durations = random.uniform(shortest, 9000.0, (count, segments))
    durations[:, 1:] *= random.random((count, segments - 1)) < 0.8
    return durations, random.integers(0, 5, (count, segments))


def turning(random, ratio):
    """Five postures between which a surface needs up to ten minutes, by any loads on the way."""
    pieces = random.uniform(0.0, 1.6, (25 * PIECES, ratio.shape[1]))
    unknown = np.full((1, ratio.shape[1]), np.nan)
    time = np.where(np.eye(5, dtype=bool), 0.0, random.uniform(0.0, 600.0, (5, 5)))
    rows = 6 + np.arange(25 * PIECES).reshape(5, 5, PIECES)
    share = np.full((5, 5, PIECES), 1.0 / PIECES)
    movements = MovementRows(time, share, rows, np.zeros((5, 5), dtype=np.intp))
    all_rows = np.concatenate((ratio, unknown, pieces))[np.newaxis]
    some = np.ones(6, dtype=bool)
    postures = tuple(Posture(turn=0.1 * n) for n in range(5))
    listed = LoadRatios(
        postures, tuple(Site)[: ratio.shape[1]], ratio[np.newaxis], some[np.newaxis, :5]
    )
    return RatioTable(listed, all_rows, some, some, some, movements)


@given(seeds)
def test_a_joined_pair_has_the_index_of_its_day(seed):
    random = np.random.default_rng(seed)
    ratio = random.uniform(0.0, 1.6, (5, 3))
    allowed = random.uniform(0.5, 3.0, 3)
    (first, first_rows), (second, second_rows) = (
        chain(random, 3, 5, shortest=900.0),
        chain(random, 4, 6, shortest=900.0),
    )
    table = turning(random, ratio)
    maps = [
        chain_map(d, r, table.ratio[0], table, np.ones(d.shape[1], dtype=bool))
        for d, r in ((first, first_rows), (second, second_rows))
    ]
    found = joined_index(*maps, table.ratio[0], allowed, table)
    ratio = table.ratio[0]
    for i in range(3):
        for j in range(4):
            stays = np.concatenate((first[i], second[j]))[np.newaxis]
            postures = np.concatenate((first_rows[i], second_rows[j]))[np.newaxis]
            moves = moved(stays, postures, last_rows(stays, postures), table)
            durations, rows = moves[0][0], moves[1][0]
            exact = (steady_peak(durations, ratio[rows]) / allowed).max()
            assert exact - CLOSE / allowed.min() <= found[i, j] <= exact + 1e-9


def longest_run(durations, ratio, exempt):
    """A day shorter than 24 h that never relieves is as long as it is, not 24 h."""
    counted = ((ratio > 0.9) & ~exempt[:, np.newaxis]) * durations[:, np.newaxis]
    return np.minimum(longest_loaded(durations, ratio, exempt), counted.sum(axis=0))


@given(seeds, st.booleans())
def test_loads_across_the_edges_of_a_pair_are_those_of_its_day(seed, prescribed):
    random = np.random.default_rng(seed)
    ratio = random.choice([0.5, 0.9, 1.0], (5, 2))
    longest = random.uniform(2000.0, 30000.0, 2)
    (first, first_rows), (second, second_rows) = chain(random, 3, 4), chain(random, 3, 4)
    exempt = np.array([False, False, False, prescribed])
    runs = [load_runs(d, ratio[r], exempt) for d, r in ((first, first_rows), (second, second_rows))]
    found = runs_are_short(runs[0], runs[1], longest)
    for i in range(3):
        for j in range(3):
            durations = np.concatenate((first[i], second[j]))
            rows = np.concatenate((first_rows[i], second_rows[j]))
            run = longest_run(durations, ratio[rows], np.concatenate((exempt, exempt)))
            assert found[i, j] == bool((run <= longest + 1e-6).all())


@given(seeds)
def test_loads_across_the_edge_of_a_day_by_itself_are_those_of_the_day(seed):
    random = np.random.default_rng(seed)
    ratio = random.choice([0.5, 0.9, 1.0], (5, 2))
    longest = random.uniform(2000.0, 30000.0, 2)
    durations, rows = chain(random, 6, 5)
    never = np.zeros(5, dtype=bool)
    found = own_runs_are_short(load_runs(durations, ratio[rows], never), longest)
    for number in range(6):
        run = longest_run(durations[number], ratio[rows[number]], never)
        assert found[number] == bool((run <= longest + 1e-6).all())


def longest_stay(durations, rows):
    """Stay by stay, twice round the day."""
    longest, run, before = 0.0, 0.0, None
    pairs = [(d, r) for d, r in zip(durations, rows, strict=True) if d > 0.0]
    for duration, row in pairs * 2:
        run = run + duration if row == before else duration
        longest, before = max(longest, run), row
    return longest


@given(seeds)
def test_stays_across_the_edges_of_a_pair_are_those_of_its_day(seed):
    random = np.random.default_rng(seed)
    (first, first_rows), (second, second_rows) = chain(random, 3, 4), chain(random, 3, 4)
    first_rows[:, 0], second_rows[:, 0] = 5, 6  # a chain is never one stay
    never = np.zeros(4, dtype=bool)
    runs = [stay_runs(first, first_rows, never), stay_runs(second, second_rows, never)]
    limit = float(random.uniform(4000.0, 20000.0))
    found = stays_are_short(runs[0], runs[1], limit) & stays_are_short(runs[1], runs[0], limit).T
    for i in range(3):
        for j in range(3):
            durations = [*first[i], *second[j]]
            stay = longest_stay(durations, [*first_rows[i], *second_rows[j]])
            assert found[i, j] == (stay <= limit + 1e-6)
    own = own_stays_are_short(runs[0], limit)
    alone = [longest_stay(first[i], first_rows[i]) <= limit + 1e-6 for i in range(3)]
    assert own.tolist() == alone


@given(seeds)
def test_nothing_on_the_front_is_beaten_and_everything_off_it_is(seed):
    random = np.random.default_rng(seed)
    cost = random.integers(0, 4, (60, 4)).astype(float)
    index = np.round(random.random(60), 1)
    able = random.random(60) < 0.7
    front = non_dominated(cost, index, able)
    values = np.column_stack((cost[:, :3], index))

    def beats(a, b):
        return bool((values[a] <= values[b]).all() and (values[a] < values[b]).any())

    candidates = np.flatnonzero(able)
    assert set(front.tolist()) <= set(candidates.tolist())
    for place in front:
        assert not any(beats(other, place) for other in candidates)
    for place in candidates:
        assert any(beats(f, place) or (values[f] == values[place]).all() for f in front)
