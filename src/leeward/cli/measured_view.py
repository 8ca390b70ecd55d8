"""What was measured on the person beside the prediction, as text."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.contact.measured_map import Agreement
from leeward.exchange.measured_summary import (
    MapSummary,
    MeasuredSummary,
    RegionRow,
    changes_in_words,
)
from leeward.terms.case import Case
from leeward.terms.verdict import Verdict

_HAND_MARKS = {
    Verdict.AS_PLANNED: "ok",
    Verdict.DIFFERS: "attention",
    Verdict.CANNOT_TELL: "unknown",
}
_MAP_MARKS = {
    Agreement.AGREES: "ok",
    Agreement.DIFFERS: "attention",
    Agreement.CANNOT_TELL: "unknown",
}


def show_measured(case: Case, found: MeasuredSummary) -> None:
    """Print how a map and hand checks compare with the prediction."""
    if case.invented:
        mark("attention", f"INVENTED CASE: {case.invented}")
    heading(f"{case.person.label}: what was measured beside the prediction")
    for reason in found.corrected:
        mark("attention", reason.sentence)
    if found.map is not None:
        _show_map(found.map)
    heading("Hands passed under sites")
    if not found.hands:
        say("No hand check in the case still stands.")
    for hand in found.hands:
        mark(_HAND_MARKS[hand.verdict], hand.reason.sentence)
    say(
        "A hand check corrects no body: one class says next to nothing of foam, line or gap. In a "
        "plan it replaces the sacral load."
    )


def _show_map(found: MapSummary) -> None:
    heading(f"Pressure map, {found.posture}")
    mark(_MAP_MARKS[found.agreement], f"the map {found.agreement.value}")
    for reason in found.reasons:
        say(f"  {reason.sentence}")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("share of load", no_wrap=True)
    for title in ("measured", "predicted", "corrected", "further left [mm]"):
        table.add_column(escape(title), justify="right", no_wrap=True)
    for row in found.regions:
        table.add_row(escape(row.region), *_columns(row))
    OUT.print(table)
    if found.is_correction_made:
        say(f"The map changes: {', '.join(changes_in_words(found.changes))}.")
        say("Nothing is changed until the correction is signed, written and named in the case.")
    say(
        "Agreement means alike shares of load, no more: another person of like size, or a wrong "
        "posture, is often not noticed. Left and right were taken as the file declares them."
    )


def _columns(row: RegionRow) -> tuple[str, str, str, str]:
    return (
        f"{row.measured_pct:.0f} %",
        f"{row.predicted_pct:.0f} %",
        "" if row.corrected_pct is None else f"{row.corrected_pct:.0f} %",
        "" if row.further_left_mm is None else f"{row.further_left_mm:+.0f}",
    )
