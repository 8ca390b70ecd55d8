"""Wall clocks: known zones, and moments written without an offset."""

import re
from datetime import datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from leeward.exchange.field_types import Refusal
from leeward.exchange.problems import Place, shown

#: Area and city, or UTC: `localtime` is another zone on every machine, and those under
#: `right/` and `posix/` count seconds or are there on some machines only.
_ZONE = re.compile(r"UTC|[A-Z][A-Za-z]+(/[A-Z][A-Za-z0-9_+-]*){1,2}")


def known_zone(name: str) -> str:
    """Accept the name of a time zone that means the same on every machine.

    Parameters
    ----------
    name : str
        IANA name.

    Returns
    -------
    str
        The same name.

    Raises
    ------
    Refusal
        If there is no such zone, or it is none of an area and a city, or UTC.
    """
    try:
        if _ZONE.fullmatch(name) is None:
            raise ValueError(name)
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise Refusal(
            f"no time zone named {shown(name)}",
            expected="UTC, or an area and a city such as Europe/London",
            remedy="correct the name",
        ) from error
    return name


def aware(moment: datetime, zone: str, place: Place = ()) -> datetime:
    """Read a moment without an offset on the wall clock of a zone.

    Parameters
    ----------
    moment : datetime
        With an offset, or as the wall clock showed it.
    zone : str
        IANA name of the zone.
    place : tuple of str or int
        Where it is written, for the refusal.

    Returns
    -------
    datetime
        With an offset.

    Raises
    ------
    Refusal
        If the wall clock showed that time twice, or never.
    """
    if moment.tzinfo is not None:
        return moment
    first = moment.replace(tzinfo=ZoneInfo(zone), fold=0)
    second = moment.replace(tzinfo=ZoneInfo(zone), fold=1)
    if first.utcoffset() != second.utcoffset():
        raise Refusal(
            f"{moment:%Y-%m-%d %H:%M} does not name one moment on the clock in {zone}",
            expected="a time with its offset, because the clock was changed then",
            remedy="add the offset, for example +01:00",
            place=place,
        )
    # A fixed offset, so that the record means the same wherever it is read again.
    return datetime.fromisoformat(first.isoformat())
