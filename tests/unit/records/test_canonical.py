"""One value has one text, and what does not fit is named by its path."""

import math
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from enum import IntEnum
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from leeward.records.canonical import (
    canonical_json,
    digest,
    from_plain,
    plain_from_json,
    to_plain,
)
from leeward.records.position import GREATEST_DEPTH
from leeward.terms.bed import Mattress
from leeward.terms.clock import DaySpan
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.person import Consent
from leeward.terms.posture import Posture, Support
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.sourced import Sourced


@dataclass(frozen=True)
class Table:
    values: NDArray[np.float64]
    flags: NDArray[np.bool_]
    counts: NDArray[np.int64]


@dataclass(frozen=True)
class Mixed:
    number: float
    whole: int = 0
    text: str = ""
    flag: bool = False
    state: EquilibriumState = EquilibriumState.STABLE
    by_name: dict[str, float] = field(default_factory=dict)
    when: datetime | None = None
    day: date | None = None
    any_of_it: dict[str, Any] | None = None


def regime(turn: object = 0.5) -> dict[str, Any]:
    made = Regime(
        "two-hourly",
        RegimeStanding.ASSUMED,
        TurnMeans.BY_HAND,
        (Stay(Posture(), 7200.0), Stay(Posture(turn=0.5), 7200.0)),
        Mattress(),
    )
    plain = to_plain(made)
    assert isinstance(plain, dict)
    plain["cycle"][1]["posture"]["turn"] = turn
    return plain


def test_keys_are_sorted_and_nothing_is_wasted():
    assert (
        canonical_json({"b": [1.5, True, None], "a": "ü"})
        == '{"a":"ü","b":[1.5,true,null]}'.encode()
    )


def test_equal_numbers_have_equal_text():
    texts = {canonical_json(Mixed(number)) for number in (2, 2.0, np.float64(2.0))}
    assert len(texts) == 1
    assert canonical_json([-0.0]) == b"[0]"


def test_a_float_reads_back_to_the_last_bit():
    awkward = [0.1, 1e-310, 1e23, 2.0**53, 2.0**53 + 2.0, math.pi, 1.7976931348623157e308]
    assert plain_from_json(canonical_json(awkward)) == awkward


def test_the_digest_is_that_of_the_json():
    # printf '{"end":25200,"start":79200}' | sha256sum
    expected = "9046c35b9a6bfa75a3218d024d1affa225dbaf793251c4b536cc0d018e946e36"
    assert digest(DaySpan(start=79200.0, end=25200.0)) == expected


def test_a_set_is_written_in_one_order():
    one = Posture(supports=frozenset([Support.BOLSTER_LEFT, Support.PILLOW_UNDER_CALVES]))
    other = Posture(supports=frozenset([Support.PILLOW_UNDER_CALVES, Support.BOLSTER_LEFT]))
    assert canonical_json(one) == canonical_json(other)
    assert from_plain(Posture, to_plain(one)) == one


def test_what_is_not_finite_has_a_word_of_its_own_in_a_number_field():
    for number, text in ((math.nan, "NaN"), (math.inf, "Infinity"), (-math.inf, "-Infinity")):
        plain = to_plain(Mixed(number))
        assert isinstance(plain, dict)
        assert plain["number"] == text
        assert repr(from_plain(Mixed, plain).number) == repr(number)


@pytest.mark.parametrize("value", [math.nan, [math.inf], {"turn": -math.inf}])
def test_what_is_not_finite_is_refused_where_no_field_says_number(value: object):
    with pytest.raises(InvalidInput, match="finite"):
        canonical_json(value)


def test_an_array_keeps_its_shape_its_kind_and_its_unknown_values():
    table = Table(np.array([[1.0, np.nan], [-0.0, np.inf]]), np.array([True, False]), np.arange(3))
    back = from_plain(Table, plain_from_json(canonical_json(table)))
    assert np.array_equal(back.values, table.values, equal_nan=True)
    assert back.values.dtype == np.float64
    assert back.flags.tolist() == [True, False]
    assert back.flags.dtype == np.bool_
    assert back.counts.dtype == np.int64


@pytest.mark.parametrize("shape", [(), (0, 3)])
def test_an_array_whose_shape_would_be_lost_is_refused(shape: tuple[int, ...]):
    with pytest.raises(InvalidInput, match="values"):
        to_plain(Table(np.zeros(shape), np.zeros(1, bool), np.arange(1)))


@pytest.mark.parametrize(
    "values", [[[1.0], [1.0, 2.0]], [[1.0], 2.0], ["1"], [None], [True], 3.0, [10**400]]
)
def test_a_table_that_is_no_table_is_refused(values: object):
    with pytest.raises(InvalidInput, match="values"):
        from_plain(Table, {"values": values, "flags": [], "counts": []})


def test_a_time_without_offset_is_refused_both_ways():
    naive = datetime(2030, 1, 31, 22)  # noqa: DTZ001
    with pytest.raises(InvalidInput, match="when"):
        to_plain(Mixed(1.0, when=naive))
    with pytest.raises(InvalidInput, match="when"):
        from_plain(Mixed, {"number": 1.0, "when": "2030-01-31T22:00:00"})


def test_a_date_is_not_a_time():
    moment = datetime(2030, 1, 31, tzinfo=UTC)
    with pytest.raises(InvalidInput, match="day"):
        to_plain(Mixed(1.0, day=moment))
    with pytest.raises(InvalidInput, match="day"):
        from_plain(Mixed, {"number": 1.0, "day": moment.isoformat()})
    assert from_plain(Mixed, to_plain(Mixed(1.0, when=moment))).when == moment


def test_a_wrong_value_deep_inside_is_named_by_its_path():
    with pytest.raises(InvalidInput) as caught:
        from_plain(Regime, regime(turn="thirty"))
    assert caught.value.where == "cycle[1].posture.turn"
    assert "'thirty'" in caught.value.sentence


def test_an_unknown_field_names_the_nearest_known_one():
    plain = regime()
    plain["cycle"][0]["posture"]["backrst"] = 0.3
    with pytest.raises(InvalidInput, match="perhaps 'backrest' was meant") as caught:
        from_plain(Regime, plain)
    assert caught.value.where == "cycle[0].posture.backrst"


def test_an_unknown_member_names_the_nearest_known_one():
    with pytest.raises(InvalidInput, match="perhaps 'the person agreed' was meant"):
        from_plain(Consent, {"kind": "the person agred", "by": "A", "when": "2030-01-31"})


def test_a_field_left_out_takes_its_default_or_is_named():
    assert from_plain(Posture, {}) == Posture()
    with pytest.raises(InvalidInput) as caught:
        from_plain(Stay, {"posture": {}})
    assert caught.value.where == "duration"


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("number", True),
        ("number", None),
        ("number", "2"),
        ("number", 10**400),
        ("number", math.nan),
        ("whole", 1.0),
        ("whole", True),
        ("text", 3),
        ("text", "\ud800"),
        ("flag", 1),
        ("state", "stable"),
        ("state", True),
        ("state", 9),
        ("by_name", {"a": "b"}),
        ("by_name", []),
    ],
)
def test_no_value_is_bent_to_fit(name: str, value: object):
    with pytest.raises(InvalidInput, match=name):
        from_plain(Mixed, {"number": 1.0, name: value})


def test_a_value_of_the_wrong_kind_is_not_written_either():
    with pytest.raises(InvalidInput, match="whole"):
        to_plain(Mixed(1.0, whole="3"))  # type: ignore[arg-type]
    with pytest.raises(InvalidInput, match="state"):
        to_plain(Mixed(1.0, state=0))  # type: ignore[arg-type]


def test_a_numbered_member_keeps_its_number():
    assert from_plain(Mixed, to_plain(Mixed(1.0, state=EquilibriumState.TIPS))).state is (
        EquilibriumState.TIPS
    )

    class Other(IntEnum):
        TIPS = 2

    with pytest.raises(InvalidInput, match="state"):
        to_plain(Mixed(1.0, state=Other.TIPS))  # type: ignore[arg-type]


def test_a_record_refused_by_its_own_rules_is_named():
    plain = {"value": 5.0, "unit": "m", "source": "s", "population": "p", "low": 6.0}
    with pytest.raises(InvalidInput, match="outside its own range"):
        from_plain(Sourced, plain)


def test_a_set_that_names_a_member_twice_is_refused():
    twice = [Support.BOLSTER_LEFT.value] * 2
    with pytest.raises(InvalidInput, match="twice"):
        from_plain(Posture, {"supports": twice})


def test_a_record_that_holds_itself_is_refused():
    circle: list[Any] = []
    circle.append(circle)
    with pytest.raises(InvalidInput, match="too deeply"):
        to_plain(circle)


def test_a_record_too_large_is_refused(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("leeward.records.position.GREATEST_COUNT", 10)
    with pytest.raises(InvalidInput, match="too large"):
        to_plain(list(range(11)))
    with pytest.raises(InvalidInput, match="too large"):
        from_plain(Table, {"values": [0.0] * 11, "flags": [], "counts": []})


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "line 1"),
        (b"{", "line 1"),
        (b'{"a":1,"a":2}', "stands twice"),
        (b"[NaN]", "NaN"),
        (b"[1e999]", "finite"),
        (b"[" + b"9" * 5000 + b"]", "digits"),
        (b"\xff", "UTF-8"),
        (b'["\\ud800"]', "half a character"),
        (b"[" * (GREATEST_DEPTH + 1), "too deeply"),
        (b"[" * 100_000 + b"]" * 100_000, "too deeply"),
        (b'{"a":' * 1000 + b"1" + b"}" * 1000, "too deeply"),
    ],
)
def test_json_from_anywhere_is_refused_in_one_sentence(data: bytes, said: str):
    with pytest.raises(InvalidInput, match=said):
        plain_from_json(data)


def test_brackets_inside_text_are_no_depth():
    text = b'["' + b"[" * 1000 + b'\\"]"]'
    assert plain_from_json(text) == ["[" * 1000 + '"]']


def test_json_too_long_is_refused_before_it_is_read(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("leeward.records.canonical.GREATEST_LENGTH", 3)
    with pytest.raises(InvalidInput, match="4 bytes"):
        plain_from_json(b"[1] ")


def test_a_type_without_plain_form_is_the_programmers_mistake():
    @dataclass(frozen=True)
    class Odd:
        value: complex

    with pytest.raises(TypeError, match="plain form"):
        to_plain(Odd(1j))


def test_plain_data_is_copied():
    body = {"list": [1]}
    kept = to_plain(body)
    body["list"].append(2)
    assert kept == {"list": [1]}
