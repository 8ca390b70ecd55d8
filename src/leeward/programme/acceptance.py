"""What must be settled before any programme may be accepted."""

from datetime import datetime, timedelta

from leeward.programme.programme import ManualTask
from leeward.programme.quantities import listed
from leeward.terms.case import Case
from leeward.terms.person import Line
from leeward.terms.skin import SkinCheck
from leeward.terms.verdict import Reason
from leeward.tissue.skin_evidence import needs_touch, standing_damage


def cannot_accept(case: Case, tasks: tuple[ManualTask, ...], now: datetime) -> tuple[Reason, ...]:
    """Name every open question that keeps a programme a draft.

    Parameters
    ----------
    case : Case
        The case.
    tasks : tuple of ManualTask
        The manual work that goes with the programme.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    tuple of Reason
        Empty when a practitioner may accept.
    """
    return (
        *_wishes(case),
        *_dated_ahead(case, now),
        *(_unowned(task) for task in tasks if not task.owner.strip()),
        *_no_rounds(case),
        *_no_look(case),
        *(_unchecked_line(line) for line in case.person.lines if slack_is_unknown(line)),
        *_damage_not_protected(case, now),
    )


def in_the_way(found: tuple[Reason, ...], tasks: tuple[ManualTask, ...]) -> tuple[Reason, ...]:
    """Keep of what was found against accepting anything what concerns one programme.

    Parameters
    ----------
    found : tuple of Reason
        What `cannot_accept` said of all choices together.
    tasks : tuple of ManualTask
        The manual work of one of them.

    Returns
    -------
    tuple of Reason
        Work that nobody is named for counts only where the programme asks for it.
    """
    own = {_unowned(task) for task in tasks if not task.owner.strip()}
    return tuple(reason for reason in found if reason.code != "no-owner" or reason in own)


def slack_is_unknown(line: Line) -> bool:
    """Whether nobody checked how far a line lets the person be turned.

    Parameters
    ----------
    line : Line
        A line or device.

    Returns
    -------
    bool
        True when either direction is unknown.
    """
    return line.largest_turn_left is None or line.largest_turn_right is None


def damage_found(case: Case, now: datetime) -> tuple[SkinCheck, ...]:
    """Pick the looks whose damage no later one has seen gone.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    tuple of SkinCheck
        The latest such look at each site.
    """
    return tuple(standing_damage(case.skin_checks, with_touch=needs_touch(case), now=now).values())


def _wishes(case: Case) -> list[Reason]:
    person = case.person
    reasons = []
    if person.consent is None:
        reasons.append(
            Reason(
                "consent-open",
                "Consent is not recorded: ask the person, or record the best-interests decision, "
                "who made it and when.",
            )
        )
    if person.aim is None:
        reasons.append(
            Reason(
                "aim-open",
                "The aim of care is not recorded: prevention, healing, comfort or the last days "
                "of life call for different programmes.",
            )
        )
    if person.knows_right_to_refuse is not True:
        reasons.append(
            Reason(
                "right-to-refuse-open",
                "It is not recorded that the person, or whoever speaks for them, was told they "
                "may refuse or stop at any time.",
            )
        )
    return reasons


def _dated_ahead(case: Case, now: datetime) -> list[Reason]:
    """What is said to have been recorded on a day still to come records nothing yet."""
    reasons = []
    consent = case.person.consent
    # A calendar date ends latest in the zone furthest behind the one planning was done in.
    tomorrow = now.date() + timedelta(days=1)
    if consent is not None and consent.when > tomorrow:
        reasons.append(
            Reason(
                "consent-in-the-future",
                f"Consent is dated {consent.when.isoformat()}, a day still to come: correct the "
                "date, or ask the person.",
            )
        )
    ahead = [check for check in case.skin_checks if check.when > now]
    if ahead:
        last = max(ahead, key=lambda check: check.when)
        reasons.append(
            Reason(
                "look-in-the-future",
                f"A look at the skin by {last.by} is dated {last.when.date().isoformat()}, still "
                "to come: correct the date, or look at the skin.",
            )
        )
    return reasons


def _unowned(task: ManualTask) -> Reason:
    sites = listed([site.value for site in task.sites]) if task.sites else "a turn by hand"
    return Reason(
        "no-owner",
        f"Nobody is named, with a method, for {sites}: no turn of the surface does this work.",
    )


def _no_look(case: Case) -> list[Reason]:
    """Looks summed up for a regime say how the skin was, not how it is before this programme."""
    if case.skin_checks:
        return []
    return [
        Reason(
            "no-look",
            "No look at the skin is recorded, so no programme can be accepted: look at the skin "
            "first, and write down what was seen at each site.",
        )
    ]


def _no_rounds(case: Case) -> list[Reason]:
    if case.day.rounds:
        return []
    return [
        Reason(
            "no-rounds",
            "No carers' rounds are given: say when somebody comes, since heels, head and elbows "
            "need hands at known times.",
        )
    ]


def _unchecked_line(line: Line) -> Reason:
    return Reason(
        "line-slack-unknown",
        f"Nobody checked how far the {line.what} lets the person be turned each way: check its "
        "slack by hand over the whole movement before anything is accepted.",
    )


def _damage_not_protected(case: Case, now: datetime) -> list[Reason]:
    protected = {one.site for one in case.person.protected_sites}
    return [
        Reason(
            "damage-not-protected",
            f"A look at the {check.site.value} found {check.finding.value} "
            f"({check.by}, {check.when.date().isoformat()}), none since has seen it clear, and "
            "the site is not listed as protected: say whether it may bear load, and who decided.",
        )
        for check in damage_found(case, now)
        if check.site not in protected
    ]
