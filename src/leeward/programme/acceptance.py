"""What must be settled before any programme may be accepted."""

from leeward.programme.programme import ManualTask
from leeward.programme.quantities import listed
from leeward.terms.case import Case
from leeward.terms.person import Line
from leeward.terms.site import Site
from leeward.terms.skin import SkinCheck
from leeward.terms.verdict import Reason


def cannot_accept(case: Case, tasks: tuple[ManualTask, ...]) -> tuple[Reason, ...]:
    """Name every open question that keeps a programme a draft.

    Parameters
    ----------
    case : Case
        The case.
    tasks : tuple of ManualTask
        The manual work that goes with the programme.

    Returns
    -------
    tuple of Reason
        Empty when a practitioner may accept.
    """
    return (
        *_wishes(case),
        *(_unowned(task) for task in tasks if not task.owner.strip()),
        *_no_rounds(case),
        *(_unchecked_line(line) for line in case.person.lines if slack_is_unknown(line)),
        *_damage_not_protected(case),
    )


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


def damaged_sites(case: Case) -> tuple[SkinCheck, ...]:
    """Pick the sites whose latest look found damage.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    tuple of SkinCheck
        The latest look at each of them.
    """
    latest: dict[Site, SkinCheck] = {}
    for check in sorted(case.skin_checks, key=lambda one: one.when):
        latest[check.site] = check
    return tuple(check for check in latest.values() if check.finding.is_damage)


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


def _unowned(task: ManualTask) -> Reason:
    sites = listed([site.value for site in task.sites]) if task.sites else "a turn by hand"
    return Reason(
        "no-owner",
        f"Nobody is named, with a method, for {sites}: no turn of the surface does this work.",
    )


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


def _damage_not_protected(case: Case) -> list[Reason]:
    protected = {one.site for one in case.person.protected_sites}
    return [
        Reason(
            "damage-not-protected",
            f"The latest look at the {check.site.value} found {check.finding.value} "
            f"({check.by}, {check.when.date().isoformat()}) and the site is not listed as "
            "protected: say whether it may bear load, and who decided.",
        )
        for check in damaged_sites(case)
        if check.site not in protected
    ]
