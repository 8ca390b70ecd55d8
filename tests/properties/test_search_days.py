"""The search's shortcuts over pairs of chains against the plain day they stand for."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leeward.programme.front import non_dominated
from leeward.programme.joined_days import joined_index
from leeward.programme.loads import MovementRows, RatioTable
from leeward.programme.moved_days import is_stay, last_rows, moved
from leeward.programme.passages import passages
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
from leeward.terms.units import SECONDS_PER_DAY
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law import STANDARD_LAW, use_rate
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.movement import PIECES
from leeward.tissue.runs import longest_loaded

seeds = st.integers(0, 2**32 - 1)


def chain(random, count, segments, *, shortest=300.0, longest=9000.0):
    """Candidates with some padding; the first segment lasts, and together longer than the lag."""
    durations = random.uniform(shortest, longest, (count, segments))
    durations[:, 1:] *= random.random((count, segments - 1)) < 0.8
    durations[:, 1] += np.maximum(0.0, 310.0 - durations.sum(axis=1))
    return durations, random.integers(0, 5, (count, segments))


def turning(random, ratio):
    """Five postures between which a surface needs up to ten minutes, by any loads on the way."""
    pieces = random.uniform(0.0, 1.6, (25 * PIECES, ratio.shape[1]))
    unknown = np.full((1, ratio.shape[1]), np.nan)
    time = np.where(np.eye(5, dtype=bool), 0.0, random.uniform(0.0, 600.0, (5, 5)))
    rows = 6 + np.arange(25 * PIECES).reshape(5, 5, PIECES)
    rows[np.arange(5), np.arange(5)] = 5
    share = np.full((5, 5, PIECES), 1.0 / PIECES)
    movements = MovementRows(time, share, rows, np.zeros((5, 5), dtype=np.intp))
    all_rows = np.concatenate((ratio, unknown, pieces))[np.newaxis]
    some = np.ones(6, dtype=bool)
    postures = tuple(Posture(turn=0.1 * n) for n in range(5))
    listed = LoadRatios(
        postures, tuple(Site)[: ratio.shape[1]], ratio[np.newaxis], some[np.newaxis, :5]
    )
    return RatioTable(listed, all_rows, some, some, some, movements)


def lived(durations, ratio):
    """Largest allowance of a day lived for three weeks, in a plain loop over its parts."""
    parts = [part for number in range(len(ratio)) for part in lagged(durations, ratio, number)]
    allowance = peak = np.zeros(ratio.shape[1])
    for _ in range(1 + int(21.0 * SECONDS_PER_DAY / durations.sum())):
        peak = allowance
        for kept, towards in parts:
            allowance = allowance * kept + towards * (1.0 - kept)
            peak = np.maximum(peak, allowance)
    return peak


def lagged(durations, ratio, number):
    """Parts of one segment, by the heaviest load of the last minutes, two days back."""
    law, day = STANDARD_LAW, durations.sum()
    ends = np.concatenate([np.cumsum(durations) - back * day for back in (2, 1, 0)])
    begins, loads = ends - np.tile(durations, 3), np.tile(ratio, (3, 1))
    now, length = begins[2 * len(ratio) + number], durations[number]
    cuts = np.unique(np.clip(ends + law.lag, now, now + length))
    for start, end in itertools.pairwise(np.unique([now, *cuts, now + length])):
        counts = (ends > 0.5 * (start + end) - law.lag) & (begins <= now) & (ends > begins)
        rate = law.loaded_recovery + law.relief_recovery * np.maximum(
            0.0, 1.0 - loads[counts].max(axis=0)
        )
        kept = np.exp(-rate * (end - start) / law.time_constant)
        yield kept, use_rate(ratio[number]) / rate


@settings(max_examples=10)
@given(seeds, st.sampled_from([20.0, 200.0, 900.0]))
def test_a_joined_pair_has_the_index_of_its_day_lived_again_and_again(seed, shortest):
    random = np.random.default_rng(seed)
    allowed = random.uniform(0.5, 3.0, 3)
    chains = [chain(random, 1, 5, shortest=shortest, longest=10.0 * shortest) for _ in range(2)]
    chains[0][0][:, 2] = 15000.0
    table = turning(random, random.uniform(0.0, 1.6, (5, 3)))
    ways = [passages(d, r, table, np.ones(d.shape[1], dtype=bool)) for d, r in chains]
    found = joined_index(*ways, table.ratio, allowed[np.newaxis], table)[0]
    lengths, rows = day_of(chains, 0, 0, table)
    exact = lived(lengths, table.ratio[0][rows]) / allowed
    assert found[0, 0] == pytest.approx(exact.max(), abs=1e-9)


def day_of(chains, i, j, table):
    """Stays and movements of one pair."""
    stays, postures = (
        np.concatenate((first[i], second[j]))[np.newaxis]
        for first, second in zip(*chains, strict=True)
    )
    lengths, rows = moved(stays, postures, last_rows(stays, postures), table)
    return lengths[0], rows[0]


@settings(max_examples=12)
@given(seeds, st.sampled_from([20.0, 200.0, 900.0]), st.integers(1, 3))
def test_joined_pairs_have_the_indices_of_their_days_in_every_draw(seed, shortest, draws):
    random = np.random.default_rng(seed)
    table = turning(random, random.uniform(0.0, 1.6, (5, 3)))
    ratio = table.ratio * random.uniform(0.7, 1.3, (draws, 1, 3))
    allowed = random.uniform(0.5, 3.0, (draws, 3))
    chains = [chain(random, count, 6, shortest=shortest, longest=6000.0) for count in (3, 4)]
    counted = [random.random(6) < (2.0, 0.8, 0.8, 0.8, 0.8, 0.8) for _ in chains]
    ways = [passages(*one, table, known) for one, known in zip(chains, counted, strict=True)]
    found = joined_index(*ways, ratio, allowed, table)
    is_left_out = is_stay(~np.concatenate(counted))
    for i, j in itertools.product(range(3), range(4)):
        lengths, rows = day_of(chains, i, j, table)
        lengths = np.where(is_left_out, 0.0, lengths)
        exact = steady_peak(lengths, ratio[:, rows]) / allowed
        assert found[:, i, j] == pytest.approx(exact.max(axis=1), abs=1e-12)


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
