"""Local turning policies: the written form, and the regime someone assumes from one."""

from typing import Annotated

from pydantic import Field

from leeward.exchange.day_schema import DayFields
from leeward.exchange.field_types import Group, Line, Prose, StayMinutes, TurnedTo, TurnedToWord
from leeward.exchange.regime_schema import StayFields
from leeward.terms.bed import Bed
from leeward.terms.regime import Policy, Regime, RegimeStanding, TurnMeans
from leeward.terms.units import radians_from_deg, seconds_from_min


class PolicyFields(Group):
    """A turning policy, each figure with its source."""

    schema_version: Annotated[int, Field(description="Version of this form.")] = 1
    name: Annotated[Line, Field(description="Its name.")]
    source: Annotated[Prose, Field(min_length=1, description="Where the interval is written.")]
    interval_min: Annotated[StayMinutes, Field(description="Longest time in one posture.")]
    turn_deg: Annotated[
        float, Field(gt=0, le=90, description="Turn to each side that it asks for.")
    ]
    turn_source: Annotated[Prose, Field(min_length=1, description="Where the turn is written.")]
    order: Annotated[
        tuple[TurnedToWord, ...],
        Field(min_length=2, max_length=8, description="Order of the postures by hand."),
    ]
    order_source: Annotated[Prose, Field(min_length=1, description="Where the order is written.")]

    def record(self) -> Policy:
        """The record the other rooms use."""
        return Policy(
            name=self.name,
            source=f"interval: {self.source}; turn: {self.turn_source}; order: {self.order_source}",
            interval=seconds_from_min(self.interval_min),
            turn=radians_from_deg(self.turn_deg),
        )

    def assumed(self, by: str, day: DayFields, bed: Bed) -> Regime:
        """The regime someone assumes from this policy, by hand on the present bed.

        Parameters
        ----------
        by : str
            Who chose to assume it.
        day : DayFields
            The day, for the usual backrest.
        bed : Bed
            The bed as it stands.

        Returns
        -------
        Regime
            With standing assumed.
        """
        stays = tuple(
            StayFields(
                turned_to=side,
                turn_deg=0.0 if side is TurnedTo.LEVEL else self.turn_deg,
                stay_min=self.interval_min,
            )
            for side in self.order
        )
        return Regime(
            name=f"assumed: {self.name}",
            standing=RegimeStanding.ASSUMED,
            means=TurnMeans.BY_HAND,
            cycle=tuple(stay.record(day) for stay in stays),
            mattress=bed.mattress,
            layers=bed.layers,
            assumed_by=by,
            source=self.source,
        )
