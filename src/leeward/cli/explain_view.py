"""An explanation as text: what limits each choice, one step either way, the answer."""

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.console import OUT, heading, mark, reasons, say
from leeward.cli.decision_view import index_text
from leeward.cli.help_view import show_helps
from leeward.cli.sensitivity_view import show_sensitivity
from leeward.cli.trace_view import show_trace
from leeward.exchange.way_words import choice_labels
from leeward.programme.explained import ChoiceExplained, Explanation
from leeward.programme.one_step import OneStep
from leeward.programme.why_not import Answer, SiteChange
from leeward.terms.units import mmhg_from_pascal
from leeward.terms.verdict import Reason

#: Sites listed below an answer: the most used, and those that nothing is compared for.
_MOST_SITES = 12

_BESIDE = frozenset({"largest-index", "disturbs"})
_ATTENTION = frozenset({"more-load-where-untried", "rest-of-day", "stay-loaded"})


def show_explanation(found: Explanation) -> None:
    """Print whatever was asked for."""
    reasons("attention", found.notes)
    labels = choice_labels([choice.name for choice in found.choices])
    for label, choice in zip(labels, found.choices, strict=True):
        _show_choice(label, choice)
    if found.answer is not None:
        _show_answer(found.answer)
    if found.trace is not None:
        show_trace(found.trace)
    if found.sensitivity is not None:
        show_sensitivity(found.sensitivity)
    show_helps(found.helps)


def _show_choice(label: str, choice: ChoiceExplained) -> None:
    heading(f"What limits the choice called {label}")
    if choice.limiting is None:
        say("  No compared site limits it.")
    else:
        say(f"  The {choice.limiting.site.value}: index {index_text(choice.limiting)}")
    for reason in choice.reasons:
        say(f"  {reason.sentence}")
    heading(f"One step less and one more in each setting of {label}")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    for title in ("setting", "becomes", "index (band)", "at the", "asleep", "qualifies"):
        table.add_column(title, no_wrap=title in ("setting", "index (band)"))
    for step in choice.steps:
        table.add_row(*(escape(cell) for cell in _cells(step)))
    OUT.print(table)
    say("  asleep: movements during sleep.")
    for step in choice.steps:
        _show_why(step)


def _cells(step: OneStep) -> tuple[str, ...]:
    # Both sides is the rule; a side of its own is said.
    setting = step.setting.replace(" both sides", "")
    if step.qualifies is None:
        return (setting, step.becomes, "-", "-", "-", "not tried")
    site = "-" if step.limiting_site is None else step.limiting_site.value
    return (
        setting,
        step.becomes,
        _index(step),
        site,
        str(step.turns_in_sleep),
        "yes" if step.qualifies else "NO",
    )


def _index(step: OneStep) -> str:
    if step.index is None:
        return "not known"
    if step.index_low is None or step.index_high is None:
        return f"{step.index:.2f} (band not known)"
    return f"{step.index:.2f} ({step.index_low:.2f}-{step.index_high:.2f})"


def _show_why(step: OneStep) -> None:
    if step.blocked:
        say(f"  {step.setting}, no further than {step.becomes}: {step.blocked}.")
    if step.against:
        more = len(step.against) - 1
        others = f" (and {more} more)" if more else ""
        mark("stop", f"{step.setting}, {step.becomes}: {_counted(step.against[0])}{others}")


def _show_answer(answer: Answer) -> None:
    heading("The answer")
    verdict, *others = answer.reasons
    mark("ok" if answer.qualifies else "stop", verdict.sentence)
    for reason in others:
        _show_reason(reason)
    heading("Sites compared, and those that turning can relieve; most used first")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    for title in ("site", "load ratio", "before", "mmHg", "index (band)", "before"):
        table.add_column(title)
    for site in answer.sites[:_MOST_SITES]:
        table.add_row(*(escape(cell) for cell in _site_cells(site)))
    OUT.print(table)
    say("  Load ratio: of the stay that loads it most, central value. Index: over the day.")


def _show_reason(reason: Reason) -> None:
    if reason.code in _ATTENTION:
        mark("attention", reason.sentence)
    elif reason.code in _BESIDE:
        say(f"  {reason.sentence}")
    else:
        mark("stop", _counted(reason))


def _counted(reason: Reason) -> str:
    """The sentence with the numbers it rests on, where it does not say them itself."""
    numbers = [f"{one.name} {one.value:g}{_unit(one.unit)}" for one in reason.numbers]
    return f"{reason.sentence} [{'; '.join(numbers)}]" if numbers else reason.sentence


def _unit(unit: str) -> str:
    return {"-": "", "°": "°"}.get(unit, f" {unit}")


def _site_cells(one: SiteChange) -> tuple[str, ...]:
    index = "-"
    if one.index is not None:
        band = " (band not known)"
        if one.index_low is not None and one.index_high is not None:
            band = f" ({one.index_low:.2f} to {one.index_high:.2f})"
        index = f"{one.index:.2f}{band}"
    else:
        index = one.standing.value.split(":")[0]
    return (
        one.site.value,
        _number(one.load_ratio),
        _number(one.load_ratio_before),
        "-" if one.patch_load is None else f"{mmhg_from_pascal(one.patch_load):.0f}",
        index,
        _number(one.index_before),
    )


def _number(value: float | None) -> str:
    return "-" if value is None else f"{value:.2f}"
