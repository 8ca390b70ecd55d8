"""Where sensing elements go by the unit's own table: between its lines, never beyond them."""

from itertools import pairwise

from leeward.fitting.finding import Finding, Outcome, to_measure
from leeward.fitting.measures import MEASURES
from leeward.terms.equipment import Equipment
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.unit_layout import SensingRow
from leeward.terms.units import cm_from_metres
from leeward.terms.verdict import Quantity


def place_across(rows: tuple[SensingRow, ...], width: float) -> float | None:
    """Read a table between its lines.

    Parameters
    ----------
    rows : tuple of SensingRow
        The lines for one element. [-]
    width : float
        The measured width. [m]

    Returns
    -------
    float or None
        Distance from the unit's mid-line, straight between two lines; None beyond the first
        and the last. [m]
    """
    ordered = sorted(rows, key=lambda row: row.width)
    for row in ordered:
        if row.width == width:
            return row.across
    for low, high in pairwise(ordered):
        if low.width < width < high.width:
            share = (width - low.width) / (high.width - low.width)
            return low.across + share * (high.across - low.across)
    return None


def sensing_findings(sheet: FitSheet, unit: Equipment) -> list[Finding]:
    """Say where each sensing element goes.

    Parameters
    ----------
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.

    Returns
    -------
    list of Finding
        One for each element of the table; none where the unit senses nothing.
    """
    names = dict.fromkeys(row.element for row in unit.layout.sensing_table)
    if names and sheet.sensing_width is None:
        needed_for = "where the sensing elements go"
        return [to_measure(MEASURES["sensing-width"], needed_for=needed_for)]
    return [_one(name, sheet.sensing_width or 0.0, unit) for name in names]


def _one(name: str, width: float, unit: Equipment) -> Finding:
    rows = tuple(row for row in unit.layout.sensing_table if row.element == name)
    across = place_across(rows, width)
    shown = f"{cm_from_metres(width):g} cm"
    if across is None:
        widths = sorted(row.width for row in rows)
        return Finding(
            "beyond-the-table",
            Outcome.CANNOT_TELL,
            f"{name}: the unit's table goes from {cm_from_metres(widths[0]):g} to "
            f"{cm_from_metres(widths[-1]):g} cm and says nothing of {shown}.",
            "Measure the width again, or ask the maker; leeward does not guess beyond a table.",
            (Quantity("measured width", cm_from_metres(width), "cm"),),
        )
    is_between = all(row.width != width for row in rows)
    how = ", between two lines of the unit's table" if is_between else ", by the unit's table"
    return Finding(
        "element-place",
        Outcome.NO_LIMIT_BROKEN,
        f"{name}: {cm_from_metres(across):.1f} cm from the unit's mid-line for {shown}{how}.",
        "",
        (Quantity("from the mid-line", round(cm_from_metres(across), 1), "cm"),),
    )
