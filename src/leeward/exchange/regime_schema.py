"""Regimes, events and policies as written in a case file."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.day_schema import HEAD_UP, DayFields, HeadUp, Sites, SpanFields, Supports
from leeward.exchange.field_types import (
    Backrest,
    Day,
    Group,
    KneeRaise,
    Line,
    Prose,
    Refusal,
    SidedAngle,
    StayMinutes,
    TurnedToWord,
    Words,
)
from leeward.exchange.mattress_schema import Layers, MattressFields, layers_record
from leeward.exchange.signed_reason import signed_turn
from leeward.terms.bed import Bed, Layer, Mattress
from leeward.terms.posture import Posture
from leeward.terms.regime import Event, EventKind, Looks, Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.units import radians_from_deg, seconds_from_min


class StayFields(Group):
    """Time kept in one posture."""

    turned_to: Annotated[
        TurnedToWord,
        Field(
            description="Side the person is turned to, their own left or right: turned to the left "
            "means the right side is raised. `level` for neither."
        ),
    ]
    turn_deg: Annotated[SidedAngle, Field(description="How far; leave out when level.")] = 0.0
    stay_min: Annotated[StayMinutes, Field(description="How long, in minutes.")]
    backrest_deg: Annotated[
        Backrest | None, Field(description="Backrest then; left out, the day's usual one.")
    ] = None
    knee_raise_deg: Annotated[
        KneeRaise | None, Field(description="Knee section then; left out, the day's usual one.")
    ] = None
    head_up_deg: Annotated[HeadUp, Field(description=HEAD_UP)] = 0.0
    supports: Annotated[Supports, Field(description="Pillows, bolsters and blocks then.")] = ()

    @model_validator(mode="after")
    def _side_and_angle_agree(self) -> Self:
        signed_turn(self.turned_to, self.turn_deg)
        return self

    def record(self, day: DayFields) -> Stay:
        """The record the other rooms use.

        Parameters
        ----------
        day : DayFields
            The day, for the usual backrest and knee section.

        Returns
        -------
        Stay
            The record.
        """
        backrest = day.usual_backrest_deg if self.backrest_deg is None else self.backrest_deg
        knee = day.usual_knee_raise_deg if self.knee_raise_deg is None else self.knee_raise_deg
        posture = Posture(
            turn=signed_turn(self.turned_to, self.turn_deg),
            backrest=radians_from_deg(backrest),
            knee_raise=radians_from_deg(knee),
            head_up=radians_from_deg(self.head_up_deg),
            supports=frozenset(self.supports),
        )
        return Stay(posture, seconds_from_min(self.stay_min))


Cycle = Annotated[tuple[StayFields, ...], Field(max_length=24)]


class LooksFields(Group):
    """How often, and by whom, the skin was seen clear under a regime."""

    count: Annotated[int, Field(ge=0, le=10000, description="Looks at every loaded site.")]
    first: Annotated[Day, Field(description="Date of the first.")]
    last: Annotated[Day, Field(description="Date of the last.")]
    by: Annotated[Line, Field(description="Who looked.")]
    included_warmth_and_firmness: Annotated[
        bool, Field(description="Whether skin was felt as well, not only looked at.")
    ]

    @model_validator(mode="after")
    def _dates_in_order(self) -> Self:
        if self.last < self.first:
            raise Refusal(
                f"last look {self.last} before the first {self.first}",
                expected="the first date before the last",
                remedy="correct the dates",
            )
        return self

    def record(self) -> Looks:
        """The record the other rooms use."""
        return Looks(self.count, self.first, self.last, self.by, self.included_warmth_and_firmness)


class RegimeFields(Group):
    """A way the person has lain, and what was seen of their skin under it."""

    name: Annotated[Line, Field(description="In plain words.")]
    standing: Annotated[
        RegimeStanding,
        Words(),
        Field(
            description="`clear`: skin stayed clear; `failed`: it did not; `assumed`: nobody "
            "knows, and a policy is assumed."
        ),
    ]
    means: Annotated[TurnMeans, Words(), Field(description="What turned the person.")]
    cycle: Annotated[Cycle, Field(min_length=1, description="Stays in order.")]
    night_cycle: Annotated[Cycle, Field(description="Stays at night, when they differ.")] = ()
    night: Annotated[SpanFields | None, Field(description="When the night's stays run.")] = None
    on_present_mattress: Annotated[
        bool | None,
        Field(description="Whether it was on the mattress and layers written under `bed`."),
    ] = None
    mattress: Annotated[
        MattressFields | None, Field(description="The mattress then, when it was another.")
    ] = None
    layers: Annotated[Layers | None, Field(description="Layers then, when they were others.")] = (
        None
    )
    first: Annotated[Day | None, Field(description="From which date.")] = None
    last: Annotated[Day | None, Field(description="To which date.")] = None
    looks: Annotated[LooksFields | None, Field(description="How the skin was seen.")] = None
    failed_sites: Annotated[Sites, Field(description="Sites not clear under it.")] = ()
    assumed_by: Annotated[
        Line | None, Field(description="Who chose to assume it: name and role.")
    ] = None
    source: Annotated[Prose, Field(description="Record or policy it comes from.")] = ""

    @model_validator(mode="after")
    def _parts_agree(self) -> Self:
        if self.first is not None and self.last is not None and self.last < self.first:
            raise Refusal(
                f"ends {self.last}, before it begins {self.first}",
                expected="`first` before `last`",
                remedy="correct the dates",
            )
        if bool(self.night_cycle) != (self.night is not None):
            raise Refusal(
                "`night` without `night_cycle`, or the other way round",
                expected="both or neither",
                remedy="add the one that is missing",
            )
        if self.on_present_mattress and (self.mattress is not None or self.layers is not None):
            raise Refusal(
                "on the present mattress, and yet another mattress or layers",
                expected="`on_present_mattress: true`, or `mattress` and `layers`",
                remedy="keep the one that is right",
            )
        return self

    def record(self, day: DayFields, bed: Bed) -> Regime:
        """The record the other rooms use.

        Parameters
        ----------
        day : DayFields
            The day, for the usual backrest.
        bed : Bed
            The bed, for a regime on the present mattress.

        Returns
        -------
        Regime
            The record.
        """
        mattress, layers = self._underneath(bed)
        return Regime(
            name=self.name,
            standing=self.standing,
            means=self.means,
            cycle=tuple(stay.record(day) for stay in self.cycle),
            mattress=mattress,
            night_cycle=tuple(stay.record(day) for stay in self.night_cycle),
            night=None if self.night is None else self.night.record(),
            layers=layers,
            first=self.first,
            last=self.last,
            looks=None if self.looks is None else self.looks.record(),
            failed_sites=self.failed_sites,
            assumed_by=self.assumed_by or "",
            source=self.source,
        )

    def _underneath(self, bed: Bed) -> tuple[Mattress, tuple[Layer, ...] | None]:
        # An assumed regime speaks of the person on the bed as it stands; one that was really
        # lain in may have been on anything, and then nobody may assume that it was the same.
        assumed = self.standing is RegimeStanding.ASSUMED and self.mattress is None
        if self.on_present_mattress or (assumed and self.on_present_mattress is None):
            return bed.mattress, bed.layers
        mattress = Mattress() if self.mattress is None else self.mattress.record()
        return mattress, layers_record(self.layers)


class EventFields(Group):
    """Something after which earlier looks no longer speak for the present."""

    kind: Annotated[EventKind, Words(), Field(description="What happened.")]
    when: Annotated[Day, Field(description="When.")]

    def record(self) -> Event:
        """The record the other rooms use."""
        return Event(self.kind, self.when)
