"""`leeward loads`."""

from pathlib import Path
from typing import Annotated

import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.console import complain, heading, print_json, progress, say
from leeward.cli.decision_view import posture_text
from leeward.cli.exit_codes import Exit
from leeward.cli.loads_view import show_line_moved, show_loads, show_sweep
from leeward.contact.load_table import LoadTable
from leeward.contact.scenarios import with_frictions, with_line_moved
from leeward.exchange.case_file import read_case
from leeward.exchange.load_summary import summarise
from leeward.exchange.load_sweep import (
    USUAL_SITES,
    summarise_sweep,
    write_posture_pictures,
    write_sweep_pictures,
)
from leeward.exchange.new_file import check_folder
from leeward.exchange.problems import FileRefused
from leeward.programme.settable import needed_postures
from leeward.records.canonical import to_plain
from leeward.terms.case import Case
from leeward.terms.equipment import SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import metres_from_mm, radians_from_deg

#: Frictions of the stability strip. [-]
#: Source: convention of this project, wider than the range of sheets and clothes.
FRICTIONS = (0.2, 0.3, 0.4, 0.5, 0.6)

#: How far the line is moved to each side to show what its place does.
LINE_MOVED_MM = 50.0


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("loads", epilog="Example: leeward loads my-case.yaml --turn-deg 20")(loads)


def loads(
    case: CaseArgument,
    turn_deg: Annotated[
        float,
        typer.Option(
            min=-60.0,
            max=60.0,
            help="Turn of the surface in degrees; positive turns the person to their own left "
            "(right side raised), negative to their own right (left side raised).",
        ),
    ] = 0.0,
    backrest_deg: Annotated[
        float, typer.Option(min=0.0, max=80.0, help="Angle of the back section in degrees.")
    ] = 0.0,
    sweep: Annotated[
        bool,
        typer.Option(
            "--sweep", help="Every turn this unit can be set to, both sides, and the one asked for."
        ),
    ] = False,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Folder for the pictures.")
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Show where the body's load lies at one posture, with bands, and whether it is stable."""
    try:
        person = read_case(case).case
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    if out is not None:
        check_folder(out)
    posture = Posture(turn=radians_from_deg(turn_deg), backrest=radians_from_deg(backrest_deg))
    if sweep:
        return _sweep(person, posture, out, as_json)
    with progress("loads") as step:
        step(posture_text(posture))
        request, table = flow.predict(person, posture)
        moved = _line_moved(person, posture)
    found = summarise(table, posture)
    files = () if out is None else write_posture_pictures(out, request, table, posture)
    if as_json:
        print_json(to_plain(found))
    else:
        show_loads(person, found)
        if moved is not None:
            show_line_moved(moved, posture)
        _show_files(files)
    return Exit.OFFERED if found.is_stable else Exit.NOTHING_OFFERED


def _line_moved(case: Case, posture: Posture) -> LoadTable | None:
    """The same posture with the line of a split surface moved to each side: solved anew."""
    shift = metres_from_mm(LINE_MOVED_MM)
    unit = case.equipment
    if posture.turn == 0.0 or unit is None or unit.geometry.kind is not SurfaceKind.SPLIT:
        return None
    _, moved = flow.predict(case, posture, vary=lambda draw: with_line_moved(draw, (shift, -shift)))
    return moved


def _sweep(case: Case, base: Posture, out: Path | None, as_json: bool) -> int:
    turns = {one.turn for one in needed_postures(case) if _is_reached(case, one.turn)} | {base.turn}
    postures = tuple(base.with_turn(turn) for turn in sorted(turns))
    with progress("loads") as step:
        step("every turn this unit can be set to")
        request, table = flow.predict(case, *postures)
        found = summarise_sweep(table)
        files: tuple[Path, ...] = ()
        if out is not None:
            step("pictures")
            _, slippery = flow.predict(
                case, *postures, vary=lambda draw: with_frictions(draw, FRICTIONS)
            )
            files = (
                *write_posture_pictures(out, request, table, base),
                *write_sweep_pictures(out, found, slippery, USUAL_SITES),
            )
    if as_json:
        print_json(to_plain(found))
    else:
        show_sweep(case, found, (Site.SACRUM,))
        _show_files(files)
    return Exit.OFFERED if all(one.is_stable for one in found) else Exit.NOTHING_OFFERED


def _is_reached(case: Case, turn: float) -> bool:
    """Whether the unit can be set to a turn: a plan also looks beyond its reach."""
    if case.equipment is None:
        return True
    ability = case.equipment.ability
    reach = ability.largest_turn_left if turn > 0.0 else ability.largest_turn_right
    return abs(turn) <= reach + 1e-9


def _show_files(files: tuple[Path, ...]) -> None:
    if files:
        heading("Files")
    for file in files:
        say(f"  {file}")
