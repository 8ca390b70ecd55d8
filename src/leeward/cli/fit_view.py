"""What was found at the bed, as text."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.exchange.fit_summary import FitSummary, TurnRow
from leeward.fitting.finding import Outcome
from leeward.terms.case import Case

KINDS = {
    Outcome.NO_LIMIT_BROKEN.value: "ok",
    Outcome.WITH_MEASURE.value: "attention",
    Outcome.CANNOT_TELL.value: "unknown",
    Outcome.NOT_TO_BE_USED.value: "stop",
}
#: Parts of which only what is open is printed; the whole stands in the JSON.
_TOLD_IF_OPEN = ("bed, unit and masses", "round the bed")
#: One letter for each outcome in the table; said in words below it.
_LETTERS = {
    Outcome.NO_LIMIT_BROKEN.value: "+",
    Outcome.WITH_MEASURE.value: "M",
    Outcome.CANNOT_TELL.value: "?",
    Outcome.NOT_TO_BE_USED.value: "x",
}


def show_fit(case: Case, found: FitSummary) -> None:
    """Print what was found at the bed."""
    if case.invented:
        mark("attention", f"INVENTED CASE: {case.invented}")
    heading(f"{case.person.label}: {found.words}")
    for reason in found.corrected:
        mark("attention", reason.sentence)
    _show_findings(found)
    heading("Turns and backrests")
    _show_turns(found.turns)
    heading("Plans keep to")
    for line in found.limits or ("nothing was found that limits a turn or the backrest",):
        say(f"  {line}")
    heading("What moves with what")
    for line in found.securing or ("nobody wrote down a strap or lead",):
        say(f"  {line}")
    heading("Look by eye, whatever was measured")
    for line in found.by_eye:
        say(f"  {line}")


def _show_findings(found: FitSummary) -> None:
    said = ""
    for name, finding in found.findings:
        if finding.outcome is Outcome.NO_LIMIT_BROKEN and name in _TOLD_IF_OPEN:
            continue
        if name != said:
            heading(name[0].upper() + name[1:])
            said = name
        mark(KINDS[finding.outcome.value], f"{finding.sentence} {finding.remedy}".strip())


def _show_turns(rows: tuple[TurnRow, ...]) -> None:
    backs = sorted({row.backrest_deg for row in rows})
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("turn")
    for back in backs:
        table.add_column(f"{back:g}°", justify="right")
    found = {(row.turn_deg, row.backrest_deg): row for row in rows}
    for turn in sorted({row.turn_deg for row in rows}):
        cells = [_LETTERS[found[turn, back].outcome] for back in backs]
        table.add_row(escape(found[turn, backs[0]].turn), *cells)
    OUT.print(table)
    say(
        "Columns: backrest, knees flat. + no limit found broken, M with a measure, ? cannot tell, "
        "x not to be used. Published limits are for flat, level beds: + is not a clearance."
    )
    for row in _telling(rows):
        mark(KINDS[row.outcome], f"{row.sentence} {row.remedy}".strip())


def _telling(rows: tuple[TurnRow, ...]) -> list[TurnRow]:
    """On the flat bed: to each side the largest turn with a measure, the smallest barred."""
    flat = [row for row in rows if row.sentence and row.backrest_deg == 0.0]
    told = [row for row in flat if row.turn_deg == 0.0]
    for sign in (1.0, -1.0):
        side = sorted((row for row in flat if row.turn_deg * sign > 0.0), key=_size)
        barred = Outcome.NOT_TO_BE_USED.value
        told += [row for row in side if row.outcome != barred][-1:]
        told += [row for row in side if row.outcome == barred][:1]
    return told


def _size(row: TurnRow) -> float:
    return abs(row.turn_deg)
