"""What people do today beside the choices, as a table and with the rule that speaks against it."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.exchange.way_words import (
    WORDS_OF_THE_WAYS,
    WayRow,
    against_in_words,
    way_rows,
)
from leeward.programme.decision import Decision


def show_beside(decision: Decision) -> None:
    """Print every way of turning that was computed beside the choices."""
    if not decision.beside and not decision.not_beside:
        return
    heading("Beside what people do, by the same computation")
    if decision.beside:
        _show_table(way_rows(decision))
        say(f"  {WORDS_OF_THE_WAYS}")
    for one in decision.beside:
        if one.against:
            mark("stop", f"{one.name}: {against_in_words(one.against)}")
        for remark in one.remarks:
            mark("attention", f"{one.name}: {remark.sentence}")
    for reason in decision.not_beside:
        mark("unknown", reason.sentence)
    for names, source in _sources(decision):
        say(f"  Source of {names}: {source}")


def _sources(decision: Decision) -> list[tuple[str, str]]:
    """Ways of one source together."""
    together: dict[str, list[str]] = {}
    for one in decision.beside:
        together.setdefault(one.source, []).append(one.name)
    return [("; ".join(names), source) for source, names in together.items()]


def _show_table(rows: tuple[WayRow, ...]) -> None:
    table = Table(box=box.SIMPLE, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False)
    for title in ("", "fits", "index\n(band)", "at the", "turns\n(asleep)", "moved"):
        table.add_column(title)
    for title in ("hands, min\n(two, apart)", "pull"):
        table.add_column(title)
    for row in rows:
        cells = (
            row.name,
            row.qualifies,
            f"{row.index}\n{row.band}",
            row.site.replace(" ", "\n", 1),
            f"{row.turns}\n({row.asleep})",
            f"{row.largest}\n{row.through}",
            f"{row.hands}\n({row.by_two}, {row.outside})",
            row.pull,
        )
        table.add_row(*(escape(cell) for cell in cells))
    OUT.print(table)
