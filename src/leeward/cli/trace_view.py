"""A trace as text: one site through the day, then every number it rests on."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, reasons, say
from leeward.cli.decision_view import index_text, posture_text
from leeward.programme.traced import Trace, TracedStay
from leeward.programme.traced_constants import NamedConstant
from leeward.terms.clock import clock_text
from leeward.terms.sourced import Sourced
from leeward.terms.units import min_from_seconds, mmhg_from_pascal

_TITLES = (
    "at", "min", "move", "lies", "mmHg", "q", "loaded", "lag", "A from", "A to", "index", "change"
)  # fmt: skip


def show_trace(trace: Trace) -> None:
    """Print a trace."""
    heading(f"The {trace.site.value} through the day, choice called {trace.choice.value}")
    _show_measures(trace)
    reasons("attention", trace.notes)
    _show_stays(trace)
    heading("What these numbers rest on")
    for one in trace.constants:
        mark("unknown" if one.constant.from_memory else "ok", _constant(one))


def _show_measures(trace: Trace) -> None:
    if trace.reference is not None:
        say(f"  A load ratio q of 1 is {mmhg_from_pascal(trace.reference):.1f} mmHg here.")
    if trace.allowed is not None:
        say(f"  Allowance that may be reached (an index of 1): {trace.allowed:.3f}.")
    if trace.result.index is not None:
        say(f"  Index, from the largest allowance of the day: {index_text(trace.result)}.")


def _show_stays(trace: Trace) -> None:
    postures = list(dict.fromkeys(map(_posture, trace.stays)))
    for number, posture in enumerate(postures, start=1):
        say(f"  posture {number}: {posture}")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    for title in _TITLES:
        table.add_column(title, justify="left" if title == "at" else "right")
    largest = max((one.allowance_most or 0.0 for one in trace.stays), default=0.0)
    for stay in trace.stays:
        number = postures.index(_posture(stay)) + 1
        table.add_row(*map(escape, _cells(stay, number, largest)))
    OUT.print(table)
    say("  q: load over its reference. loaded: minutes without relief at the end of the stay.")
    say("  move: minutes of the stay in which the surface moves. lies: the posture by its number.")
    say("  lag: minutes in which recovery still goes by the load before. A: allowance used.")
    say("  * the largest of the day. It tells no time that would do no harm: it only ranks.")


def _posture(stay: TracedStay) -> str:
    kept = ", prescribed" if stay.is_prescribed else ""
    return f"{posture_text(stay.posture)}{kept}"


def _cells(stay: TracedStay, posture: int, largest: float) -> tuple[str, ...]:
    is_largest = stay.allowance_most is not None and stay.allowance_most >= largest > 0.0
    return (
        clock_text(stay.start),
        f"{min_from_seconds(stay.duration):.0f}",
        f"{min_from_seconds(stay.movement):.0f}",
        str(posture),
        _known(None if stay.patch_load is None else mmhg_from_pascal(stay.patch_load), "{:.0f}"),
        _known(stay.load_ratio, "{:.2f}"),
        f"{min_from_seconds(stay.loaded_for):.0f}",
        f"{min_from_seconds(stay.lag):.0f}",
        _known(stay.allowance_before, "{:.3f}"),
        _known(stay.allowance_after, "{:.3f}"),
        _known(stay.index_after, "{:.2f}") + ("*" if is_largest else ""),
        _known(stay.index_change, "{:+.3f}"),
    )


def _known(value: float | None, form: str) -> str:
    return "?" if value is None else form.format(value)


def _constant(one: NamedConstant) -> str:
    constant = one.constant
    memory = "; from memory" if constant.from_memory else ""
    return (
        f"{one.name}: {_value(constant)}; {constant.source}; population: "
        f"{constant.population}{memory}"
    )


def _value(constant: Sourced) -> str:
    """In minutes where the constant is a time."""
    is_time = constant.unit == "s"
    unit = "min" if is_time else constant.unit

    def shown(value: float) -> str:
        return f"{min_from_seconds(value) if is_time else value:.4g}"

    text = shown(constant.value)
    if constant.low is not None and constant.high is not None:
        text += f" ({shown(constant.low)} to {shown(constant.high)})"
    return text if unit == "-" else f"{text} {unit}"
