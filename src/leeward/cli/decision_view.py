"""A decision as text: what was decided, why, what it costs, what stands in the way."""

from collections import Counter

from rich import box
from rich.markup import escape
from rich.table import Table

from leeward.cli.beside_view import show_beside
from leeward.cli.console import OUT, heading, mark, reasons, say
from leeward.exchange.sheet_words import AFTER_CARE
from leeward.exchange.way_words import choice_labels
from leeward.programme.decision import (
    Choice,
    ChoiceName,
    Decision,
    Outcome,
    SiteResult,
    SiteStanding,
)
from leeward.programme.hand_work import work_in_words
from leeward.programme.programme import Programme
from leeward.terms.clock import clock_text
from leeward.terms.posture import Place, Posture, turn_in_words
from leeward.terms.units import deg_from_radians, min_from_seconds
from leeward.terms.verdict import Reason

CLOSING = (
    "Decision support only. The equipment's own instructions, local policy and the licensed "
    "practitioner prevail. leeward ranks programmes against what this person's skin was seen "
    "to take; it does not certify one, and it is not an alarm. Skin checks decide."
)

_OUTCOME_MARK = {
    Outcome.OFFERED: "ok",
    Outcome.NONE_QUALIFIES: "stop",
    Outcome.STOPPED: "stop",
    Outcome.CANNOT_TELL: "unknown",
}


#: Reasons that leave nothing open, beside an offer.
_SETTLED = frozenset({"offered", "regime-clear"})


def _reason_mark(outcome: Outcome, reason: Reason) -> str:
    """What is assumed, not described or paused is no good news, though something is offered."""
    if outcome is Outcome.OFFERED and reason.code not in _SETTLED:
        return "attention"
    return _OUTCOME_MARK[outcome]


def posture_text(posture: Posture) -> str:
    """Say a posture in words."""
    if posture.place is not Place.BED:
        return posture.place.value
    text = turn_in_words(posture.turn)
    if posture.backrest:
        text += f", backrest {deg_from_radians(posture.backrest):.0f}°"
    if posture.head_up:
        end = "up" if posture.head_up > 0.0 else "down"
        text += f", head end {end} {deg_from_radians(abs(posture.head_up)):.0f}°"
    return ", ".join([text, *sorted(posture.supports)])


#: What the words of the table mean, for whoever reads one for the first time.
_WORDS_OF_THE_TABLE = (
    "  index: how much the programme uses the site it uses most, beside the regime compared: 1 is "
    "as much. draws: what nobody measured, varied within its range; the band and the share cover "
    "that. untried: no regime seen has loaded these sites."
)


def show_decision(
    decision: Decision, label: str, invented: str, rounds: tuple[float, ...] = ()
) -> None:
    """Print a whole decision."""
    if invented:
        mark("attention", f"INVENTED CASE: {invented}")
    heading(f"Plan for {label}")
    mark(_OUTCOME_MARK[decision.outcome], f"Outcome: {decision.outcome.value}")
    for reason in decision.reasons:
        mark(_reason_mark(decision.outcome, reason), reason.sentence)
    if decision.compared_with:
        say(f"Compared with: {decision.compared_with}")
    if decision.cautions:
        heading("Read before anything is done")
        reasons("attention", decision.cautions)
    if decision.choices:
        _show_choices(decision, rounds)
    show_beside(decision)
    _show_what_is_missing(decision)
    if decision.cannot_accept:
        heading("Must be settled before any choice may be accepted")
        reasons("stop", decision.cannot_accept)
    say()
    say(CLOSING)


def _show_choices(decision: Decision, rounds: tuple[float, ...]) -> None:
    heading("Choices side by side")
    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    table.add_column("")
    labels = choice_labels([choice.name for choice in decision.choices])
    for label in labels:
        table.add_column(escape(label), ratio=1)
    for title, cell in _ROWS:
        table.add_row(title, *(escape(cell(choice)) for choice in decision.choices))
    OUT.print(table)
    say(_WORDS_OF_THE_TABLE)
    for label, choice in zip(labels, decision.choices, strict=True):
        _show_reasons(label, choice)
    _show_settings(decision)
    _show_tasks(_shown_first(decision), rounds)


def _limiting(choice: Choice) -> str:
    site = choice.assessment.limiting_site
    return "none compared" if site is None else site.value


def _index(choice: Choice) -> str:
    result = choice.assessment.limiting
    return "-" if result is None else index_text(result)


def index_text(result: SiteResult) -> str:
    """Write a site's index with its band, or the words that stand in its place."""
    if result.index is None:
        return result.standing.value
    band = " (band not known)"
    if result.index_low is not None and result.index_high is not None:
        band = f" ({result.index_low:.2f} to {result.index_high:.2f})"
    return f"{result.index:.2f}{band}"


def _untried(choice: Choice) -> str:
    sites = [r.site.value for r in choice.assessment.sites if r.standing is SiteStanding.UNTRIED]
    return ", ".join(sites) or "none"


_ROWS = (
    ("by day", lambda choice: _main_cycle(choice.programme, asleep=False)),
    ("by night", lambda choice: _main_cycle(choice.programme, asleep=True)),
    ("largest index (band)", _index),
    ("at the", _limiting),
    ("qualifies", lambda choice: "yes" if choice.assessment.qualifies else "NO"),
    ("... in draws", lambda choice: f"{100 * choice.assessment.share_of_draws:.0f} %"),
    ("turns a day", lambda choice: str(choice.assessment.disturbance.turns_per_day)),
    ("... in sleep", lambda choice: str(choice.assessment.disturbance.turns_in_sleep)),
    (
        "largest turn",
        lambda choice: f"{deg_from_radians(choice.assessment.disturbance.largest_turn):.0f}°",
    ),
    (
        "moved through a day",
        lambda choice: f"{deg_from_radians(choice.assessment.disturbance.turned_through):.0f}°",
    ),
    ("hands, min a day", lambda choice: f"{choice.assessment.disturbance.manual_min:.0f}"),
    ("... by two people", lambda choice: str(choice.assessment.disturbance.two_person_tasks)),
    ("untried sites", _untried),
)


def _main_cycle(programme: Programme, *, asleep: bool) -> str:
    name = "night" if asleep else "day"
    for window in programme.windows:
        # Prescribed windows have names of their own, and "midday rest" is not the day.
        if len(window.cycle) > 1 and _is_called(window.name, name):
            return "; ".join(
                f"{posture_text(stay.posture)} {min_from_seconds(stay.duration):.0f} min"
                for stay in window.cycle
            )
    return "as by the rest of the day"


def _is_called(window: str, name: str) -> bool:
    return window in (name, "day and night") or window.startswith(f"{name} from ")


def _show_reasons(label: str, choice: Choice) -> None:
    heading(f"Why {label}")
    reasons("ok" if choice.assessment.qualifies else "attention", choice.reasons)
    for listed in _by_code(choice.recheck):
        mark("stop", listed)


def _by_code(found: tuple[Reason, ...]) -> list[str]:
    """First finding of each rule, and how many more there are: the plan file has all."""
    first: dict[str, Reason] = {}
    for reason in found:
        first.setdefault(reason.code, reason)
    counts = Counter(reason.code for reason in found)
    more = {code: f" (and {n - 1} more like it)" if n > 1 else "" for code, n in counts.items()}
    return [f"recheck: {reason.sentence}{more[code]}" for code, reason in first.items()]


def _shown_first(decision: Decision) -> Choice:
    balanced = [one for one in decision.choices if one.name is ChoiceName.BALANCED]
    return (balanced or list(decision.choices))[0]


def _show_settings(decision: Decision) -> None:
    choice = _shown_first(decision)
    heading(f"What to enter at the unit for {choice.name.value}, in order")
    for number, setting in enumerate(choice.settings, start=1):
        say(f"  {number}. {setting}")
    if len(decision.choices) > 1:
        say("  The other choices' settings are in their full plans (plan.pdf).")


def _show_tasks(choice: Choice, rounds: tuple[float, ...]) -> None:
    heading(f"What hands must do for {choice.name.value}")
    if choice.programme.tasks:
        say(f"  {work_in_words(choice.programme.tasks, rounds)}")
    for task in choice.programme.tasks:
        times = ", ".join(clock_text(time) for time in task.times) or "no time set"
        say(f"  - {task.what}")
        say(f"    at {times}; who: {task.owner or 'NOBODY NAMED'}")
    if choice.programme.tasks and not choice.programme.turned_by_hand:
        say(f"  {AFTER_CARE}")


def _show_what_is_missing(decision: Decision) -> None:
    if decision.ruled_out:
        heading(f"Ruled out, of {decision.candidates} settable candidates")
        for rule in decision.ruled_out:
            say(f"  {rule.count:>6}  {rule.rule}: {rule.example.sentence}")
    if decision.missing:
        heading("Not known, and what that does to the answer")
        for fact in decision.missing:
            mark("unknown", f"{fact.field}: {fact.consequence}")
    if decision.narrowing is not None:
        mark("attention", decision.narrowing.sentence)
