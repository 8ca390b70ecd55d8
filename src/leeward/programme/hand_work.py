"""What the manual work of a day asks of people: how many at once, and when nobody comes anyway."""

from collections import defaultdict
from dataclasses import dataclass

from leeward.programme.programme import ManualTask
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY, seconds_from_min

_CONVENTION = "convention of this project"

#: A task this near a round is done on it. [min]
ON_THE_ROUND_MIN = Sourced(30.0, "min", _CONVENTION, "not applicable")


@dataclass(frozen=True, slots=True)
class WorkAtATime:
    """The manual work of one time of day.

    Parameters
    ----------
    time : float
        When. [s]
    tasks : int
        How many tasks. [-]
    work_min : float
        Working minutes, all people together. [min]
    people : int
        Most people needed at once. [-]
    on_round : bool
        Whether a round of the carers comes then.
    """

    time: float
    tasks: int
    work_min: float
    people: int
    on_round: bool


def work_of_the_day(
    tasks: tuple[ManualTask, ...], rounds: tuple[float, ...]
) -> tuple[WorkAtATime, ...]:
    """Gather manual tasks by the time of day at which they are done.

    Parameters
    ----------
    tasks : tuple of ManualTask
        The tasks.
    rounds : tuple of float
        Carers' rounds. [s]

    Returns
    -------
    tuple of WorkAtATime
        By time of day; tasks without a time are in none of them.

    Examples
    --------
    >>> turn = ManualTask((), "Turn by hand.", (0.0, 7200.0), 7200.0, 10.0, people=2)
    >>> [(one.people, one.on_round) for one in work_of_the_day((turn,), (7200.0,))]
    [(2, False), (2, True)]
    """
    at: defaultdict[float, list[ManualTask]] = defaultdict(list)
    for task in tasks:
        for time in task.times:
            at[time].append(task)
    return tuple(
        WorkAtATime(
            time,
            len(done),
            sum(task.work_min for task in done),
            max(task.people for task in done),
            is_on_round(time, rounds),
        )
        for time, done in sorted(at.items())
    )


def is_on_round(time: float, rounds: tuple[float, ...]) -> bool:
    """Whether a round of the carers comes at about a time.

    Parameters
    ----------
    time : float
        Time of day. [s]
    rounds : tuple of float
        Carers' rounds. [s]

    Returns
    -------
    bool
        False where no rounds are given: nobody then knows that somebody comes.
    """
    reach = seconds_from_min(ON_THE_ROUND_MIN.value)
    apart = (abs(time - one) % SECONDS_PER_DAY for one in rounds)
    return any(min(one, SECONDS_PER_DAY - one) <= reach for one in apart)


def two_person_tasks(tasks: tuple[ManualTask, ...]) -> int:
    """Count the tasks of a day that need two people or more at once.

    Parameters
    ----------
    tasks : tuple of ManualTask
        The tasks.

    Returns
    -------
    int
        Each task at each of its times. [-]
    """
    return sum(len(task.times) for task in tasks if task.people > 1)


def tasks_outside_rounds(tasks: tuple[ManualTask, ...], rounds: tuple[float, ...]) -> int:
    """Count the tasks of a day at whose time no round comes.

    Parameters
    ----------
    tasks : tuple of ManualTask
        The tasks.
    rounds : tuple of float
        Carers' rounds. [s]

    Returns
    -------
    int
        Each task at each of its times. [-]
    """
    return sum(not is_on_round(time, rounds) for task in tasks for time in task.times)


def work_in_words(tasks: tuple[ManualTask, ...], rounds: tuple[float, ...]) -> str:
    """Say how much manual work a day asks for, and of how many people.

    Parameters
    ----------
    tasks : tuple of ManualTask
        The tasks.
    rounds : tuple of float
        Carers' rounds. [s]

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> look = ManualTask((), "Look.", (3600.0, 7200.0), 0.0, 2.0)
    >>> work_in_words((look,), (3600.0, 7200.0))
    '4 min of work a day at 2 times, every one on a round; nothing needs two people.'
    """
    work = work_of_the_day(tasks, rounds)
    total = sum(one.work_min for one in work)
    outside = sum(not one.on_round for one in work)
    where = (
        "no rounds are given"
        if not rounds
        else f"{outside} of them when no round comes"
        if outside
        else "every one on a round"
    )
    pairs = two_person_tasks(tasks)
    hands = f"{pairs} tasks need two people or more" if pairs else "nothing needs two people"
    said = f"{total:.0f} min of work a day at {len(work)} times, {where}; {hands}."
    untimed = sum(not task.times for task in tasks)
    if not untimed:
        return said
    left_out = f"{untimed} of {len(tasks)} tasks have no time yet and are not counted"
    if untimed == len(tasks):
        return f"How much work a day is not known: {left_out}; enter the carers' rounds."
    return f"{said} {left_out}."
