"""A what-if in plain words, read so that nothing is guessed: ``35 left for 3 h by night``."""

import re
from dataclasses import fields, replace

from leeward.exchange.problems import shown
from leeward.programme.what_if import WhatIf
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Side
from leeward.terms.units import (
    SECONDS_PER_DAY,
    deg_from_radians,
    min_from_seconds,
    radians_from_deg,
    seconds_from_min,
)

#: Largest turn that loads are computed for.
#: Source: convention of this project; beyond it no surface holds a person.
LARGEST_TURN_DEG = 60.0
#: Shortest stay that can be asked about.
SHORTEST_STAY_MIN = 1.0

_WHERE = "what-if"
_EXAMPLE = 'words like "35 left for 3 h", "no level stays by night" or "90 min right"'
_NUMBER = r"\d+(?:[.,]\d+)?"
_HOURS = rf"(?P<hours>{_NUMBER})\s*(?:h|hr|hrs|hour|hours)\b(?:\s*(?P<and>\d+)\s*(?:min\b)?)?"
_MINUTES = rf"(?P<minutes>{_NUMBER})\s*(?:m|min|mins|minute|minutes)\b"
_DURATION = rf"(?:{_HOURS}|{_MINUTES})"
_LEVEL_FOR = re.compile(
    rf"\blevel(?: stays?)?(?:\s*(?:of|for|at))?\s+{_DURATION}|{_DURATION}\s+(?:of\s+)?level\b"
    r"(?: stays?\b)?".replace("?P<hours>", "?:")
    .replace("?P<minutes>", "?:")
    .replace("?P<and>", "?:")
)
_NO_LEVEL = re.compile(r"\b(?:no|without|never)(?: any| the)? level(?: stays?)?\b|\bside to side\b")
_TURN = re.compile(rf"(?<![\d.,])(?P<turn>{_NUMBER})\s*(?P<unit>°|deg\b|degs\b|degrees?\b)?")
_BOTH = re.compile(r"\b(?:both|each|either)(?: sides?)?\b|\bleft and right\b|\bright and left\b")
_RAISED = re.compile(r"\b(left|right) side (?:raised|up|lifted)\b")
_SIDE = re.compile(r"\b(left|right)\b")
_FILLERS = frozenset(
    {
        "a",
        "an",
        "and",
        "at",
        "be",
        "been",
        "by",
        "during",
        "for",
        "from",
        "her",
        "his",
        "in",
        "is",
        "it",
        "lies",
        "of",
        "on",
        "only",
        "own",
        "person",
        "s",
        "stay",
        "stays",
        "staying",
        "the",
        "their",
        "them",
        "they",
        "to",
        "towards",
        "turn",
        "turned",
        "turning",
        "turns",
        "was",
        "were",
        "with",
    }
)


def what_if_from_words(words: str, windows: tuple[str, ...]) -> WhatIf:
    """Read a change asked about in words.

    Parameters
    ----------
    words : str
        For example ``"35 left for 3 h"``; a side is the side the person is turned to.
    windows : tuple of str
        Names of the plan's windows.

    Returns
    -------
    WhatIf
        The change.

    Raises
    ------
    InvalidInput
        If a word is not known, or what is meant is not plain.
    """
    text = " ".join(words.lower().split())
    window, text = _window(text, windows)
    level, text = _level_stay(text)
    stay, text = _stay(text)
    towards, is_both, text = _side(text)
    turn, text = _turn(text, has_side=towards is not None or is_both)
    _refuse_unknown(text)
    asked = WhatIf(turn=turn, towards=towards, stay=stay, level_stay=level, window=window)
    return checked(asked, has_side=towards is not None or is_both)


def what_if_from_numbers(
    turn_deg: float | None, stay_min: float | None, level_stay_min: float | None
) -> WhatIf:
    """Read a change given as numbers with their units.

    Parameters
    ----------
    turn_deg : float or None
        Turn, positive. [°]
    stay_min, level_stay_min : float or None
        Stays; a level stay of 0 leaves level out. [min]

    Returns
    -------
    WhatIf
        The change, without side or window.
    """
    return WhatIf(
        turn=None if turn_deg is None else radians_from_deg(turn_deg),
        stay=None if stay_min is None else seconds_from_min(stay_min),
        level_stay=None if level_stay_min is None else seconds_from_min(level_stay_min),
    )


def joined(first: WhatIf, second: WhatIf) -> WhatIf:
    """Join what words and options ask for; the same thing twice is refused.

    Parameters
    ----------
    first, second : WhatIf
        Two parts of one question.

    Returns
    -------
    WhatIf
        Both.

    Raises
    ------
    InvalidInput
        If both say the same setting.
    """
    nothing = WhatIf()
    changed = {
        field.name: getattr(second, field.name)
        for field in fields(WhatIf)
        if getattr(second, field.name) != getattr(nothing, field.name)
    }
    twice = [name for name in changed if getattr(first, name) != getattr(nothing, name)]
    if twice:
        raise _unclear(f"{twice[0].replace('_', ' ')} is said twice", "each setting once")
    return replace(first, **changed)


def checked(asked: WhatIf, *, has_side: bool = False) -> WhatIf:
    """Refuse a question that asks for nothing, or for what nothing is computed for.

    Parameters
    ----------
    asked : WhatIf
        The change.
    has_side : bool
        Whether a side, or both, was named.

    Returns
    -------
    WhatIf
        The same.

    Raises
    ------
    InvalidInput
        If it names no setting, or one outside what can be computed.
    """
    if (asked.turn, asked.stay, asked.level_stay) == (None, None, None):
        what = "a side without a turn or a stay" if has_side else "nothing that would change"
        raise _unclear(what, "a turn, a stay or level stays")
    _check_turn(asked.turn)
    _check_stay("stay", asked.stay)
    _check_stay("level stay", asked.level_stay or None)
    return asked


def _check_turn(turn: float | None) -> None:
    if turn is not None and not 0.0 < turn <= radians_from_deg(LARGEST_TURN_DEG):
        raise _unclear(
            f"a turn of {deg_from_radians(turn):g}°",
            f"a turn above 0 and up to {LARGEST_TURN_DEG:g}° (level is a stay, not a turn)",
        )


def _check_stay(name: str, stay: float | None) -> None:
    if stay is not None and not seconds_from_min(SHORTEST_STAY_MIN) <= stay <= SECONDS_PER_DAY:
        raise _unclear(
            f"a {name} of {min_from_seconds(stay):g} min", f"{SHORTEST_STAY_MIN:g} min to 24 h"
        )


def _unclear(what: str, expected: str = "a turn, a stay or level stays") -> InvalidInput:
    return InvalidInput(what, where=_WHERE, expected=expected, remedy=f"ask in {_EXAMPLE}")


def _window(text: str, windows: tuple[str, ...]) -> tuple[str, str]:
    """The longest name first: a window may be called 'day from 06:00'."""
    found = []
    generic = {"day": "day", "night": "night", "daytime": "day", "nights": "night"}
    names = {name.lower(): name for name in windows} | generic
    for name in sorted(names, key=len, reverse=True):
        place = re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text)
        if place is not None:
            found.append(names[name])
            text = f"{text[: place.start()]} {text[place.end() :]}"
    if len(found) > 1:
        raise _unclear(f"two parts of the day, {found[0]} and {found[1]}", "one, or none for all")
    return (found[0] if found else ""), text


def _level_stay(text: str) -> tuple[float | None, str]:
    without = _NO_LEVEL.search(text)
    if without is not None:
        text = f"{text[: without.start()]} {text[without.end() :]}"
    found = _LEVEL_FOR.search(text)
    if found is None:
        if re.search(r"\blevel\b", text):
            raise _unclear("level stays without a length", 'for example "level for 30 min"')
        return (None if without is None else 0.0), text
    if without is not None:
        raise _unclear("level stays of some length and none at all")
    length = re.search(_DURATION, found.group())
    if length is None:
        raise _unclear("level stays without a length")
    return _seconds(length), f"{text[: found.start()]} {text[found.end() :]}"


def _stay(text: str) -> tuple[float | None, str]:
    found = list(re.finditer(_DURATION, text))
    if len(found) > 1:
        raise _unclear(f"two stays, {shown(found[0].group())} and {shown(found[1].group())}")
    if not found:
        return None, text
    return _seconds(found[0]), f"{text[: found[0].start()]} {text[found[0].end() :]}"


def _seconds(found: re.Match[str]) -> float:
    if found["minutes"] is not None:
        return seconds_from_min(_number(found["minutes"]))
    return seconds_from_min(60.0 * _number(found["hours"]) + float(found["and"] or 0))


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _side(text: str) -> tuple[Side | None, bool, str]:
    """The side turned to; 'right side raised' says the other one."""
    both = _BOTH.search(text) is not None
    text = _BOTH.sub(" ", text)
    raised = {Side(side).other for side in _RAISED.findall(text)}
    text = _RAISED.sub(" ", text)
    named = {Side(side) for side in _SIDE.findall(text)} | raised
    text = re.sub(r"\bsides?\b", " ", _SIDE.sub(" ", text))
    if len(named) > 1 or (named and both):
        raise _unclear(
            "both sides are named, or the side turned to and the side raised are one",
            '"left", "right" or "both sides", each the side the person is turned to',
        )
    return (next(iter(named)) if named else None), both, text


def _turn(text: str, *, has_side: bool) -> tuple[float | None, str]:
    found = list(_TURN.finditer(text))
    if len(found) > 1:
        raise _unclear(f"two numbers, {found[0]['turn']} and {found[1]['turn']}", "one turn")
    if not found:
        return None, text
    one = found[0]
    if one["unit"] is None and not has_side and not re.search(r"\bturn", text):
        raise _unclear(
            f"{one['turn']} without a unit or a side", f'"{one["turn"]}°" or "{one["turn"]} min"'
        )
    turn = radians_from_deg(_number(one["turn"]))
    return turn, f"{text[: one.start()]} {text[one.end() :]}"


def _refuse_unknown(text: str) -> None:
    words = re.findall(r"[^\s,.;:?!()\"']+", text)
    unknown = [word for word in words if word not in _FILLERS]
    if unknown:
        raise _unclear(f"{shown(unknown[0])} is not understood")
