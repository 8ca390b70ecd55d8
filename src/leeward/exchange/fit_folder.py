"""The folder a fitting is written to: the answer and pictures to scale."""

import json
from pathlib import Path

from leeward.exchange.fit_summary import FitSummary
from leeward.exchange.new_file import replace_whole
from leeward.exchange.pictures.placement import (
    PlacementView,
    cut_across,
    from_above,
    from_the_side,
)
from leeward.fitting.fit import Fitting
from leeward.fitting.known_bed import variants
from leeward.fitting.line import turns_to_try
from leeward.fitting.mechanism import BedSetting
from leeward.fitting.placement import body_places
from leeward.records.canonical import to_plain
from leeward.terms.case import Case


def write_fit_folder(
    folder: Path, case: Case, found: Fitting, summary: FitSummary
) -> tuple[tuple[Path, str], ...]:
    """Write what was found at the bed.

    Parameters
    ----------
    folder : Path
        Where.
    case : Case
        The case.
    found : Fitting
        What was found.
    summary : FitSummary
        The same as one answer.

    Returns
    -------
    tuple of (Path, str)
        Every file and what it is; no pictures where the mattress was not measured.
    """
    folder.mkdir(parents=True, exist_ok=True)
    answer = folder / "fit.json"
    text = json.dumps(to_plain(summary), ensure_ascii=False, indent=2, allow_nan=False)
    replace_whole(answer, (text + "\n").encode())
    written = [(answer, "everything found")]
    for name, drawn, what in _pictures(case, found):
        path = folder / name
        replace_whole(path, drawn.encode())
        written.append((path, what))
    return tuple(written)


def _pictures(case: Case, found: Fitting) -> list[tuple[str, str, str]]:
    sheet, unit = case.fit_sheet, case.equipment
    if sheet is None or unit is None:
        return []
    known = variants(sheet, unit).mechanisms
    if not known:
        return []
    view = PlacementView(
        mechanism=known[0],
        sheet=sheet,
        unit=unit,
        body=body_places(case, sheet),
        line_offset=case.placement.line_offset,
        mattress=case.bed.mattress.thickness,
    )
    platform = sheet.bed.platform
    raised = BedSetting(backrest=platform.largest_backrest, knee_raise=platform.largest_knee_raise)
    largest = max(turns_to_try(case, found.limits), key=lambda posture: abs(posture.turn)).turn
    return [
        ("placement-above.svg", from_above(view), "where the unit lies, from above"),
        ("placement-side.svg", from_the_side(view, raised), "what moves, from the side"),
        ("placement-across.svg", cut_across(view, largest), "rails at the largest turn allowed"),
    ]
