"""Looks at skin and hands passed under sites, as written in a case file."""

from datetime import datetime
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from leeward.exchange.day_schema import Sites
from leeward.exchange.field_types import (
    Group,
    Line,
    Moment,
    Refusal,
    SidedAngle,
    TurnedToWord,
    Words,
)
from leeward.exchange.signed_reason import signed_turn
from leeward.terms.site import Site
from leeward.terms.skin import Change, HandCheck, HandPassage, SkinCheck, SkinFinding


class FoundFields(Group):
    """What a look found at one site."""

    site: Annotated[Site, Words(), Field(description="Where.")]
    finding: Annotated[SkinFinding, Words(), Field(description="What was found.")]
    category: Annotated[
        Literal["1", "2", "3", "4", "U", "D"] | None,
        Field(description="Category by code, in quotes, when the skin is damaged."),
    ] = None
    warmth: Annotated[
        Change,
        Words(spoken=True),
        Field(description="Whether it is warmer or cooler than around it."),
    ] = Change.NOT_CHECKED
    firmness: Annotated[
        Change,
        Words(spoken=True),
        Field(description="Whether it is firmer or softer than around it."),
    ] = Change.NOT_CHECKED
    pain: Annotated[
        Change, Words(spoken=True), Field(description="Whether it hurts or itches.")
    ] = Change.NOT_CHECKED


class LookFields(Group):
    """One look at skin: who, when, what was clear and what was not."""

    when: Annotated[Moment, Field(description="Date and time on the wall clock, or with offset.")]
    by: Annotated[Line, Field(description="Who looked.")]
    is_competent: Annotated[bool, Field(description="Whether they are trained to look.")] = True
    minutes_after_unloading: Annotated[
        float | None, Field(ge=0, le=1440, description="Minutes since the site was lain on.")
    ] = None
    checked_warmth_and_firmness: Annotated[
        bool, Field(description="Whether the clear sites were felt as well, not only looked at.")
    ] = False
    clear: Annotated[Sites, Field(description="Sites seen and found clear.")] = ()
    all_other_sites_clear: Annotated[
        bool, Field(description="Every site not under `found` was seen and was clear.")
    ] = False
    found: Annotated[
        tuple[FoundFields, ...], Field(max_length=40, description="Sites that were not clear.")
    ] = ()

    @model_validator(mode="after")
    def _every_site_once(self) -> Self:
        named = [*self.clear, *(entry.site for entry in self.found)]
        twice = [site for site in dict.fromkeys(named) if named.count(site) > 1]
        if twice:
            raise Refusal(
                f"{twice[0].value!r} named more than once in one look",
                expected="every site once, under `clear` or under `found`",
                remedy="keep the one that is right",
            )
        if not named and not self.all_other_sites_clear:
            raise Refusal(
                "a look that names no site",
                expected="`clear`, `found` or `all_other_sites_clear: true`",
                remedy="say which sites were seen",
            )
        return self

    def records(self, when: datetime) -> tuple[SkinCheck, ...]:
        """The records the other rooms use, one a site.

        Parameters
        ----------
        when : datetime
            Aware time of the look.

        Returns
        -------
        tuple of SkinCheck
            In the order of the sites' list.
        """
        found = {entry.site: entry for entry in self.found}
        clear = set(Site) - set(found) if self.all_other_sites_clear else set(self.clear)
        seen = [site for site in Site if site in found or site in clear]
        return tuple(self._record(when, site, found.get(site, self._clear(site))) for site in seen)

    def _clear(self, site: Site) -> FoundFields:
        felt = Change.NO if self.checked_warmth_and_firmness else Change.NOT_CHECKED
        return FoundFields.model_construct(
            site=site, finding=SkinFinding.CLEAR, warmth=felt, firmness=felt
        )

    def _record(self, when: datetime, site: Site, seen: FoundFields) -> SkinCheck:
        return SkinCheck(
            when=when,
            by=self.by,
            site=site,
            finding=seen.finding,
            is_competent=self.is_competent,
            minutes_after_unloading=self.minutes_after_unloading,
            warmth=seen.warmth,
            firmness=seen.firmness,
            pain=seen.pain,
            category=seen.category,
        )


class HandCheckFields(Group):
    """A hand passed under one site while the surface stood at one turn."""

    when: Annotated[Moment, Field(description="Date and time.")]
    by: Annotated[Line, Field(description="Who did it.")]
    site: Annotated[Site, Words(), Field(description="Under which site.")]
    turned_to: Annotated[TurnedToWord, Field(description="Side the person was turned to.")]
    turn_deg: Annotated[SidedAngle, Field(description="How far; leave out when level.")] = 0.0
    passage: Annotated[HandPassage, Words(), Field(description="How the hand passed.")]

    @model_validator(mode="after")
    def _side_and_angle_agree(self) -> Self:
        signed_turn(self.turned_to, self.turn_deg)
        return self

    def record(self, when: datetime) -> HandCheck:
        """The record the other rooms use.

        Parameters
        ----------
        when : datetime
            Aware time of the check.

        Returns
        -------
        HandCheck
            The record.
        """
        turn = signed_turn(self.turned_to, self.turn_deg)
        return HandCheck(when=when, by=self.by, site=self.site, turn=turn, passage=self.passage)
