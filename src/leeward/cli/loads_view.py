"""Loads at one posture, or at every settable turn, as text."""

from collections.abc import Sequence

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.exchange.load_summary import DrawnSummary, LoadSummary, SiteLoadRow
from leeward.fitting.edges import EdgePlace
from leeward.programme.recheck_limits import ceiling_of
from leeward.terms.case import Case
from leeward.terms.posture import turn_in_words
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg
from leeward.tissue.standing_correction import correction_in_words


def show_loads(case: Case, found: LoadSummary, sites: Sequence[Site]) -> None:
    """Print where the load lies."""
    _show_case(case)
    heading(f"{case.person.label}: {found.posture}")
    mark("ok" if found.is_stable else "stop", f"state over all draws: {found.state}")
    _show_unstable(found.unstable_draws)
    if found.pelvis_roll_deg is not None and found.thorax_roll_deg is not None:
        say(
            f"  surface turned {abs(found.surface_turn_deg):.0f}°; in the room the pelvis rolls "
            f"{abs(found.pelvis_roll_deg):.0f}°{_band(found)}{_side(found.pelvis_roll_deg)}, "
            f"the chest {_rolled(found.thorax_roll_deg)}"
        )
    _show_edge(found)
    if found.friction_demand is not None:
        say(f"  friction used: at most {100.0 * found.friction_demand:.0f} % of what there is")
    if found.hips_moved_mm is not None:
        say(f"  along the bed the hips have moved {_along(found)}")
    _show_protected(case, found)
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("site")
    for title in ("load [mmHg]", "band over draws [mmHg]", "q", "band of q"):
        table.add_column(escape(title), justify="right")
    for row in found.sites:
        if row.site in sites:
            columns = (_load(row), _site_band(row), _number(row.ratio), _ratio_band(row))
            table.add_row(escape(row.site.value), *columns)
    OUT.print(table)
    say(f"Loads are the {found.patch}; a higher peak may lie inside it.")
    say("q: the load over this person's reference load lying level on this bed; no limit is meant.")
    say(_about_bands(found.drawn))
    say(
        "Computed, not measured, and not validated on people who cannot move. A load says "
        "nothing of what this skin can take: look at the skin."
    )


def _show_protected(case: Case, found: LoadSummary) -> None:
    """Sites to be kept unloaded that this posture loads, or by nobody knows how much."""
    rows = {row.site: row for row in found.sites}
    for one in case.person.protected_sites:
        row, ceiling = rows[one.site], ceiling_of(one)
        if row.ratio_high is not None and row.ratio_high <= ceiling:
            continue
        load = (
            "by nobody knows how much"
            if row.ratio is None or row.ratio_high is None
            else f"q {row.ratio:.2f}, up to {row.ratio_high:.2f}"
        )
        mark(
            "stop",
            f"{one.site.value}: to be kept unloaded ({one.reason}), and loaded here, {load}; at "
            f"most {ceiling:.2f} is allowed: no plan lays the person so",
        )


def _show_unstable(draws: Sequence[str]) -> None:
    """What happens where the posture is not stable, and in which settings, each said once."""
    by_end: dict[str, list[str]] = {}
    for draw in draws:
        name, _, end = draw.partition(": ")
        by_end.setdefault(end, []).append(name)
    for end, names in by_end.items():
        count = "" if len(names) == 1 else f", and in {len(names) - 1} more of the settings"
        say(f"    {end} ({names[0]}{count})")


def _show_case(case: Case) -> None:
    if case.invented:
        mark("attention", f"INVENTED CASE: {case.invented}")
    corrected = correction_in_words(case.correction)
    if corrected is not None:
        mark("attention", corrected)


def _about_bands(drawn: DrawnSummary | None) -> str:
    if drawn is None:
        return (
            "Bands: least and most of seventeen fixed settings of friction, line, mattress and "
            "arms; --draws 200 draws everything that nobody measured."
        )
    said = (
        f"Bands: nine in ten of {drawn.draws} draws of friction, mattress, line, bridging, tissue, "
        "breadths, pillow and arms"
    )
    if drawn.solved == drawn.draws:
        return f"{said}, each of them solved; stable in {drawn.stable} of {drawn.solved}."
    if drawn.error is None:
        return (
            f"Not stable in every draw: no band. Stable in {drawn.stable} of the {drawn.solved} "
            f"draws solved, of {drawn.draws}."
        )
    return (
        f"{said}; {drawn.solved} solved, stable in {drawn.stable} of them, the rest answered for. "
        f"Answers are off by up to {drawn.error:.3f} of q against direct solves (95 %, each solved "
        "draw left out in turn); the bands are wider by that at both ends."
    )


def show_sweep(case: Case, found: Sequence[LoadSummary], sites: Sequence[Site]) -> None:
    """Print one line for each settable turn."""
    _show_case(case)
    heading(f"{case.person.label}: every turn this unit can be set to, and the one asked for")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("turn", no_wrap=True)
    table.add_column("state")
    table.add_column("pelvis", justify="right", no_wrap=True)
    for site in sites:
        table.add_column(escape(f"{site.value} [mmHg]"), justify="right")
    for one in found:
        loads = {row.site: row for row in one.sites}
        table.add_row(
            turn_in_words(radians_from_deg(one.surface_turn_deg)),
            one.state.split(":")[0],
            ""
            if one.pelvis_roll_deg is None or not one.is_stable
            else _rolled(one.pelvis_roll_deg),
            *(_load(loads[site]) if one.is_stable else "" for site in sites),
        )
    OUT.print(table)
    say(f"Central loads, the {found[0].patch}. A turn that is not stable is no place to lie.")
    if found[0].drawn is not None:
        say(_about_bands(found[0].drawn))
    say("Computed, not measured, and not validated on people who cannot move: look at the skin.")


def _show_edge(found: LoadSummary) -> None:
    if found.edge == EdgePlace.CANNOT_TELL:
        say("  distance to the platform's edges: cannot tell")
    elif found.edge_distance_mm is not None and found.edge_distance_mm >= 0.0:
        say(f"  to the platform's edge, arms left out: at least {found.edge_distance_mm:.0f} mm")
    for sentence in found.edge_reasons:
        mark("attention", sentence)


def _along(found: LoadSummary) -> str:
    """How far the hips have moved from where they lie flat, with its band."""
    low, high = found.hips_moved_low_mm, found.hips_moved_high_mm
    if low is None or high is None:
        band = "not stable in every draw: no band"
    elif low * high < 0.0:
        band = f"between {_towards(low)} and {_towards(high)}"
    else:
        first, second = sorted((abs(low), abs(high)))
        band = f"{first:.0f} to {second:.0f} mm"
    return f"{_towards(found.hips_moved_mm or 0.0)} from where they lie flat ({band})"


def _towards(moved_mm: float) -> str:
    if round(moved_mm) == 0:
        return "0 mm"
    return f"{abs(moved_mm):.0f} mm towards the {'head' if moved_mm > 0.0 else 'foot'} end"


def _rolled(roll_deg: float) -> str:
    return f"{abs(roll_deg):.0f}°{_side(roll_deg)}"


def _side(roll_deg: float) -> str:
    """A body with bent hips may lie rolled against the turn: no roll is said without its side."""
    if round(roll_deg) == 0:
        return ""
    return " to the left" if roll_deg > 0.0 else " to the right"


def _band(found: LoadSummary) -> str:
    low, high = found.pelvis_roll_low_deg, found.pelvis_roll_high_deg
    if low is None or high is None:
        return " (not stable in every draw: no band)"
    if _side(low) != _side(high):
        return f" (between {_rolled(low)} and {_rolled(high)})"
    first, second = sorted((abs(low), abs(high)))
    return f" ({first:.0f} to {second:.0f}°)"


def _load(row: SiteLoadRow) -> str:
    return "unknown" if row.load_mmhg is None else f"{row.load_mmhg:.0f}"


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def _ratio_band(row: SiteLoadRow) -> str:
    if row.ratio_low is None or row.ratio_high is None:
        return ""
    return f"{row.ratio_low:.2f} to {row.ratio_high:.2f}"


def _site_band(row: SiteLoadRow) -> str:
    if row.load_mmhg is None:
        return ""
    if row.low_mmhg is None or row.high_mmhg is None:
        return "unknown in some draw"
    return f"{row.low_mmhg:.0f} to {row.high_mmhg:.0f}"
