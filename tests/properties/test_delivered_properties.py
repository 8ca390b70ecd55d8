"""What holds for every log: nothing makes silence a kept stay, nothing crashes the reader."""

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leeward.delivered.column_map import PositiveMeans
from leeward.delivered.delivered import DeliveredReader, read_delivered
from leeward.review.comparison import compare
from leeward.terms.errors import UnreadableLog
from leeward.terms.verdict import Verdict
from tests.unit.delivered.logs import NOW, START, epoch_map, log, readings, written
from tests.unit.review.plans import DAY, LOOKS, whole_day

PLAN = whole_day()
DAYS = (datetime(2026, 3, 2, tzinfo=UTC), datetime(2026, 3, 4, tzinfo=UTC))
TIMES, ANGLES = readings(48.0)
LINES = written(TIMES, ANGLES)


def judged(lines, column_map=None):
    read = read_delivered(lines, column_map or epoch_map(), now=NOW)
    return compare(PLAN, read, DAY, LOOKS, period=DAYS)


def same(one, other):
    assert np.array_equal(one.series.edges, other.series.edges)
    assert one.series.postures == other.series.postures
    assert one.series.validity == other.series.validity
    assert (one.turns, one.findings) == (other.turns, other.findings)


@given(st.lists(st.integers(1, 900), max_size=12))
@settings(max_examples=15)
def test_a_log_read_in_pieces_is_the_log_read_whole(sizes):
    reader = DeliveredReader(epoch_map(), now=NOW)
    at = 0
    for size in sizes:
        reader.feed(LINES[at : at + size])
        at += size
    reader.feed(LINES[at:])
    same(reader.finish(), read_delivered(LINES, epoch_map(), now=NOW))


@given(st.sampled_from(["", "time,angle", "time,angle\n\n\n", "# simulated\ntime,angle"]))
def test_an_empty_log_never_passes(text):
    assert judged(text.splitlines()).judgement.verdict is Verdict.CANNOT_TELL


@given(st.integers(0, 2**32 - 1), st.floats(0.0, 1.0), st.booleans())
@settings(max_examples=25)
def test_dropping_readings_never_raises_the_share_judged(seed, share, in_a_row):
    chance = np.random.default_rng(seed)
    if in_a_row:
        first = chance.integers(0, TIMES.size)
        kept = np.ones(TIMES.size, bool)
        kept[first : first + int(share * TIMES.size)] = False
    else:
        kept = chance.random(TIMES.size) >= share
    whole, fewer = judged(LINES), judged(written(TIMES[kept], ANGLES[kept]))
    assert fewer.judgement.assessed_fraction <= whole.judgement.assessed_fraction + 1e-9


@given(st.integers(0, 2**32 - 1), st.floats(0.1, 2.0), st.sampled_from([10.0, 60.0, 120.0]))
@settings(max_examples=20)
def test_exchanged_sides_never_pass(seed, noise_deg, every_s):
    lines = log(48.0, seed=seed, noise_deg=noise_deg, every_s=every_s)
    assert judged(lines, epoch_map(PositiveMeans.RIGHT)).judgement.verdict is Verdict.DIFFERS


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=15)
def test_the_mirror_image_of_a_log_mirrors_its_postures(seed):
    lines = log(12.0, seed=seed, noise_deg=1.0)
    left = read_delivered(lines, epoch_map(), now=NOW)
    right = read_delivered(lines, epoch_map(PositiveMeans.RIGHT), now=NOW)
    assert np.array_equal(left.series.edges, right.series.edges)
    for one, other in zip(left.series.postures, right.series.postures, strict=True):
        assert one.turn == pytest.approx(-other.turn, abs=1e-12)


@given(st.floats(0.0, 40.0), st.floats(0.5, 10.0))
@settings(max_examples=15)
def test_silence_is_never_counted_as_judged(at_h, length_h):
    first = START + at_h * 3600.0
    since = TIMES - first
    heard = (since < 0.0) | (since > length_h * 3600.0)
    found = judged(written(TIMES[heard], ANGLES[heard]))
    lost = min(length_h, 48.0 - at_h) * 3600.0
    assert found.time.unknown >= lost - 60.0


MANGLED = st.sampled_from(
    ["", ",", ",,,,", "nan,nan", "0,0", "1e308,1", "-1,-1", '"', '"a"b,c', "time,angle", "\ufeff",
     "1772409600,1e309", "99999999999999,5", "1772409600.5,-90.1", "x" * 4000, "x" * 5000, "\0",
     "１７７２,３", "--,--", "1772409600;20", " 1772409600 , 20 ", "#", "1772496000,45"]
)  # fmt: skip


@given(
    st.lists(st.tuples(st.integers(0, 400), MANGLED), max_size=30),
    st.lists(st.tuples(st.integers(0, 400), st.integers(0, 400)), max_size=10),
    st.text(max_size=60),
)
@settings(max_examples=300)
def test_a_mangled_log_is_read_or_refused_but_never_crashes(changes, swaps, noise):
    lines = LINES[:400]
    for place, text in changes:
        lines.insert(min(place, len(lines)), text)
    for one, other in swaps:
        a, b = one % len(lines), other % len(lines)
        lines[a], lines[b] = lines[b], lines[a]
    lines.insert(len(lines) // 2, noise)
    try:
        read = read_delivered(lines, epoch_map(), now=NOW)
    except UnreadableLog:
        return
    found = compare(PLAN, read, DAY, LOOKS, period=DAYS)
    assert found.judgement.verdict is Verdict.CANNOT_TELL
    assert 0.0 <= found.judgement.assessed_fraction <= 7.0 / 48.0
