"""Two plans beside each other as text, in 80 columns."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.cli.decision_view import index_text
from leeward.exchange.plans_side_by_side import PlanSide, SideBySide, SitePair
from leeward.programme.decision import SiteResult
from leeward.terms.units import deg_from_radians

#: Indices or load ratios closer than this are one.
_SAME = 0.005
_MOST_CHANGES = 40


def show_side_by_side(found: SideBySide) -> None:
    """Print two plans."""
    first, second = found.first, found.second
    heading(f"{first.label}: {first.choice.value}, beside {second.label}: {second.choice.value}")
    if found.is_same_person:
        mark("ok", f"both bear the label {first.label}; that they are one person is not checked")
    else:
        mark(
            "stop",
            f"NOT THE SAME PERSON by their labels ({first.label}; {second.label}): their indices "
            "cannot be held against each other.",
        )
    if not found.is_same_measure:
        mark(
            "attention",
            "The case, the regime compared or the software differ: an index of 1 does not stand "
            "for the same in both. Compare settings and cost; of the indices compare only what "
            "limits each.",
        )
    OUT.print(_table(found))
    _show_settings(first)
    _show_settings(second)
    _show_sites(found)
    _show_changes(found)


def _table(found: SideBySide) -> Table:
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    for title in ("", "first", "second"):
        table.add_column(title, ratio=None if not title else 1)
    for title, cell in _ROWS:
        first, second = str(cell(found.first)), str(cell(found.second))
        table.add_row(title, escape(first), escape(second))
    return table


def _limiting(side: PlanSide) -> str:
    site = side.assessment.limiting_site
    return "none compared" if site is None else site.value


def _index(side: PlanSide) -> str:
    found = side.assessment.limiting
    return "-" if found is None else index_text(found)


_ROWS = (
    ("planned", lambda side: f"{side.made_at:%Y-%m-%d %H:%M}, leeward {side.software}"),
    ("outcome", lambda side: side.outcome.value),
    ("compared with", lambda side: side.compared_with or "-"),
    ("choice", lambda side: side.choice.value),
    ("qualifies", lambda side: "yes" if side.assessment.qualifies else "NO"),
    ("... in draws", lambda side: f"{100 * side.assessment.share_of_draws:.0f} %"),
    ("largest index (band)", _index),
    ("at the", _limiting),
    ("turns in sleep", lambda side: side.assessment.disturbance.turns_in_sleep),
    ("turns a day", lambda side: side.assessment.disturbance.turns_per_day),
    (
        "largest turn",
        lambda side: f"{deg_from_radians(side.assessment.disturbance.largest_turn):.0f}°",
    ),
    ("hands, min a day", lambda side: f"{side.assessment.disturbance.manual_min:.0f}"),
)


def _show_settings(side: PlanSide) -> None:
    heading(f"What is entered at the unit: {side.label}, {side.choice.value}")
    for number, setting in enumerate(side.settings, start=1):
        say(f"  {number}. {setting}")


def _show_sites(found: SideBySide) -> None:
    differing = [pair for pair in found.sites if _differs(pair)]
    heading("Sites that differ")
    if not differing:
        say("  None: the same index and the same load at every site.")
        return
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    for title in ("site", "first: index", "q", "second: index", "q"):
        table.add_column(title, ratio=1 if title.endswith("index") else None)
    for pair in differing:
        cells = (*_site_cells(pair.first), *_site_cells(pair.second))
        table.add_row(pair.site.value, *(escape(cell) for cell in cells))
    OUT.print(table)
    say("  q: largest load ratio in any stay.")


def _differs(pair: SitePair) -> bool:
    if pair.first is None or pair.second is None:
        return True
    first, second = pair.first, pair.second
    numbers = (
        (first.index, second.index),
        (first.largest_load_ratio, second.largest_load_ratio),
    )
    return first.standing is not second.standing or any(_apart(*both) for both in numbers)


def _apart(first: float | None, second: float | None) -> bool:
    if first is None or second is None:
        return first is not second
    return abs(first - second) >= _SAME


def _site_cells(one: SiteResult | None) -> tuple[str, str]:
    if one is None:
        return "not listed", "-"
    text = index_text(one).split(":")[0]
    load = "-" if one.largest_load_ratio is None else f"{one.largest_load_ratio:.2f}"
    return text, load


def _show_changes(found: SideBySide) -> None:
    heading("What changed in the case")
    if not found.changes:
        say("  Nothing: both were planned from the same case.")
    for change in found.changes[:_MOST_CHANGES]:
        say(f"  {change.field}: {change.before} -> {change.after}")
    if len(found.changes) > _MOST_CHANGES:
        say(f"  ... and {len(found.changes) - _MOST_CHANGES} more; --json lists all of them.")
