"""Whatever a record holds, it reads back the same, and one change changes its digest."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from leeward.programme.decision import Decision
from leeward.programme.programme import BuildUpStep, ManualTask, Programme, Window
from leeward.records.canonical import (
    Plain,
    canonical_json,
    digest,
    from_plain,
    plain_from_json,
    to_plain,
)
from leeward.records.entry import Entry, append, verify
from leeward.records.shape import Form, record_fields, shape_of
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, Stay
from leeward.terms.series import PostureSeries, Validity

numbers = st.floats(allow_nan=False, allow_infinity=False)
texts = st.text(st.characters(codec="utf-8"), max_size=12)
moments = st.datetimes(
    min_value=datetime(1970, 1, 2), max_value=datetime(2100, 1, 1),  # noqa: DTZ001
    timezones=st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m))),
)  # fmt: skip
SINGLE = {
    Form.TEXT: texts,
    Form.FLAG: st.booleans(),
    Form.WHOLE: st.integers(),
    Form.NUMBER: numbers,
    Form.MOMENT: moments,
    Form.DATE: st.dates(),
}


def values(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a field's type, as wild as the type allows."""
    shape = shape_of(hint)
    if shape.kind in KEEPING_RULES:
        return KEEPING_RULES[shape.kind]()
    if shape.form in SINGLE:
        return SINGLE[shape.form]
    if shape.form is Form.MEMBER:
        return st.sampled_from(list(shape.kind))
    if shape.form is Form.RECORD:
        return records(shape.kind)
    inner = [values(kind) for kind in shape.inner]
    if shape.form is Form.FIXED_LIST:
        return st.tuples(*inner)
    if shape.form is Form.OPTIONAL:
        return st.none() | inner[0]
    if shape.form is Form.SET:
        return st.frozensets(inner[0], max_size=3)
    assert shape.form is Form.LIST, hint
    return st.lists(inner[0], max_size=2).map(tuple)


def records(kind: type[Any], **known: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Records whose fields are known or as wild as their types allow."""
    rest = {field.name: values(field.hint) for field in record_fields(kind)}
    return st.builds(kind, **(rest | known))


def stays(shortest: float) -> st.SearchStrategy[Stay]:
    """Stays of up to a day."""
    return st.builds(Stay, values(Posture), st.floats(shortest, 86400.0))


def regimes() -> st.SearchStrategy[Regime]:
    """Regimes that keep the rules of their own record."""
    cycles = st.lists(stays(shortest=60.0), max_size=2).map(tuple)
    return records(Regime, cycle=cycles, night_cycle=cycles)


@st.composite
def programmes(draw: st.DrawFn) -> Programme:
    """Programmes that keep the rules of their own record."""
    starts = sorted(draw(st.sets(st.integers(0, 1439), min_size=1, max_size=4)))
    ends = [*starts[1:], starts[0]]
    cycles = st.lists(stays(shortest=1.0), min_size=1, max_size=4).map(tuple)
    windows = tuple(
        Window(draw(texts), DaySpan(60.0 * start, 60.0 * end), draw(cycles), draw(texts))
        for start, end in zip(starts, ends, strict=True)
    )
    steps = draw(st.lists(values(BuildUpStep), max_size=2).map(tuple))
    tasks = draw(st.lists(values(ManualTask), max_size=2).map(tuple))
    return Programme(windows, steps, tasks)


#: Records that refuse some values of their fields' types.
KEEPING_RULES = {Programme: programmes, Regime: regimes}

slow_to_make = settings(suppress_health_check=list(HealthCheck), max_examples=15)
plain_data = st.recursive(
    st.none() | st.booleans() | st.integers() | numbers | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=12,
)


def through_json(kind: type[Any], value: Any) -> Any:
    return from_plain(kind, plain_from_json(canonical_json(value)))


@slow_to_make
@given(values(Case))
def test_a_case_reads_back_the_same(case: Case):
    assert through_json(Case, case) == case
    assert from_plain(Case, to_plain(case)) == case


@slow_to_make
@given(values(Decision))
def test_a_decision_reads_back_the_same(decision: Decision):
    assert through_json(Decision, decision) == decision


@slow_to_make
@given(values(Case))
def test_a_case_read_back_has_the_same_digest(case: Case):
    assert digest(through_json(Case, case)) == digest(case)


@given(values(Posture), numbers)
def test_another_value_has_another_digest(posture: Posture, turn: float):
    assert (digest(replace(posture, turn=turn)) == digest(posture)) == (turn == posture.turn)


@given(plain_data)
def test_plain_data_reads_back_the_same(plain: Plain):
    assert plain_from_json(canonical_json(plain)) == plain
    assert canonical_json(plain_from_json(canonical_json(plain))) == canonical_json(plain)


@given(hnp.arrays(np.float64, st.integers(2, 8), elements=st.floats(0.001, 1e6)), texts)
def test_a_posture_series_reads_back_the_same(steps: np.ndarray, origin: str):
    count = len(steps) - 1
    series = PostureSeries(
        np.cumsum(steps), (Posture(turn=0.3),) * count, (Validity.UNKNOWN,) * count, origin
    )
    back = through_json(PostureSeries, series)
    assert np.array_equal(back.edges, series.edges)
    assert (back.postures, back.validity, back.origin) == (
        series.postures,
        series.validity,
        series.origin,
    )


@given(st.binary(max_size=200) | plain_data.map(canonical_json).flatmap(
    lambda text: st.binary(max_size=3).map(lambda noise: text[:-2] + noise)
))  # fmt: skip
def test_damaged_json_is_read_or_refused_never_else(data: bytes):
    try:
        plain = plain_from_json(data)
    except InvalidInput:
        return
    assert plain_from_json(canonical_json(plain)) == plain


@given(plain_data)
def test_foreign_data_is_no_posture_unless_it_fits(plain: Plain):
    try:
        posture = from_plain(Posture, plain)
    except InvalidInput:
        return
    assert from_plain(Posture, to_plain(posture)) == posture


@given(st.lists(plain_data, min_size=2, max_size=5), st.data())
def test_no_entry_changes_unseen(bodies: list[Plain], data: st.DataObject):
    chain: tuple[Entry, ...] = ()
    for body in bodies:
        chain = append(chain, body, at=datetime(2030, 1, 1, tzinfo=UTC), author="A", kind="note")
    assert verify(chain, last_digest=chain[-1].digest) == ()
    order = data.draw(st.permutations(range(len(chain))))
    kept = order[: data.draw(st.integers(0, len(order)))]
    changed = tuple(chain[place] for place in kept)
    found = verify(changed, last_digest=chain[-1].digest)
    assert bool(found) == (changed != chain)
