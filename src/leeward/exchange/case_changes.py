"""What differs between two cases, field by field, in the words of the case file."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from leeward.exchange.document import Plain
from leeward.exchange.problems import shown

#: Longest text of a value shown beside another.
_LONGEST = 60

#: By these fields an entry of a list is known again.
_NAMES = ("name", "what", "site", "sites", "kind", "when")


@dataclass(frozen=True, slots=True)
class CaseChange:
    """One field that differs.

    Parameters
    ----------
    field : str
        Where, by the names of the case file.
    before, after : str
        What stands there; "not given" where nothing does.
    """

    field: str
    before: str
    after: str


def case_changes(before: Plain, after: Plain) -> tuple[CaseChange, ...]:
    """List what differs between two cases.

    Parameters
    ----------
    before, after : Plain
        Cases as written, with equipment and policy written out.

    Returns
    -------
    tuple of CaseChange
        In the order of the first; an entry of a list is known again by its name, else by its
        place.
    """
    return tuple(_changes("", before, after))


def _changes(field: str, before: Plain, after: Plain) -> Iterator[CaseChange]:
    if before == after:
        return
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for name in dict.fromkeys((*before, *after)):
            yield from _changes(_joined(field, name), before.get(name), after.get(name))
        return
    if _is_list(before) and _is_list(after):
        first, second = _entries(before), _entries(after)
        for name in dict.fromkeys((*first, *second)):
            yield from _changes(f"{field}[{name}]", first.get(name), second.get(name))
        return
    yield CaseChange(field or "case", _shown(before), _shown(after))


def _joined(field: str, name: object) -> str:
    return f"{field}.{name}" if field else str(name)


def _is_list(value: Plain) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _entries(values: Plain) -> dict[str, Plain]:
    """Entries by name; a second one of the same name adds its place."""
    found: dict[str, Plain] = {}
    for number, value in enumerate(values if isinstance(values, list | tuple) else ()):
        name = _name(value) or str(number + 1)
        found[name if name not in found else f"{name}, {number + 1}"] = value
    return found


def _name(value: Plain) -> str:
    if not isinstance(value, Mapping):
        return ""
    return next((shown(value[key], 30) for key in _NAMES if key in value), "")


def _shown(value: Plain) -> str:
    return "not given" if value is None else shown(value, _LONGEST)
