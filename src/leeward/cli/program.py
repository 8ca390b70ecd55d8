"""The program `leeward`: one command per step of the job."""

import typer

from leeward import __version__
from leeward.cli import (
    case_commands,
    delivered_commands,
    explain_commands,
    fit_commands,
    loads_commands,
    measured_commands,
    plan_commands,
    prove_command,
    record_commands,
)
from leeward.cli.console import ERROR, MARKS, OUT, complain, make_printable, plain
from leeward.cli.exit_codes import Exit
from leeward.terms.errors import CannotCompute, LeewardError

app = typer.Typer(
    name="leeward",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    help=(
        "Plan, check and review how a person who cannot turn themselves is turned in bed.\n\n"
        "Begin with [bold]leeward new my-case.yaml[/bold], fill it in, then "
        "[bold]leeward check my-case.yaml[/bold] and "
        "[bold]leeward plan my-case.yaml --out plan/[/bold].\n\n"
        "Decision support only: the equipment's own instructions, local policy and the licensed "
        "practitioner prevail. Not an alarm."
    ),
)

EXIT_HELP = (
    "Exit code: 0 offered or as planned; 1 nothing offered, stopped, or differs; "
    "2 bad input; 3 cannot tell; 130 stopped by hand."
)
#: Of a longer file name only the beginning is told, so that the sentence stays one. [-]
LONGEST_NAME = 300
STOPPED_BY_HAND = "stopped by hand: every file written so far is whole; run it again when ready."


def _version(wanted: bool) -> None:
    if wanted:
        OUT.print(f"leeward {__version__}")
        raise typer.Exit


@app.callback(epilog=EXIT_HELP)
def _leeward(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version and end."
    ),
) -> None:
    del version


case_commands.register(app)
plan_commands.register(app)
loads_commands.register(app)
measured_commands.register(app)
explain_commands.register(app)
fit_commands.register(app)
prove_command.register(app)
delivered_commands.register(app)
record_commands.register(app)


def main(arguments: list[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    arguments : list of str or None
        Words after the program's name; None takes them from the command line.

    Returns
    -------
    int
        Exit code, see `leeward.cli.exit_codes`.
    """
    make_printable()
    try:
        outcome = app(args=arguments, standalone_mode=False)
    except CannotCompute as error:
        complain((error,))
        return Exit.CANNOT_TELL
    except LeewardError as error:
        complain((error,))
        return Exit.BAD_INPUT
    except typer.TyperException as error:
        if error.format_message():  # none where the help was shown since nothing was asked
            ERROR.print(f"[red]{MARKS['stop']}[/red] {plain(error.format_message())}")
        return Exit.BAD_INPUT
    except SystemExit:  # so ends what is piped into a program that stopped reading
        return Exit.NOBODY_READS
    except (typer.Abort, KeyboardInterrupt):
        outcome = Exit.STOPPED_BY_HAND
    except OSError as error:
        complain((_file_error(error),))
        return Exit.BAD_INPUT
    if outcome == Exit.STOPPED_BY_HAND:
        ERROR.print(f"[yellow]{MARKS['attention']}[/yellow] {STOPPED_BY_HAND}")
    return int(outcome) if isinstance(outcome, int) else Exit.OFFERED


def _shortened(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[:LONGEST_NAME]}…"


def _file_error(error: OSError) -> LeewardError:
    return LeewardError(
        error.strerror or "it cannot be used",
        where=_shortened(str(error.filename or "standard output, or a file")),
        expected="a file or folder leeward may read or write",
        remedy="check the name, the folder, its permissions and the room on the disk",
    )
