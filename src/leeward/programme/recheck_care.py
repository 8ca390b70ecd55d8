"""What stops planning, what hands must do, and how the programme is built up."""

from collections.abc import Iterator
from itertools import pairwise

from leeward.programme.programme import BuildUpStep
from leeward.programme.recheck_day import Examined, present
from leeward.programme.recheck_finding import finding, is_within, number_of
from leeward.terms.clock import clock_text
from leeward.terms.limits import Limit
from leeward.terms.person import SignedReason
from leeward.terms.posture import turn_in_words
from leeward.terms.site import Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY
from leeward.terms.verdict import Quantity, Reason

_STANDARD = "IEC 60601-2-52:2009/A1:2015, 201.3.219, as reported by a regulator"

LEAST_AGE = Limit(18.0, "year", "convention of this project: tables of adults")
LEAST_STATURE = Limit(1.46, "m", _STANDARD)
LEAST_MASS = Limit(40.0, "kg", _STANDARD)
LEAST_BODY_MASS_INDEX = Limit(17.0, "kg/m^2", _STANDARD)

STEP_UP_AFTER = Sourced(
    72.0,
    "h",
    "convention of this project: deep injury can show two to three days late",
    "not applicable",
)

#: Times of day closer than this are one. [s]
_SAME_TIME = 1.0

#: Sites without which no programme may be accepted.
NEED_HANDS = (Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.OCCIPUT)


def stopped(seen: Examined) -> Iterator[Reason]:
    """Find conditions that stop planning and that no named practitioner answered.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each.
    """
    person = seen.case.person
    for one in person.contraindications:
        if not _is_signed(one.continues):
            yield finding(
                "contraindicated",
                f"{one.kind.value.capitalize()}: no named practitioner says in writing why "
                "turning goes on all the same.",
            )
    if _is_signed(person.specialist_continues):
        return
    body = person.body
    # A quotient of two measures: its last bit decides nothing.
    index = round(body.mass / (body.stature * body.stature), 9) if body.stature > 0.0 else 0.0
    measures = (
        ("age", body.age, LEAST_AGE),
        ("stature", body.stature, LEAST_STATURE),
        ("mass", body.mass, LEAST_MASS),
        ("body mass index", index, LEAST_BODY_MASS_INDEX),
    )
    for name, value, edge in measures:
        if value is None or not value >= edge.value:
            known = () if value is None else (Quantity(name, value, edge.unit),)
            yield finding(
                "outside-the-tables",
                f"The person's {name} is not known to lie inside the tables, and no specialist "
                "continues in writing.",
                *known,
                Quantity(f"least {name}", edge.value, edge.unit),
            )


def _is_signed(signed: SignedReason | None) -> bool:
    return signed is not None and bool(signed.by.strip()) and bool(signed.reason.strip())


def hands_missing(seen: Examined) -> Iterator[Reason]:
    """Find sites no turn relieves and no hand is asked to.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each.
    """
    tasks = [task for task in seen.programme.tasks if task.what.strip()]
    asked = {site for task in tasks for site in task.sites}
    for site in present(NEED_HANDS, seen.case.person.body):
        if site not in asked:
            yield finding(
                "hands-missing", f"No turn relieves the {site}, and no task by hand is planned."
            )


def turned_by_nobody(seen: Examined) -> Iterator[Reason]:
    """Find turns of a programme by hand at whose time no people are asked to turn.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each.
    """
    if not seen.programme.turned_by_hand:
        return
    asked = [time for task in seen.programme.tasks if not task.sites for time in task.times]
    clock = seen.programme.windows[0].span.start
    before = seen.stays[-1].posture
    for stay in seen.stays:
        near = (abs(clock - time) % SECONDS_PER_DAY for time in asked)
        if stay.posture.turn != before.turn and not any(
            min(apart, SECONDS_PER_DAY - apart) < _SAME_TIME for apart in near
        ):
            yield finding(
                "turned-by-nobody",
                f"At {clock_text(clock % SECONDS_PER_DAY)} the person is to be "
                f"{turn_in_words(stay.posture.turn)}, and nobody is asked to turn them.",
            )
        clock, before = clock + stay.duration, stay.posture


def built_up_too_fast(seen: Examined) -> Iterator[Reason]:
    """Find a build-up that is missing or steps up before deep injury could show.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each step that goes wrong.
    """
    steps = seen.programme.build_up
    if not any(stay.posture.turn != 0.0 for stay in seen.turning):
        return
    if not steps:
        yield finding("no-build-up", "The programme starts with its full turns from the first day.")
    for number, step in enumerate(steps, start=1):
        if not (step.share_of_turn > 0.0 and is_within(step.share_of_turn, 1.0)):
            yield finding(
                "build-up-beyond-programme",
                f"Step {number} of the build-up gives more than the programme's turns, or none.",
                number_of("share of turn", step.share_of_turn),
            )
        if not step.look.strip():
            yield finding(
                "no-look", f"Step {number} of the build-up does not say when the skin is looked at."
            )
    yield from _steps_up_too_early(steps)


def _steps_up_too_early(steps: tuple[BuildUpStep, ...]) -> Iterator[Reason]:
    for number, (earlier, step) in enumerate(pairwise(steps), start=2):
        least = STEP_UP_AFTER.value if step.share_of_turn > earlier.share_of_turn else 0.0
        since = step.from_hour - earlier.from_hour
        if not is_within(least, since):
            yield finding(
                "step-too-early",
                f"Step {number} of the build-up comes before the skin could show what the last "
                "one did.",
                Quantity("hours since", since, "h"),
                Quantity("least", least, "h"),
            )
