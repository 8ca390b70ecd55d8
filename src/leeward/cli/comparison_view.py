"""A review as text: the verdict, why, what was noticed, what each site bore."""

from datetime import datetime

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.exchange.comparison_summary import ComparisonSummary, SiteRow, TimedFinding
from leeward.terms.case import Case
from leeward.terms.units import SECONDS_PER_HOUR
from leeward.terms.verdict import Verdict

_TIME = "%a %d %b %H:%M"
_SHOWN_OF_A_KIND = 3


#: A log that ended longer ago than this says nothing of the present; common practice in live
#: watching is minutes, but logs are often brought on a stick once a day. [h]
#: Source: convention of this project.
_FRESH_H = 24.0


def show_comparison(case: Case, found: ComparisonSummary, now: datetime) -> None:
    """Print a whole review."""
    if case.invented:
        mark("attention", f"INVENTED CASE: {case.invented}")
    if found.simulated:
        mark("attention", "SIMULATED LOG: nobody lay on this surface")
    heading(f"{case.person.label}: {found.start:{_TIME}} to {found.end:{_TIME}}")
    mark(_kind(found), found.sentence)
    for reason in found.judgement.reasons:
        mark(_kind(found), reason.sentence)
    hours = (now - found.end).total_seconds() / SECONDS_PER_HOUR
    if hours > _FRESH_H:
        mark("unknown", f"the log ended {hours:.0f} h ago: nothing is known of the time since")
    say(
        f"  judged: {100.0 * found.judgement.assessed_fraction:.0f} % of the time, against the "
        f"{found.choice.value} programme"
        + (", planned anew since no plan was given" if found.is_replanned else "")
    )
    counted = "; ".join(f"{name} {count}" for name, count in found.stays)
    say(f"  stays: {counted or 'none seen'}")
    say(
        f"  turns while the person sleeps: {found.turns_in_sleep_seen} seen, "
        f"{found.turns_in_sleep_planned} planned"
    )
    if found.findings:
        heading("Noticed")
        _show_findings(found.findings)
    if found.sites:
        _show_sites(found.sites)
    say()
    say(
        "The surface was measured, not the person, and leeward is not an alarm. Skin checks decide."
    )


def _kind(found: ComparisonSummary) -> str:
    if found.judgement.verdict is Verdict.CANNOT_TELL:
        return "unknown"
    return "ok" if found.may_be_green else "attention"


def _show_findings(findings: tuple[TimedFinding, ...]) -> None:
    """The first few of each kind, then how many more: a week can hold dozens of one."""
    by_kind: dict[str, list[TimedFinding]] = {}
    for finding in findings:
        by_kind.setdefault(finding.kind, []).append(finding)
    for kind, found in by_kind.items():
        for finding in found[:_SHOWN_OF_A_KIND]:
            mark("attention", finding.sentence)
        if found[0].look_at:
            say(f"    look at: {found[0].look_at}")
        if len(found) > _SHOWN_OF_A_KIND:
            say(f"    and {len(found) - _SHOWN_OF_A_KIND} more of: {kind} (all with --json)")


def _show_sites(sites: tuple[SiteRow, ...]) -> None:
    heading("What each site bore")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("site", no_wrap=True)
    for title in ("planned", "delivered", "compared", "longest loaded [min]"):
        table.add_column(escape(title), justify="right")
    for row in (row for row in sites if row.compared_peak is not None):
        table.add_row(
            escape(row.site),
            _number(row.planned_peak),
            _range(row.delivered_low, row.delivered_high),
            _number(row.compared_peak),
            f"{row.longest_loaded_low_min:.0f} to {row.longest_loaded_high_min:.0f}",
        )
    OUT.print(table)
    say(
        "  Numbers without a unit: the largest allowance used, only to compare. compared: under "
        "the regime compared. longest loaded: longest time without relief."
    )
    unknown = [row.site for row in sites if row.compared_peak is None]
    if unknown:
        say(f"Cannot tell, since no load is computed there: {', '.join(unknown)}.")


def _number(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.2f}"


def _range(low: float | None, high: float | None) -> str:
    if high is None:
        return "unknown" if low is None else f"{low:.2f} or more"
    return f"{low:.2f} to {high:.2f}"
