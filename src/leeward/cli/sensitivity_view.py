"""How the choices stand while the conventions change, as text."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, say
from leeward.programme.other_conventions import IndexThen, Sensitivity
from leeward.programme.sensitivity_said import sensitivity_said
from leeward.terms.site import Site

#: What needs a second look before a choice rests on it.
_ATTENTION = frozenset({"order-changes", "side-changes", "index-not-known"})

#: Width of a choice's column: the words of a row have the rest of a terminal of 80.
_COLUMN = 11


def show_sensitivity(found: Sensitivity) -> None:
    """Print the table of every change, then what it comes to."""
    heading("What the choices hang on: each convention taken otherwise")
    as_planned = found.changes[0].choices
    names = "; ".join(
        f"{number} {name}" + ("" if one.site is None else f", limited by the {one.site}")
        for number, (name, one) in enumerate(zip(found.names, as_planned, strict=True), start=1)
    )
    say(f"  {names}. A site is named below where another one limits.")
    say("  Central values; the regime compared is counted the same way.")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    table.add_column("taken otherwise")
    for number in range(len(found.names)):
        table.add_column(str(number + 1), max_width=_COLUMN)
    for change in found.changes:
        pairs = zip(change.choices, as_planned, strict=True)
        cells = (_cell(one, planned.site) for one, planned in pairs)
        table.add_row(escape(change.sentence), *map(escape, cells))
    OUT.print(table)
    for reason in sensitivity_said(found):
        if reason.code in _ATTENTION:
            mark("attention", reason.sentence)
        else:
            say(f"  {reason.sentence}")


def _cell(one: IndexThen, known: Site | None) -> str:
    if one.index is None:
        return "not known"
    return f"{one.index:.2f}" + ("" if one.site in (None, known) else f" {one.site}")
