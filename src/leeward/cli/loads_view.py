"""Loads at one posture as text."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.exchange.load_summary import LoadSummary, SiteLoadRow
from leeward.terms.case import Case


def show_loads(case: Case, found: LoadSummary) -> None:
    """Print where the load lies."""
    if case.invented:
        mark("attention", f"INVENTED CASE: {case.invented}")
    heading(f"{case.person.label}: {found.posture}")
    mark("ok" if found.is_stable else "stop", f"state over all draws: {found.state}")
    for draw in found.unstable_draws:
        say(f"    {draw}")
    if found.pelvis_roll_deg is not None and found.thorax_roll_deg is not None:
        say(
            f"  surface turned {abs(found.surface_turn_deg):.0f}°; in the room the pelvis rolls "
            f"{abs(found.pelvis_roll_deg):.0f}°{_band(found)}, the chest "
            f"{abs(found.thorax_roll_deg):.0f}°"
        )
    if found.edge_distance_mm is not None:
        _show_edge(found.edge_distance_mm)
    if found.friction_demand is not None:
        say(f"  friction used: at most {100.0 * found.friction_demand:.0f} % of what there is")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("site")
    for title in ("load [mmHg]", "band over draws [mmHg]"):
        table.add_column(escape(title), justify="right")
    for row in found.sites:
        table.add_row(escape(row.site.value), _load(row), _site_band(row))
    OUT.print(table)
    say(f"Loads are the {found.patch}; a higher peak may lie inside it.")
    say(
        "Computed, not measured, and not validated on people who cannot move. A load says "
        "nothing of what this skin can take: look at the skin."
    )


def _show_edge(distance_mm: float) -> None:
    if distance_mm < 0.0:
        mark(
            "attention",
            f"an outstretched arm may reach {-distance_mm:.0f} mm beyond the bed's edge: lay it "
            "on the trunk and see that it stays there",
        )
    else:
        say(f"  body's edge to the bed's edge: at least {distance_mm:.0f} mm")


def _band(found: LoadSummary) -> str:
    low, high = found.pelvis_roll_low_deg, found.pelvis_roll_high_deg
    if low is None or high is None:
        return " (not stable in every draw: no band)"
    first, second = sorted((abs(low), abs(high)))
    return f" ({first:.0f} to {second:.0f}°)"


def _load(row: SiteLoadRow) -> str:
    return "unknown" if row.load_mmhg is None else f"{row.load_mmhg:.0f}"


def _site_band(row: SiteLoadRow) -> str:
    if row.load_mmhg is None:
        return ""
    if row.low_mmhg is None or row.high_mmhg is None:
        return "unknown in some draw"
    return f"{row.low_mmhg:.0f} to {row.high_mmhg:.0f}"
