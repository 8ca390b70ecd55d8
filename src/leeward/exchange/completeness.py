"""The check of a case: what is missing, what contradicts itself, what is hard to believe."""

from collections.abc import Iterator
from datetime import date, datetime
from zoneinfo import ZoneInfo

from leeward.exchange.case_file import CaseDocument
from leeward.exchange.contradictions import contradictions
from leeward.exchange.document import Plain
from leeward.exchange.findings import CaseFinding, CaseFindingKind
from leeward.exchange.plausible_values import unusual_values
from leeward.exchange.problems import Place, field_path

__all__ = ["CaseFinding", "CaseFindingKind", "check"]

#: Fields that hold a date on which something already happened.
_PAST = ("when", "first", "last")


def check(document: CaseDocument, now: datetime) -> tuple[CaseFinding, ...]:
    """List what is missing, contradictory or implausible in a case.

    Parameters
    ----------
    document : CaseDocument
        The case as read.
    now : datetime
        Aware time of the check.

    Returns
    -------
    tuple of CaseFinding
        Contradictions first, then what is implausible, then what is missing; each kind in
        the order of the file.
    """
    today = now.astimezone(ZoneInfo(document.case.day.time_zone)).date()
    found = [*contradictions(document), *_dates_to_come(document, today)]
    found += unusual_values(document)
    found += _missing(document)
    order = [CaseFindingKind.CONTRADICTORY, CaseFindingKind.IMPLAUSIBLE, CaseFindingKind.MISSING]
    return tuple(sorted(found, key=lambda one: (order.index(one.kind), one.line or 0)))


def _dates_to_come(document: CaseDocument, today: date) -> Iterator[CaseFinding]:
    for place, text in _texts(document.plain, ()):
        if place[-1] not in _PAST:
            continue
        written = _date(text)
        if written is not None and written > today:
            sentence = f"{text} is still to come (today is {today}); correct the date"
            yield CaseFinding(
                CaseFindingKind.CONTRADICTORY, field_path(place), document.line(place), sentence
            )


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def _texts(plain: Plain, place: Place) -> Iterator[tuple[Place, str]]:
    if isinstance(plain, str):
        yield place, plain
    elif isinstance(plain, dict):
        for name, value in plain.items():
            yield from _texts(value, (*place, name))
    elif isinstance(plain, list):
        for number, value in enumerate(plain):
            yield from _texts(value, (*place, number))


def _missing(document: CaseDocument) -> Iterator[CaseFinding]:
    for fact in document.case.missing:
        sentence = f"not given: {fact.consequence}"
        yield CaseFinding(CaseFindingKind.MISSING, fact.field, None, sentence)
