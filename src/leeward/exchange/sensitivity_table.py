"""The sensitivity of a plan's choices as a table for a spreadsheet."""

import csv
from io import StringIO

from leeward.programme.other_conventions import Sensitivity
from leeward.programme.sensitivity_said import numbered


def sensitivity_table(found: Sensitivity) -> str:
    """Write one row for each change: its words, then index and site of every choice."""
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    heads = [
        head
        for number in range(len(found.names))
        for head in (f"index of {numbered(found, number)}", f"site of {numbered(found, number)}")
    ]
    table.writerow(["taken otherwise", *heads])
    for change in found.changes:
        cells = [
            cell
            for one in change.choices
            for cell in (
                "" if one.index is None else f"{one.index:.4f}",
                "" if one.site is None else one.site.value,
            )
        ]
        table.writerow([change.sentence, *cells])
    return out.getvalue()
