"""What the numbers, lists and texts of a stored plan may be.

A file that bears the right digests may still be forged, and what draws, prints or unrolls a plan
must never meet a turn of 1e308 degrees or a stay of a nanosecond.
"""

import math
from collections.abc import Iterator, Sized
from dataclasses import is_dataclass
from typing import Any

from leeward.exchange.problems import Place, field_path, shown
from leeward.programme.decision import (
    Assessment,
    Choice,
    Decision,
    Disturbance,
    RuledOut,
    SiteResult,
    TradeOffPoint,
)
from leeward.programme.other_conventions import IndexThen, OrderOfTwo
from leeward.programme.programme import BuildUpStep, ManualTask, Programme, Window
from leeward.records.shape import record_fields
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.regime import SHORTEST_REGIME_STAY, Stay
from leeward.terms.units import SECONDS_PER_DAY, radians_from_deg
from leeward.terms.verdict import Quantity, Reason

#: Times and angles may differ from an edge by what rounding leaves.
_ROUNDING = 1e-6
_RIGHT_ANGLE = radians_from_deg(90.0) + _ROUNDING
_DAY = (0.0, SECONDS_PER_DAY)
#: Far beyond every plan there is; what is larger was written by no leeward.
_COUNT = (0, 10**9)
_RATIO = (0.0, 1e6)
_SHARE = (0.0, 1.0)
_MOVEMENTS = (0, 24 * 60 * 2)
#: No more people than this lay hands on one person.
_MOST_PEOPLE = 20

#: Edges of every number of a plan, in the unit of its field. All are conventions of this project:
#: what a case may hold (`leeward.exchange.field_types`), or what a day can hold.
EDGES: dict[tuple[type, str], tuple[float, float]] = {
    (Posture, "turn"): (-_RIGHT_ANGLE, _RIGHT_ANGLE),
    (Posture, "backrest"): (0.0, _RIGHT_ANGLE),
    (Posture, "knee_raise"): (0.0, _RIGHT_ANGLE),
    (Posture, "head_up"): (-_RIGHT_ANGLE, _RIGHT_ANGLE),
    (Stay, "duration"): (SHORTEST_REGIME_STAY.value - _ROUNDING, SECONDS_PER_DAY + _ROUNDING),
    (DaySpan, "start"): (0.0, math.nextafter(SECONDS_PER_DAY, 0.0)),
    (DaySpan, "end"): (0.0, math.nextafter(SECONDS_PER_DAY, 0.0)),
    (BuildUpStep, "from_hour"): (0.0, 24.0 * 400.0),
    (BuildUpStep, "share_of_turn"): _SHARE,
    (ManualTask, "times"): _DAY,
    (ManualTask, "duration"): _DAY,
    (ManualTask, "work_min"): (0.0, 24.0 * 60.0),
    (ManualTask, "people"): (1, _MOST_PEOPLE),
    (SiteResult, "peak_allowance"): _RATIO,
    (SiteResult, "index"): _RATIO,
    (SiteResult, "index_low"): _RATIO,
    (SiteResult, "index_high"): _RATIO,
    (SiteResult, "largest_load_ratio"): _RATIO,
    (Disturbance, "turns_per_day"): _MOVEMENTS,
    (Disturbance, "turns_in_sleep"): _MOVEMENTS,
    (Disturbance, "largest_turn"): (0.0, _RIGHT_ANGLE),
    (Disturbance, "turned_through"): (0.0, _MOVEMENTS[1] * math.pi),
    (Disturbance, "manual_min"): (0.0, 100.0 * 24.0 * 60.0),
    (Disturbance, "two_person_tasks"): _COUNT,
    (Disturbance, "outside_rounds"): _COUNT,
    (Disturbance, "pull"): _RATIO,
    (Assessment, "share_of_draws"): _SHARE,
    (RuledOut, "count"): _COUNT,
    (TradeOffPoint, "turns_in_sleep"): _MOVEMENTS,
    (TradeOffPoint, "programmes"): _COUNT,
    (TradeOffPoint, "index"): _RATIO,
    (TradeOffPoint, "index_low"): _RATIO,
    (TradeOffPoint, "index_high"): _RATIO,
    (TradeOffPoint, "worst_index"): _RATIO,
    (IndexThen, "index"): _RATIO,
    (OrderOfTwo, "first"): _COUNT,
    (OrderOfTwo, "second"): _COUNT,
    (Quantity, "value"): (-1e12, 1e12),
    (Decision, "candidates"): _COUNT,
    (Decision, "load_noise"): _RATIO,
    (Decision, "interpolation_error"): _RATIO,
    (Decision, "seed"): (0, 2**64),
}

#: Most entries of a list and most letters of a text, where fewer than usual.
_MOST_ENTRIES, _MOST_LETTERS = 2000, 100_000
_MOST: dict[tuple[type, str], int] = {
    (Decision, "choices"): 20,
    (Decision, "beside"): 20,
    (Decision, "trade_off"): 100,
    (Programme, "windows"): 100,
    (Programme, "build_up"): 100,
    (Programme, "tasks"): 100,
    (ManualTask, "times"): 200,
    (Window, "cycle"): 200,
    (Window, "name"): 500,
    (Choice, "settings"): 500,
    (Reason, "numbers"): 200,
}
_FIRST_YEAR, _LAST_YEAR = 2000, 2199


def check_domain(decision: Decision) -> None:
    """Refuse a decision that holds what no planning can have made.

    Parameters
    ----------
    decision : Decision
        As read back.

    Raises
    ------
    InvalidInput
        Naming the first number, list or text that is out of its edges.
    """
    if not _FIRST_YEAR <= decision.made_at.year <= _LAST_YEAR:
        raise _refusal(
            ("made_at",),
            f"a plan of the year {decision.made_at.year}",
            f"a year from {_FIRST_YEAR} to {_LAST_YEAR}",
        )
    for place, owner, value in _values(decision, ()):
        if isinstance(value, Sized):
            _check_length(place, owner, value)
        else:
            _check_edges(place, owner, value)


def _values(record: Any, place: Place) -> Iterator[tuple[Place, tuple[type, str], Any]]:
    """Every number, list and text of a record, outermost lists first."""
    kind: type = type(record)
    for field in record_fields(kind):
        value = getattr(record, field.name)
        yield from _inside(value, (*place, field.name), (kind, field.name))


def _inside(
    value: Any, place: Place, owner: tuple[type, str]
) -> Iterator[tuple[Place, tuple[type, str], Any]]:
    if is_dataclass(value):
        yield from _values(value, place)
    elif isinstance(value, tuple):
        yield place, owner, value
        for number, one in enumerate(value):
            yield from _inside(one, (*place, number), owner)
    elif isinstance(value, (int, float, str)) and not isinstance(value, bool):
        yield place, owner, value


def _check_length(place: Place, owner: tuple[type, str], value: Sized) -> None:
    is_text = isinstance(value, str)
    most = _MOST_LETTERS if is_text else _MOST_ENTRIES
    if not isinstance(place[-1], int):
        most = _MOST.get(owner, most)
    if len(value) > most:
        what = "letters" if is_text else "entries"
        raise _refusal(place, f"{len(value)} {what}", f"at most {most}")


def _check_edges(place: Place, owner: tuple[type, str], value: float) -> None:
    low, high = EDGES[owner]
    if not low <= value <= high:
        raise _refusal(place, shown(value), f"a number from {low:g} to {high:g}")


def _refusal(place: Place, what: str, expected: str) -> InvalidInput:
    return InvalidInput(
        what, where=field_path(place), expected=expected, remedy="use a plan that leeward wrote"
    )
