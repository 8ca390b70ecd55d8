"""`leeward measured`: a pressure map and hand checks held against the prediction."""

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Annotated

import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.console import complain, mark, print_json, progress
from leeward.cli.exit_codes import Exit
from leeward.cli.file_names import named
from leeward.cli.loads_commands import BackrestOption, TurnOption
from leeward.cli.measured_view import show_measured
from leeward.contact.correction import Correction
from leeward.contact.measured_map import Agreement, MeasuredMap
from leeward.contact.scenarios import Arms
from leeward.exchange.case_file import read_case
from leeward.exchange.correction_file import write_correction
from leeward.exchange.measured_summary import MeasuredSummary, summarise_map
from leeward.exchange.new_file import replace_whole
from leeward.exchange.pictures.measured_map import measured_map
from leeward.exchange.pressure_map_file import read_pressure_map
from leeward.exchange.problems import FileRefused
from leeward.records.canonical import to_plain
from leeward.terms.case import Case
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from leeward.terms.verdict import Verdict
from leeward.tissue.standing_correction import correction_reasons, with_standing_correction

HELP_BY_EXAMPLE = """Examples:

leeward measured my-case.yaml

leeward measured my-case.yaml frame.csv --turn-deg 20 --picture map.svg

leeward measured my-case.yaml frame.csv --correction my-map.yaml --signed-by "A. Name, therapist"

A CSV grid says what it is in lines above its numbers: # unit: mmHg (or kPa, uncalibrated),
# cell_along_mm: 30, # cell_across_mm: 20, # head_edge: first row, # persons_left_edge: last column.
Nothing of this is guessed."""


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("measured", epilog=HELP_BY_EXAMPLE)(measured)


def measured(
    case: CaseArgument,
    frame: Annotated[
        Path | None, typer.Argument(metavar="[FRAME]", help="Pressure-map frame, CSV or NPZ.")
    ] = None,
    turn_deg: TurnOption = 0.0,
    backrest_deg: BackrestOption = 0.0,
    arms_out: Annotated[
        bool, typer.Option("--arms-out", help="The arms lay on the mattress, not on the trunk.")
    ] = False,
    picture: Annotated[
        Path | None,
        typer.Option(parser=named, metavar="FILE", help="Picture of both maps, SVG."),
    ] = None,
    correction: Annotated[
        Path | None,
        typer.Option(
            parser=named,
            metavar="FILE",
            help="Write what the map corrects in this person's model, YAML.",
        ),
    ] = None,
    signed_by: Annotated[str, typer.Option(help="Who answers for the correction.")] = "",
    note: Annotated[str, typer.Option(help="A note in the correction's file.")] = "",
    as_json: JsonOption = False,
) -> int:
    """Hold a pressure map, and hands passed under sites, against the prediction."""
    now = datetime.now(UTC)
    _check_asked(frame, picture, correction)
    posture = Posture(turn=radians_from_deg(turn_deg), backrest=radians_from_deg(backrest_deg))
    try:
        given = read_case(case).case
        grid = None if frame is None else read_pressure_map(frame)
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    person = with_standing_correction(given, now)
    with progress("measured") as step:
        step("what the model says of the same postures")
        laid = _laid(person, posture, grid, arms_out)
        found = MeasuredSummary(
            map=None if laid is None else summarise_map(laid, posture),
            hands=flow.hold_hands(person, now=now),
            corrected=correction_reasons(given, now),
        )
    if as_json:
        print_json(to_plain(found))
    else:
        show_measured(person, found)
    if laid is not None and grid is not None and frame is not None:
        _write_picture(picture, grid, laid, posture)
        _write_correction(correction, person, laid, frame, (signed_by, now.date(), note))
    _show_files(() if as_json else (picture, correction))
    return _exit(found)


def _laid(
    case: Case, posture: Posture, grid: MeasuredMap | None, arms_out: bool
) -> Correction | None:
    arms = Arms.FORWARD if arms_out else Arms.ON_TRUNK
    return None if grid is None else flow.hold_map(case, posture, grid, arms)


def _check_asked(frame: Path | None, picture: Path | None, correction: Path | None) -> None:
    if frame is None and (picture is not None or correction is not None):
        raise InvalidInput(
            "a picture or a correction without a map",
            where="measured",
            expected="a pressure-map frame after the case",
            remedy="name the frame, or leave --picture and --correction out",
        )


def _write_picture(
    picture: Path | None, grid: MeasuredMap, laid: Correction, posture: Posture
) -> None:
    if picture is not None:
        replace_whole(picture, measured_map(grid, laid, posture).encode())


def _write_correction(
    correction: Path | None,
    case: Case,
    laid: Correction,
    frame: Path,
    signed: tuple[str, date, str],
) -> None:
    if correction is not None:
        write_correction(correction, case, laid, frame, signed)


def _show_files(files: tuple[Path | None, ...]) -> None:
    for file in files:
        if file is not None:
            mark("ok", f"wrote {file}")


def _exit(found: MeasuredSummary) -> int:
    """Cannot tell before differs: a map that does not fit says nothing."""
    agreement = None if found.map is None else found.map.agreement
    verdicts = {hand.verdict for hand in found.hands}
    if agreement is Agreement.CANNOT_TELL:
        return Exit.CANNOT_TELL
    if agreement is Agreement.DIFFERS or Verdict.DIFFERS in verdicts:
        return Exit.NOTHING_OFFERED
    if agreement is None and verdicts <= {Verdict.CANNOT_TELL}:
        return Exit.CANNOT_TELL
    return Exit.OFFERED
