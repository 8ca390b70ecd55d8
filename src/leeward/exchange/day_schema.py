"""The day as written in a case file."""

from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from leeward.exchange.field_types import (
    Backrest,
    ClockTime,
    Group,
    KneeRaise,
    Line,
    Minutes,
    Refusal,
    SidedAngle,
    TurnedTo,
    TurnedToWord,
    Words,
)
from leeward.exchange.signed_reason import signed_turn
from leeward.exchange.time_zones import known_zone
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day, OffloadingAssignment, PrescribedWindow
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg, seconds_from_min

#: The whole bed, head end up. [deg]
HeadUp = Annotated[float, Field(ge=-20, le=20)]
HEAD_UP = "Whole bed tilted, head end up; below 0 head down."
Supports = Annotated[tuple[Annotated[Support, Words()], ...], Field(max_length=8)]
Sites = Annotated[tuple[Annotated[Site, Words()], ...], Field(max_length=40)]


class SpanFields(Group):
    """A part of the day by the clock on the wall; it may cross midnight."""

    start: Annotated[ClockTime, Field(description="When it begins, for example 22:00.")]
    end: Annotated[ClockTime, Field(description="When it ends.")]

    def record(self) -> DaySpan:
        """The record the other rooms use."""
        return DaySpan(self.start, self.end)


class PrescribedFields(Group):
    """A part of the day whose posture somebody prescribed: a meal, a feed, the chair."""

    name: Annotated[Line, Field(description="What it is: lunch, overnight feed, out in chair.")]
    start: Annotated[ClockTime, Field(description="When it begins.")]
    end: Annotated[ClockTime, Field(description="When it ends.")]
    place: Annotated[Place, Words(), Field(description="Where the person is then.")] = Place.BED
    backrest_deg: Annotated[Backrest, Field(description="Backrest then.")] = 0.0
    knee_raise_deg: Annotated[KneeRaise, Field(description="Knee section then.")] = 0.0
    turned_to: Annotated[TurnedToWord, Field(description="Side turned to then.")] = TurnedTo.LEVEL
    turn_deg: Annotated[SidedAngle, Field(description="How far; leave out when level.")] = 0.0
    head_up_deg: Annotated[HeadUp, Field(description=HEAD_UP)] = 0.0
    supports: Annotated[Supports, Field(description="Pillows, bolsters and blocks then.")] = ()
    may_turn: Annotated[bool, Field(description="Whether turns go on during it.")]
    prescribed_by: Annotated[Line, Field(description="Name and role.")]

    @model_validator(mode="after")
    def _side_and_angle_agree(self) -> Self:
        signed_turn(self.turned_to, self.turn_deg)
        return self

    def record(self) -> PrescribedWindow:
        """The record the other rooms use."""
        posture = Posture(
            turn=signed_turn(self.turned_to, self.turn_deg),
            backrest=radians_from_deg(self.backrest_deg),
            knee_raise=radians_from_deg(self.knee_raise_deg),
            head_up=radians_from_deg(self.head_up_deg),
            supports=frozenset(self.supports),
            place=self.place,
        )
        span = DaySpan(self.start, self.end)
        return PrescribedWindow(self.name, span, posture, self.may_turn, self.prescribed_by)


class OffloadingFields(Group):
    """Who keeps load off sites that no turn relieves, and how."""

    sites: Annotated[Sites, Field(min_length=1, description="Which sites.")]
    owner: Annotated[Line, Field(description="Who does it, by role.")]
    method: Annotated[Line, Field(description="How: heels floated on a pillow, head moved.")]

    def records(self) -> tuple[OffloadingAssignment, ...]:
        """The records the other rooms use, one a site."""
        return tuple(OffloadingAssignment(site, self.owner, self.method) for site in self.sites)


class DayFields(Group):
    """A day as it is lived."""

    sleep: Annotated[SpanFields, Field(description="When the person sleeps at night.")]
    rounds: Annotated[
        tuple[ClockTime, ...],
        Field(max_length=48, description="Times at which carers come anyway."),
    ] = ()
    prescribed: Annotated[
        tuple[PrescribedFields, ...],
        Field(max_length=12, description="Meals, feeds, chair: postures somebody prescribed."),
    ] = ()
    usual_backrest_deg: Annotated[
        Backrest, Field(description="Backrest at other times in bed.")
    ] = 0.0
    usual_knee_raise_deg: Annotated[
        KneeRaise, Field(description="Knee section at other times in bed.")
    ] = 0.0
    usual_head_up_deg: Annotated[HeadUp, Field(description=HEAD_UP)] = 0.0
    usual_supports: Annotated[
        Supports, Field(description="Pillows, bolsters and blocks at other times in bed.")
    ] = ()
    night_supports: Annotated[
        Supports | None,
        Field(
            description="Those while the person sleeps; left out, the usual ones. `[]` says that "
            "there are none at night."
        ),
    ] = None
    care_min: Annotated[
        Minutes, Field(description="How long one care visit usually stops the unit.")
    ] = 40.0
    time_zone: Annotated[
        Line,
        AfterValidator(known_zone),
        Field(description="Zone of the clock on the wall, for example UTC or Europe/London."),
    ] = "UTC"

    @model_validator(mode="after")
    def _windows_do_not_overlap(self) -> Self:
        windows = self.prescribed
        for number, first in enumerate(windows):
            for second in windows[number + 1 :]:
                span, other = DaySpan(first.start, first.end), DaySpan(second.start, second.end)
                shared = span.overlap(other)
                if shared > 0.0:
                    raise Refusal(
                        f"{first.name!r} and {second.name!r} overlap by {shared / 60.0:g} min",
                        expected="prescribed parts of the day that follow one another",
                        remedy="correct the times of one of them",
                    )
        return self

    def record(self) -> Day:
        """The record the other rooms use."""
        return Day(
            sleep=self.sleep.record(),
            prescribed=tuple(entry.record() for entry in self.prescribed),
            rounds=tuple(sorted(self.rounds)),
            usual_backrest=radians_from_deg(self.usual_backrest_deg),
            usual_knee_raise=radians_from_deg(self.usual_knee_raise_deg),
            care_time=seconds_from_min(self.care_min),
            time_zone=self.time_zone,
            usual_supports=frozenset(self.usual_supports),
            night_supports=None if self.night_supports is None else frozenset(self.night_supports),
            usual_head_up=radians_from_deg(self.usual_head_up_deg),
        )
