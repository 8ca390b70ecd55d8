"""`leeward loads`."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any

import numpy as np
import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.console import complain, heading, mark, print_json, progress, say
from leeward.cli.exit_codes import Exit
from leeward.cli.file_names import named
from leeward.cli.loads_view import show_loads, show_sweep
from leeward.cli.plan_commands import WorkersOption
from leeward.cli.pressure_view import show_pressures
from leeward.contact.load_table import LoadTable
from leeward.contact.scenarios import with_frictions, with_line_moved
from leeward.exchange.case_file import read_case
from leeward.exchange.line_moved import LINE_MOVED_MM, line_moved_words, set_and_rolled
from leeward.exchange.load_summary import LoadSummary
from leeward.exchange.load_sweep import (
    USUAL_SITES,
    PostureShown,
    posture_pictures,
    summarise_sweep,
    sweep_pictures,
    write_pictures,
)
from leeward.exchange.new_file import check_folder
from leeward.exchange.pictures.words import posture_text
from leeward.exchange.pressure_summary import PressureSummary, summarise_pressures
from leeward.exchange.problems import FileRefused
from leeward.exchange.site_names import sites_named
from leeward.exchange.support_names import supports_named
from leeward.fitting.edges import is_reached
from leeward.programme.settable import needed_postures
from leeward.records.canonical import to_plain
from leeward.terms.case import Case
from leeward.terms.equipment import SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import metres_from_mm, radians_from_deg
from leeward.tissue.drawn_ratios import DrawnBands
from leeward.tissue.standing_correction import correction_left_out, with_standing_correction
from leeward.workers.side_by_side import SideBySide, usual_count

#: Frictions of the stability strip. [-]
#: Source: convention of this project, wider than the range of sheets and clothes.
FRICTIONS = (0.2, 0.3, 0.4, 0.5, 0.6)

LEVEL = Posture()

#: Told the name of each step as it begins.
Step = Callable[[str], None]

HELP_BY_EXAMPLE = """Examples:

leeward loads my-case.yaml --turn-deg 20 --sites "sacrum, heels"

leeward loads my-case.yaml --backrest-deg 30 --pressures --out pictures/

leeward loads my-case.yaml --head-up-deg -5 --supports "pillow under calves"

leeward loads my-case.yaml --turn-deg -20 --draws 200

leeward loads my-case.yaml --sweep --out pictures/"""

TurnOption = Annotated[
    float,
    typer.Option(
        min=-60.0,
        max=60.0,
        help="Turn of the surface in degrees; positive turns the person to their own left "
        "(right side raised), negative to their own right (left side raised).",
    ),
]
BackrestOption = Annotated[
    float, typer.Option(min=0.0, max=80.0, help="Angle of the back section in degrees.")
]
KneeOption = Annotated[
    float, typer.Option(min=0.0, max=45.0, help="Angle of the thigh section in degrees.")
]
HeadOption = Annotated[
    float,
    typer.Option(
        min=-20.0,
        max=20.0,
        help="Tilt of the whole bed in degrees; negative puts the head end down.",
    ),
]
SupportsOption = Annotated[
    str,
    typer.Option(
        metavar="NAMES",
        help='Pillows, bolsters and blocks in use, as "pillow under calves, bolster left".',
    ),
]
SitesOption = Annotated[
    str,
    typer.Option(metavar="NAMES", help='Only these sites, as "sacrum, left trochanter, heels".'),
]
PressuresOption = Annotated[
    bool,
    typer.Option(
        "--pressures",
        help="Also peaks with their cell and friction on the skin, on foam that carries load "
        "sideways; with --out a pressure map, as picture and as numbers.",
    ),
]
DrawsOption = Annotated[
    int | None,
    typer.Option(
        min=16,
        max=1000,
        metavar="N",
        help="Bands over N draws of everything nobody measured, instead of seventeen fixed "
        "settings; 200 is enough.",
    ),
]
SweepOption = Annotated[
    bool,
    typer.Option(
        "--sweep", help="Every turn this unit can be set to, both sides, and the one asked for."
    ),
]
FolderOption = Annotated[
    Path | None,
    typer.Option("--out", parser=named, metavar="DIR", help="Folder for the pictures."),
]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was asked for, as the commands take it."""

    posture: Posture
    sites: tuple[Site, ...]
    draws: int | None
    seed: int
    pressures: bool
    out: Path | None
    as_json: bool
    workers: int


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("loads", epilog=HELP_BY_EXAMPLE)(loads)


def loads(
    case: CaseArgument,
    turn_deg: TurnOption = 0.0,
    backrest_deg: BackrestOption = 0.0,
    knee_raise_deg: KneeOption = 0.0,
    head_up_deg: HeadOption = 0.0,
    supports: SupportsOption = "",
    sites: SitesOption = "",
    pressures: PressuresOption = False,
    draws: DrawsOption = None,
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same draws.")] = 0,
    sweep: SweepOption = False,
    out: FolderOption = None,
    as_json: JsonOption = False,
    workers: WorkersOption = None,
) -> int:
    """Show where the body's load lies at one posture, with bands, and whether it is stable."""
    chosen = sites_named(sites) if sites else ()
    now = datetime.now(UTC)
    try:
        given = read_case(case).case
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    if out is not None:
        check_folder(out)
    person = with_standing_correction(given, now)
    if not as_json:
        for reason in correction_left_out(given, now):
            mark("attention", reason.sentence)
    posture = Posture(
        turn=radians_from_deg(turn_deg),
        backrest=radians_from_deg(backrest_deg),
        knee_raise=radians_from_deg(knee_raise_deg),
        head_up=radians_from_deg(head_up_deg),
        supports=supports_named(supports),
    )
    asked = _Asked(posture, chosen, draws, seed, pressures, out, as_json, workers or usual_count())
    return _sweep(person, asked) if sweep else _one_posture(person, asked)


def _one_posture(case: Case, asked: _Asked) -> int:
    posture = asked.posture
    with progress("loads") as step:
        step(posture_text(posture))
        request, table = flow.predict(case, *dict.fromkeys((posture, LEVEL)))
        moved = _line_moved(case, posture)
        bands = _bands(case, (posture,), asked, step)
        (found,) = summarise_sweep(table, (posture,), bands, case)
        shown = None
        if asked.pressures:
            step("pressures on foam that carries load sideways")
            shown = flow.predict_pressures(request, table, posture)
    files: tuple[Path, ...] = ()
    if asked.out is not None:
        headline = set_and_rolled(table, moved, posture)
        drawn = posture_pictures(PostureShown(request, table, posture, found, shown, headline))
        title = f"{case.person.label}: {found.posture}"
        files = write_pictures(asked.out, title, drawn, shown)
    told = None if shown is None else summarise_pressures(shown)
    if asked.as_json:
        print_json(_as_plain(found, told))
    else:
        sites = asked.sites or table.sites
        show_loads(case, found, sites)
        _show_beside(case, posture, moved)
        _show_pressures(told, sites)
        _show_files(files)
    is_stable = found.is_stable and (told is None or told.is_stable)
    return Exit.OFFERED if is_stable else Exit.NOTHING_OFFERED


def _show_pressures(told: PressureSummary | None, sites: tuple[Site, ...]) -> None:
    if told is not None:
        show_pressures(told, sites)


def _show_beside(case: Case, posture: Posture, moved: LoadTable | None) -> None:
    """What the same body does with the line elsewhere, and how it usually lies."""
    day = case.day
    angles = day.usual_backrest, day.usual_knee_raise, day.usual_head_up
    usual = Posture(posture.turn, *angles, supports=day.supports(False))
    if usual != posture:
        say(f"  this is not the day's usual posture, which is: {posture_text(usual)}")
    for words in () if moved is None else line_moved_words(moved, posture):
        say(f"  {words}")


def _as_plain(found: LoadSummary, told: PressureSummary | None) -> dict[str, Any]:
    plain: dict[str, Any] = {one.name: to_plain(getattr(found, one.name)) for one in fields(found)}
    return plain if told is None else {**plain, "pressures": to_plain(told)}


def _bands(
    case: Case, postures: tuple[Posture, ...], asked: _Asked, step: Step
) -> DrawnBands | None:
    """Bands over draws, where they were asked for."""
    if asked.draws is None:
        return None
    with SideBySide(asked.workers) as solve:
        return flow.predict_bands(
            case,
            *postures,
            count=asked.draws,
            rng=np.random.default_rng(asked.seed),
            counted=lambda solved, total: step(f"{solved} of {total} draws solved"),
            solve=solve,
        )


def _line_moved(case: Case, posture: Posture) -> LoadTable | None:
    """The posture with the line of a split surface further to each side: solved anew."""
    shift = metres_from_mm(LINE_MOVED_MM)
    unit = case.equipment
    if posture.turn == 0.0 or unit is None or unit.geometry.kind is not SurfaceKind.SPLIT:
        return None
    return flow.predict(case, posture, vary=lambda draw: with_line_moved(draw, (shift, -shift)))[1]


def _sweep(case: Case, asked: _Asked) -> int:
    base, out = asked.posture, asked.out
    turns = {one.turn for one in needed_postures(case) if is_reached(case, one)} | {base.turn}
    postures = tuple(base.with_turn(turn) for turn in sorted(turns))
    with progress("loads") as step:
        step("every turn this unit can be set to")
        request, table = flow.predict(case, *dict.fromkeys((*postures, LEVEL)))
        bands = _bands(case, postures, asked, step)
        found = summarise_sweep(table, postures, bands, case)
        files: tuple[Path, ...] = ()
        if out is not None:
            step("pictures")
            _, slippery = flow.predict(
                case, *postures, vary=lambda draw: with_frictions(draw, FRICTIONS)
            )
            of_base = found[postures.index(base)]
            pressed = flow.predict_pressures(request, table, base) if asked.pressures else None
            headline = set_and_rolled(table, _line_moved(case, base), base)
            drawn = {
                **posture_pictures(PostureShown(request, table, base, of_base, pressed, headline)),
                **sweep_pictures(found, slippery, asked.sites or USUAL_SITES),
            }
            files = write_pictures(out, f"{case.person.label}: every turn", drawn, pressed)
    if asked.as_json:
        print_json(to_plain(found))
    else:
        show_sweep(case, found, asked.sites or (Site.SACRUM,))
        _show_files(files)
    return Exit.OFFERED if all(one.is_stable for one in found) else Exit.NOTHING_OFFERED


def _show_files(files: tuple[Path, ...]) -> None:
    if files:
        heading("Files")
    for file in files:
        say(f"  {file}")
