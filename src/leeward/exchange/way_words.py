"""Choices and what people do today, side by side in words and numbers."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from leeward.programme.decision import Assessment, Beside, ChoiceName, Decision
from leeward.terms.units import deg_from_radians
from leeward.terms.verdict import Reason

_YES = {True: "yes", False: "NO"}
_ITSELF = frozenset({"is-what-is-assumed", "is-what-is-compared"})

#: Short for what speaks against a way.
_KINDS = {
    "index-above-one": "sites used too much",
    "load-unknown": "loads not known",
    "loaded-too-long": "loaded too long",
    "level-stay-forbidden": "level though ruled out",
    "not-a-place-to-lie": "no place to lie",
    "protected-site-loaded": "a protected site loaded",
    "relief-too-short": "relief too short",
    "stay-too-long": "stays too long",
    "turn-beyond-limit": "turns beyond a limit",
}

#: Rules that are read out of those that speak against a way; the plan file has all.
_READ_OUT = 2

WORDS_OF_THE_WAYS = (
    "moved: largest turn, and degrees moved through in a day. hands: minutes of people's work a "
    "day; (two: tasks for two people or more, apart: tasks at a time when no round comes). pull: "
    "share of the friction there is that lying so needs, at most; it ranks how hard the body is "
    "pulled sideways. fits: whether every rule is kept that the choices keep; itself: it is what "
    "everything is compared with. What stands below the choices is not proposed."
)


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way of turning, written out.

    Parameters
    ----------
    name, index, band, site : str
        Which, and its largest index.
    turns, asleep, largest, through : str
        What moves the person.
    hands, by_two, outside : str
        Minutes of people's work a day, tasks for two people, tasks when no round comes.
    pull, qualifies : str
        Highest friction demand; whether every rule is kept.
    """

    name: str
    index: str
    band: str
    site: str
    turns: str
    asleep: str
    largest: str
    through: str
    hands: str
    by_two: str
    outside: str
    pull: str
    qualifies: str


def way_rows(decision: Decision, *, with_choices: bool = True) -> tuple[WayRow, ...]:
    """Write out the choices of a plan, and below them what people do.

    Parameters
    ----------
    decision : Decision
        The plan.
    with_choices : bool
        Whether the choices come first; without them today's way is a row of its own.

    Returns
    -------
    tuple of WayRow
        Choices first, and none of them twice.
    """
    names = choice_labels([one.name for one in decision.choices])
    choices = [
        _row(name, one.assessment, _YES[one.assessment.qualifies and not one.recheck])
        for name, one in zip(names, decision.choices, strict=True)
    ]
    ways = [
        _row(one.name, one.assessment, _fits(one))
        for one in decision.beside
        if not with_choices or one.name not in names
    ]
    return (*(choices if with_choices else ()), *ways)


def choice_labels(names: Sequence[ChoiceName]) -> list[str]:
    """Say each name; of several that are alike, the further ones with their number.

    Parameters
    ----------
    names : sequence of ChoiceName
        Names of choices in order.

    Returns
    -------
    list of str
        One for each.
    """
    labels = []
    for place, name in enumerate(names):
        number = 1 + names[:place].count(name)
        labels.append(name.value + (f", number {number}" if number > 1 else ""))
    return labels


def _fits(one: Beside) -> str:
    """What is compared with itself keeps every rule by definition, and that is no finding."""
    is_itself = any(remark.code in _ITSELF for remark in one.remarks)
    return _YES[one.qualifies] if not (is_itself and one.qualifies) else "itself"


def against_in_words(against: tuple[Reason, ...]) -> str:
    """Say which rules a way breaks, the first of them in full.

    Parameters
    ----------
    against : tuple of Reason
        At least one.

    Returns
    -------
    str
        Sentences; how many more there are stands behind them.
    """
    first: dict[str, Reason] = {}
    for reason in against:
        first.setdefault(reason.code, reason)
    read = list(first.values())[:_READ_OUT]
    more = len(against) - len(read)
    said = " ".join(reason.sentence for reason in read)
    return f"{said} (and {more} more)" if more else said


def counted_against(against: tuple[Reason, ...]) -> str:
    """Count what speaks against a way, where there is no room to say it.

    Parameters
    ----------
    against : tuple of Reason
        Any number.

    Returns
    -------
    str
        Each kind once, with how many sites or times it was found; empty where there is none.
    """
    counts = Counter(reason.code for reason in against)
    said = [f"{_KINDS.get(code, code.replace('-', ' '))} ({n})" for code, n in counts.items()]
    return "; ".join(said) + "." * (len(said) > 0)


def _row(name: str, found: Assessment, qualifies: str) -> WayRow:
    cost, limiting = found.disturbance, found.limiting
    index, band = "not known", ""
    if limiting is not None and limiting.index is not None:
        index, band = f"{limiting.index:.2f}", "(band not known)"
        if limiting.index_low is not None and limiting.index_high is not None:
            band = f"{limiting.index_low:.2f} to {limiting.index_high:.2f}"
    return WayRow(
        name=name,
        index=index,
        band=band,
        site="-" if limiting is None else limiting.site.value,
        turns=str(cost.turns_per_day),
        asleep=str(cost.turns_in_sleep),
        largest=f"{deg_from_radians(cost.largest_turn):.0f}°",
        through=f"{deg_from_radians(cost.turned_through):.0f}°",
        hands=f"{cost.manual_min:.0f}",
        by_two=str(cost.two_person_tasks),
        outside=str(cost.outside_rounds),
        pull="?" if cost.pull is None else f"{cost.pull:.2f}",
        qualifies=qualifies,
    )
