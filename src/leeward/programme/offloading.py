"""What hands must do: sites no turn relieves, and first looks at sites never tried."""

from dataclasses import dataclass

from leeward.programme.limbs import absent_sites
from leeward.programme.programme import ManualTask
from leeward.terms.case import Case
from leeward.terms.day import Day
from leeward.terms.site import Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY, seconds_from_min

_CONVENTION = "convention of this project"

#: How long one movement of the head keeps the spot it lay on free. [min]
HEAD_RELIEF_MIN = Sourced(30.0, "min", _CONVENTION, "not applicable")
#: Working minutes of one task at one round, all people together. [min]
TASK_WORK_MIN = Sourced(2.0, "min", _CONVENTION, "not applicable")
#: Working minutes of one turn by hand: two people, five minutes each. [min]
TURN_WORK_MIN = Sourced(10.0, "min", _CONVENTION, "not applicable")


@dataclass(frozen=True, slots=True)
class _Group:
    """Sites that one movement offloads together; `leading` ones need a named owner."""

    sites: tuple[Site, ...]
    leading: tuple[Site, ...]
    method: str
    lasts_to_next_round: bool


_GROUPS = (
    _Group(
        (Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.LEFT_TOES, Site.RIGHT_TOES),
        (Site.LEFT_HEEL, Site.RIGHT_HEEL),
        "Float both heels: a pillow along the whole calf, knees slightly bent, nothing pressing "
        "on the tendon above the heel or in the hollow of the knee, bedclothes off the toes.",
        lasts_to_next_round=True,
    ),
    _Group(
        (Site.OCCIPUT, Site.LEFT_EAR, Site.RIGHT_EAR),
        (Site.OCCIPUT,),
        "Move the head so that it rests on another spot, and see that no ear is folded under it.",
        lasts_to_next_round=False,
    ),
    _Group(
        (Site.LEFT_ELBOW, Site.RIGHT_ELBOW),
        (Site.LEFT_ELBOW, Site.RIGHT_ELBOW),
        "Lay the arms so that the elbows hang free of the mattress, forearms on a pillow.",
        lasts_to_next_round=True,
    ),
)


def manual_tasks(case: Case, untried: tuple[Site, ...] = ()) -> tuple[ManualTask, ...]:
    """List the manual work that goes with every programme.

    Parameters
    ----------
    case : Case
        The case.
    untried : tuple of Site
        Sites no regime has loaded: they get an early first look.

    Returns
    -------
    tuple of ManualTask
        On the carers' rounds; without rounds the tasks have no times yet. The owner is
        empty while nobody is named for every leading site of a task.

    Notes
    -----
    Minutes of work and the time one movement of the head lasts are conventions.

    References
    ----------
    .. [1] Heels free, load along the calf, knee slightly bent: EPUAP/NPIAP/PPPIA guideline
       of 2014 and 2019, from memory. Head and elbows: common practice, no source.
    """
    absent = absent_sites(case.person.body)
    tasks = [_offloading(case, group, absent) for group in _GROUPS]
    first_looks = tuple(site for site in untried if site not in absent)
    if first_looks:
        tasks.append(_first_look(case, first_looks))
    return tuple(task for task in tasks if task.sites)


def work_min(tasks: tuple[ManualTask, ...]) -> float:
    """Add up the working minutes of manual tasks over a day.

    Parameters
    ----------
    tasks : tuple of ManualTask
        The tasks.

    Returns
    -------
    float
        Working minutes, all people together. [min]
    """
    return sum(task.work_min * len(task.times) for task in tasks)


def _offloading(case: Case, group: _Group, absent: frozenset[Site]) -> ManualTask:
    sites = tuple(site for site in group.sites if site not in absent)
    leading = tuple(site for site in group.leading if site not in absent)
    lasts = _shortest_gap(case.day) if group.lasts_to_next_round else _head_relief(case.day)
    method = _methods(case, leading) or group.method
    return ManualTask(
        sites=sites,
        what=method,
        times=tuple(sorted(case.day.rounds)),
        duration=lasts,
        work_min=TASK_WORK_MIN.value,
        owner=_owner(case, leading),
    )


def _first_look(case: Case, sites: tuple[Site, ...]) -> ManualTask:
    return ManualTask(
        sites=sites,
        what="Look early, at the first round after the first turn and at every round of the first "
        "three days: no regime has loaded these sites yet. Feel for warmth and firmness too.",
        times=tuple(sorted(case.day.rounds)),
        duration=0.0,
        work_min=TASK_WORK_MIN.value,
        owner=_any_owner(case, sites),
    )


def _owner(case: Case, leading: tuple[Site, ...]) -> str:
    named = {one.site: one for one in case.offloading if one.owner.strip() and one.method.strip()}
    if not leading or any(site not in named for site in leading):
        return ""
    return ", ".join(dict.fromkeys(named[site].owner for site in leading))


def _any_owner(case: Case, sites: tuple[Site, ...]) -> str:
    """First looks go to whoever is named for one of these sites, else to who floats the heels."""
    owners = [one.owner for one in case.offloading if one.site in sites and one.owner.strip()]
    return owners[0] if owners else _owner(case, _GROUPS[0].leading)


def _methods(case: Case, leading: tuple[Site, ...]) -> str:
    methods = [one.method for one in case.offloading if one.site in leading and one.method.strip()]
    return "; ".join(dict.fromkeys(methods))


def _shortest_gap(day: Day) -> float:
    if not day.rounds:
        return 0.0
    rounds = sorted(day.rounds)
    following = [*rounds[1:], rounds[0] + SECONDS_PER_DAY]
    return min(later - sooner for sooner, later in zip(rounds, following, strict=True))


def _head_relief(day: Day) -> float:
    return min(seconds_from_min(HEAD_RELIEF_MIN.value), _shortest_gap(day)) if day.rounds else 0.0
