"""An invented person's programme and decision, for the pictures' and sheets' tests."""

from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np

from leeward.exchange.pictures.section import PressureBar, SectionView
from leeward.programme.decision import (
    Assessment,
    Beside,
    Choice,
    ChoiceName,
    Decision,
    Disturbance,
    Outcome,
    RuledOut,
    SiteResult,
    SiteStanding,
    TradeOffPoint,
)
from leeward.programme.other_conventions import (
    ConventionChanged,
    IndexThen,
    OrderOfTwo,
    Sensitivity,
)
from leeward.programme.programme import BuildUpStep, ManualTask, Programme, Window
from leeward.terms.case import MissingFact
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.person import SignedReason
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Stay
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.site import MANUALLY_OFFLOADED_SITES, RESPONSIVE_SITES, Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.terms.verdict import Quantity, Reason

HOUR = 3600.0
SLEEP = DaySpan(22.0 * HOUR, 7.0 * HOUR)
ROUNDS = tuple(hour * HOUR for hour in (2.0, 6.0, 8.0, 11.0, 14.0, 17.0, 20.0, 22.0))
DAY = Day(sleep=SLEEP, rounds=ROUNDS)
ACCEPTED = SignedReason("B. Invented, nurse", date(2026, 3, 2), "agreed with the person")


def posture(turn_deg: float = 0.0, backrest_deg: float = 0.0, place: Place = Place.BED) -> Posture:
    return Posture(
        turn=radians_from_deg(turn_deg), backrest=radians_from_deg(backrest_deg), place=place
    )


def stay(turn_deg: float, stay_min: float, backrest_deg: float = 0.0) -> Stay:
    return Stay(posture(turn_deg, backrest_deg), seconds_from_min(stay_min))


def cycle(turn_deg: float, stay_min: float) -> tuple[Stay, ...]:
    return (stay(turn_deg, stay_min), stay(0.0, 30.0), stay(-turn_deg, stay_min), stay(0.0, 30.0))


def window(
    name: str, start_h: float, end_h: float, stays: tuple[Stay, ...], by: str = ""
) -> Window:
    return Window(name, DaySpan(start_h * HOUR, end_h * HOUR), stays, by)


TASKS = (
    ManualTask(
        sites=(Site.LEFT_HEEL, Site.RIGHT_HEEL),
        what="float both heels on a pillow under the calves, knees slightly bent",
        times=ROUNDS,
        duration=3600.0,
        work_min=3.0,
        owner="carer on the round",
    ),
    ManualTask(
        sites=(Site.OCCIPUT,),
        what="move the head to the other side of the pillow",
        times=ROUNDS[1::2],
        duration=1800.0,
        work_min=1.0,
        owner="carer on the round",
    ),
)

BUILD_UP = (
    BuildUpStep(0.0, 0.5, "look after the first full cycle and the first night"),
    BuildUpStep(72.0, 0.75, "look at 48 to 72 h, every loaded site"),
    BuildUpStep(168.0, 1.0, "look at 7 days"),
)


def programme(tasks: tuple[ManualTask, ...] = TASKS) -> Programme:
    awake, night = cycle(25.0, 90.0), cycle(20.0, 150.0)
    lunch = (stay(0.0, 60.0, backrest_deg=60.0),)
    chair = (Stay(posture(place=Place.CHAIR), 2.0 * HOUR),)
    return Programme(
        windows=(
            window("morning", 7.0, 12.0, awake),
            window("lunch", 12.0, 13.0, lunch, "dietitian (invented)"),
            window("afternoon", 13.0, 15.0, awake),
            window("out in chair", 15.0, 17.0, chair, "therapist (invented)"),
            window("evening", 17.0, 22.0, awake),
            window("night", 22.0, 7.0, night),
        ),
        build_up=BUILD_UP,
        tasks=tasks,
    )


def plain_programme() -> Programme:
    return Programme(
        windows=(window("day and night", 7.0, 7.0, cycle(20.0, 120.0)),),
        build_up=BUILD_UP[:2],
        tasks=TASKS,
    )


def delivered() -> PostureSeries:
    """A night and a morning of which some is unknown."""
    edges = HOUR * np.array([22.0, 24.4, 25.0, 27.5, 29.0, 31.0, 33.0, 35.5, 36.0, 44.0])
    turns = (20.0, 0.0, -20.0, 0.0, 0.0, 24.0, 0.0, -16.0, 0.0)
    validity = [Validity.KNOWN] * len(turns)
    validity[3] = validity[8] = Validity.UNKNOWN
    return PostureSeries(
        edges, tuple(posture(turn) for turn in turns), tuple(validity), "2026-03-03T00:00+01:00"
    )


def site_result(site: Site, index: float | None, standing: SiteStanding) -> SiteResult:
    low, high = (None, None) if index is None else (0.88 * index, 1.1 * index)
    return SiteResult(site, standing, 0.9, index, low, high, 1.1)


def sites() -> tuple[SiteResult, ...]:
    untried = {Site.LEFT_TROCHANTER, Site.RIGHT_TROCHANTER, Site.COCCYX}
    unknown = {Site.LEFT_OUTER_ANKLE, Site.RIGHT_OUTER_ANKLE}
    found = []
    for number, site in enumerate(RESPONSIVE_SITES):
        if site in untried:
            found.append(site_result(site, None, SiteStanding.UNTRIED))
        elif site in unknown:
            found.append(site_result(site, None, SiteStanding.CANNOT_TELL))
        else:
            found.append(site_result(site, 0.45 + 0.04 * number, SiteStanding.COMPARED))
    hands = [site_result(site, None, SiteStanding.NEEDS_HANDS) for site in MANUALLY_OFFLOADED_SITES]
    return tuple(found + hands)


def choice(name: ChoiceName = ChoiceName.BALANCED, plan: Programme | None = None) -> Choice:
    turned = {ChoiceName.GENTLEST: 0.8, ChoiceName.BALANCED: 1.0, ChoiceName.MOST_RELIEF: 1.2}
    return Choice(
        name=name,
        programme=plan or programme(),
        settings=(
            "Left turn: 25 degrees.",
            "Right turn: 25 degrees.",
            "Stay turned: 90 minutes. Stay level: 30 minutes.",
            "Night, 22:00 to 07:00: left and right 20 degrees, stay turned 150 minutes.",
            "Start the programme and watch one full cycle.",
        ),
        assessment=Assessment(
            qualifies=name is not ChoiceName.CLOSEST,
            share_of_draws=0.82,
            sites=sites(),
            limiting_site=Site.SACRUM,
            disturbance=Disturbance(
                14, 4, radians_from_deg(25.0), 9.0 * turned.get(name, 1.0), 36.0, pull=0.55
            ),
            reasons=(
                Reason(
                    "index-kept",
                    "No site's time is used more heavily than under the regime seen clear.",
                    (Quantity("largest index", 0.93, "-"),),
                ),
            ),
        ),
        reasons=(
            Reason(
                "least-disturbing",
                "Fewest turns in the hours of sleep among those that qualify.",
                (Quantity("turns in sleep", 4.0, "-"),),
            ),
        ),
    )


def by_hand() -> Beside:
    """Two-hourly by hand, which loads the sacrum too much."""
    plan = replace(programme((*TASKS, replace(TASKS[0], sites=(), people=2))), turned_by_hand=True)
    judged = choice().assessment
    cost = Disturbance(12, 4, radians_from_deg(30.0), 8.4, 156.0, 12, 5, 0.61)
    used = Reason("index-above-one", "The sacrum is used 1.21 times as much.")
    return Beside(
        name="two-hourly by hand, 30°",
        source="one arm of an invented trial; order: common practice, no source",
        programme=plan,
        settings=("The unit stays level all day: nobody sets it to turn.",),
        assessment=replace(judged, qualifies=False, disturbance=cost, reasons=(used,)),
        against=(used,),
    )


#: Two choices that change places under one change.
SENSITIVITY = Sensitivity(
    names=("gentlest", "most relief"),
    changes=(
        ConventionChanged(
            "as-planned",
            "As planned",
            (IndexThen(0.97, Site.SACRUM), IndexThen(0.88, Site.LEFT_BUTTOCK)),
        ),
        ConventionChanged(
            "slower",
            "Load and relief both act half as fast",
            (IndexThen(0.91, Site.SACRUM), IndexThen(0.99, Site.LEFT_BUTTOCK)),
        ),
    ),
    orders=(OrderOfTwo(0, 1, True, ("slower",)),),
    compared_with="two-hourly turns",
)


def decision(*choices: Choice, cannot_accept: tuple[Reason, ...] = ()) -> Decision:
    return Decision(
        outcome=Outcome.OFFERED,
        choices=choices or (choice(),),
        reasons=(Reason("offered", "Three programmes qualify."),),
        cautions=(
            Reason(
                "line-slack", "The feeding tube's slack was checked for turns up to 25 degrees."
            ),
            Reason("dark-skin", "Colour alone proves nothing: feel for warmth and firmness."),
        ),
        cannot_accept=cannot_accept,
        ruled_out=(
            RuledOut("sacrum above 1", 412, Reason("index", "Turn 15 degrees: sacrum 1.21.")),
            RuledOut("stay longer than seen clear", 96, Reason("stay", "Stay 240 min: 180 seen.")),
        ),
        compared_with="by hand every two hours, seen clear in 9 looks",
        missing=(MissingFact("bed.friction", "the band of stable turns is wider"),),
        narrowing=Reason("measure-line", "Measure where the surface's line lies under the body."),
        candidates=5184,
        load_noise=0.002,
        interpolation_error=0.003,
        made_at=datetime(2026, 3, 2, 9, 30, tzinfo=UTC),
        seed=7,
        software="0.1.0",
        case_digest="c0ffee" + "0" * 58,
        beside=(by_hand(),),
        not_beside=(Reason("default-not-entered", "The unit's default is not entered."),),
        trade_off=(TradeOffPoint(4, 40, 0.97, 0.90, 1.05, 1.8),),
        sensitivity=SENSITIVITY,
    )


def with_owner(task: ManualTask, owner: str) -> ManualTask:
    return replace(task, owner=owner)


def section_view(
    turn_deg: float, roll_deg: float, state: EquilibriumState = EquilibriumState.STABLE
) -> SectionView:
    """An invented pelvis, an ellipse, in the valley of a split surface."""
    turn, roll = radians_from_deg(turn_deg), radians_from_deg(roll_deg)
    across = np.linspace(-0.42, 0.42, 43)
    raised = across < 0.0 if turn_deg > 0.0 else across > 0.0
    surface = np.where(raised, np.abs(across) * np.tan(abs(turn)), 0.0)
    angle = np.linspace(0.0, 2.0 * np.pi, 73)[:-1]
    around = np.array([0.18 * np.cos(angle), 0.11 * np.sin(angle)])
    turning = np.array([[np.cos(roll), np.sin(roll)], [-np.sin(roll), np.cos(roll)]])
    shape = turning @ around
    outward = turning @ np.array([np.cos(angle) / 0.18, np.sin(angle) / 0.11])
    outward /= np.linalg.norm(outward, axis=0)
    sunk = float(np.min(shape[1] - np.interp(shape[0], across, surface))) + 0.025
    shape[1] -= sunk
    depth = np.interp(shape[0], across, surface) - shape[1]
    bars = tuple(
        PressureBar((float(x), float(z)), (float(u), float(v)), 3e5 * float(deep))
        for (x, z), (u, v), deep in zip(shape.T, outward.T, depth, strict=True)
        if deep > 0.0
    )
    return SectionView(
        name="pelvis",
        outlines=(tuple((float(x), float(z)) for x, z in shape.T),),
        surface=tuple((float(x), float(z)) for x, z in zip(across, surface, strict=True)),
        bars=bars,
        surface_turn=turn,
        body_roll=roll,
        state=state,
    )
