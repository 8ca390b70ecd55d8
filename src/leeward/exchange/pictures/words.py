"""Times, postures and cycles in words a nurse can read out."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from leeward.exchange.pictures.plain_text import visible
from leeward.programme.programme import Programme, Window
from leeward.terms.clock import DaySpan, clock_text
from leeward.terms.posture import Place, Posture, turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.site import Side, Site
from leeward.terms.units import SECONDS_PER_DAY, deg_from_radians

# fmt: off
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)
# fmt: on

_HOUR_OF_NAME = re.compile(r"(?<=^day) from \d\d:\d\d$|(?<=^night) from \d\d:\d\d$")
_PLURALS = {"calf": "calves"}

#: Said on everything that shows a side: both readings of "left turn" are in use.
OWN_SIDES = "Left and right are the person's own."


def date_text(day: date) -> str:
    """A date no one can read month first."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def duration_text(duration: float) -> str:
    """A duration in hours and minutes; never rounded to nothing."""
    minutes = round(duration / 60.0)
    if minutes == 0 and duration > 0.0:
        return "under 1 min"
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, f"{minutes} min"] if minutes or not parts else parts)


def joined(words: Sequence[str]) -> str:
    """A list as read out: commas, and an "and" before the last."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def sites_text(sites: Sequence[Site]) -> str:
    """Sites as read out, both sides of a pair said once."""
    found: list[str] = []
    for site in sites:
        if site.side is None or site.mirrored not in sites:
            found.append(str(site.value))
        elif site.side is Side.LEFT:
            name = site.value.removeprefix("left ")
            plural = _PLURALS.get(name, name if name.endswith("s") else f"{name}s")
            found.append(f"both {plural}")
    return joined(found)


def span_text(span: DaySpan) -> str:
    """A part of the day."""
    if span.duration == SECONDS_PER_DAY:
        return "all day"
    return f"{clock_text(span.start)} to {clock_text(span.end)}"


def angle_text(angle: float) -> str:
    """An angle without its sign, whole degrees where it is one."""
    return f"{round(deg_from_radians(abs(angle)), 1):g}°"


def posture_text(posture: Posture) -> str:
    """A posture, side raised included."""
    if posture.place is not Place.BED:
        return str(posture.place.value)
    parts = [turn_in_words(posture.turn)]
    for name, angle in (
        ("backrest", posture.backrest),
        ("knee section", posture.knee_raise),
        ("head end up" if posture.head_up > 0.0 else "head end down", posture.head_up),
    ):
        if abs(deg_from_radians(angle)) >= 0.5:
            parts.append(f"{name} {angle_text(angle)}")
    parts.extend(sorted(str(support.value) for support in posture.supports))
    return ", ".join(parts)


def cycle_text(cycle: Sequence[Stay]) -> str:
    """A cycle, stay by stay."""
    if len(cycle) == 1:
        return posture_text(cycle[0].posture)
    stays = [f"{posture_text(stay.posture)}, for {duration_text(stay.duration)}" for stay in cycle]
    return "; then ".join(stays) + "; then again"


@dataclass(frozen=True, slots=True)
class WindowGroup:
    """Windows that run the same cycle, said once."""

    names: tuple[str, ...]
    spans: tuple[DaySpan, ...]
    cycle: tuple[Stay, ...]
    prescribed_by: str

    @property
    def title(self) -> str:
        """Names and times, such as ``day, 07:00 to 12:00 and 13:00 to 22:00``."""
        return f"{joined(self.names)}, {joined([span_text(span) for span in self.spans])}"

    @property
    def is_turning(self) -> bool:
        """Whether the posture changes in it."""
        return len(self.cycle) > 1


def window_name(window: Window) -> str:
    """A window's name; the hour in ``day from 06:00`` is left out, since its times stand by it."""
    return _HOUR_OF_NAME.sub("", visible(window.name))


def window_groups(programme: Programme) -> tuple[WindowGroup, ...]:
    """Gather windows with one cycle, in order of their first start."""
    groups: dict[tuple[tuple[Stay, ...], str], WindowGroup] = {}
    for window in programme.windows:
        key = (window.cycle, window.prescribed_by)
        name, known = window_name(window), groups.get(key)
        names, spans = (known.names, known.spans) if known else ((), ())
        groups[key] = WindowGroup(
            names=names if name in names else (*names, name),
            spans=(*spans, window.span),
            cycle=window.cycle,
            prescribed_by=visible(window.prescribed_by),
        )
    return tuple(groups.values())


def group_text(group: WindowGroup) -> str:
    """A group of windows as one sentence."""
    by = f" (prescribed by {group.prescribed_by})" if group.prescribed_by else ""
    return f"{group.title}{by}: {cycle_text(group.cycle)}."
