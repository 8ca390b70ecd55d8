"""Pressure and friction on the skin in one posture, as text."""

from collections.abc import Sequence

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.contact.pressure_map import LOCAL_CELL, PEAK_CELL
from leeward.exchange.pictures.words import sites_text
from leeward.exchange.pressure_summary import (
    LEAST_FRICTION,
    PressureRow,
    PressureSummary,
    most_drawn,
)
from leeward.terms.site import Site
from leeward.terms.units import mm_from_metres


def show_pressures(found: PressureSummary, sites: Sequence[Site]) -> None:
    """Print peaks with their cells, and which way the bed draws the skin."""
    heading("Pressure and friction on the skin, foam carrying load sideways")
    if not found.is_stable:
        mark("stop", f"{found.state}; no pressures are shown")
        return
    rows = [row for row in found.sites if row.site in sites]
    _show_table([row for row in rows if _is_pressed(row)])
    _say_of("Not pressed, to the nearest mmHg", [row.site for row in rows if not _is_pressed(row)])
    _say_of("Not known", [site for site in found.unknown if site in sites])
    highest = found.highest
    if highest is not None:
        say(
            "Highest anywhere on the body: "
            f"{_with_ends(highest.peak_mmhg, highest.low_mmhg, highest.high_mmhg)} mmHg over "
            f"{highest.cell_mm:.0f} mm, {highest.segment}."
        )
    drawn = most_drawn(found)
    if drawn is not None:
        along = _friction(drawn.friction_to_head_pa, "the head", "the feet")
        say(f"Along the bed the skin is drawn most at the {drawn.site.value}: mean {along} [Pa].")
    say(found.note)


def _show_table(pressed: Sequence[PressureRow]) -> None:
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("site", no_wrap=True)
    cell, small = (f"{mm_from_metres(one.value):.0f} mm" for one in (PEAK_CELL, LOCAL_CELL))
    for title in (f"over {cell}", f"over {small}", "friction along", "friction across"):
        table.add_column(escape(title), justify="right", no_wrap=True)
    for row in pressed:
        table.add_row(escape(row.site.value), *_columns(row))
    OUT.print(table)
    say(
        "Highest mean pressure near the site in mmHg over a square of the side stated; friction "
        f"of the bed on the skin in Pa, mean over the 60 mm patch, from {LEAST_FRICTION:.0f} Pa on."
    )


def _say_of(words: str, sites: Sequence[Site]) -> None:
    if sites:
        say(f"{words}: {sites_text(sites)}.")


def _is_pressed(row: PressureRow) -> bool:
    return max(row.peak_mmhg, row.local_peak_mmhg or 0.0) >= 0.5


def _columns(row: PressureRow) -> tuple[str, str, str, str]:
    return (
        _with_ends(row.peak_mmhg, row.peak_low_mmhg, row.peak_high_mmhg),
        ""
        if row.local_peak_mmhg is None
        else _with_ends(row.local_peak_mmhg, row.local_peak_low_mmhg, row.local_peak_high_mmhg),
        _friction(row.friction_to_head_pa, "head", "feet"),
        _friction(row.friction_to_left_pa, "left", "right"),
    )


def _with_ends(peak: float, low: float | None, high: float | None) -> str:
    """A peak, and in brackets between what it lies. [mmHg]"""
    return f"{peak:.0f}" if low is None or high is None else f"{peak:.0f} ({low:.0f} to {high:.0f})"


def _friction(value: float, above: str, below: str) -> str:
    """Friction along one direction with the words for both its senses. [Pa]"""
    if abs(value) < LEAST_FRICTION:
        return ""
    return f"{abs(value):.0f} to {above if value > 0.0 else below}"
