"""Looks at skin, hands passed under a site, and what was found."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from leeward.terms.site import Site


class SkinFinding(StrEnum):
    """What a look at skin found."""

    CLEAR = "clear"
    REDNESS_THAT_FADES = "redness that fades on pressing"
    REDNESS_THAT_STAYS = "redness that stays on pressing"
    OPEN = "open wound"
    DEEP = "suspected deep injury"
    NOT_SEEN = "not seen"

    @property
    def is_damage(self) -> bool:
        """True for redness that stays, an open wound or suspected deep injury."""
        return self in (SkinFinding.REDNESS_THAT_STAYS, SkinFinding.OPEN, SkinFinding.DEEP)


class Change(StrEnum):
    """How a site compares with the skin around it, beside its colour."""

    NO = "no different"
    YES = "different"
    NOT_CHECKED = "not checked"


@dataclass(frozen=True, slots=True)
class SkinCheck:
    """One look at one site by one person.

    Parameters
    ----------
    when : datetime
        Aware time.
    by : str
        Who looked.
    site : Site
        Where.
    finding : SkinFinding
        What was found.
    is_competent : bool
        Whether the observer is trained to look.
    minutes_after_unloading : float or None
        Time since the site was last loaded. [min]
    warmth, firmness, pain : Change
        Beside colour; on dark skin a look without warmth and firmness does not count.
    category : str or None
        Category by code (1, 2, 3, 4, U, D) when damaged.
    """

    when: datetime
    by: str
    site: Site
    finding: SkinFinding
    is_competent: bool = True
    minutes_after_unloading: float | None = None
    warmth: Change = Change.NOT_CHECKED
    firmness: Change = Change.NOT_CHECKED
    pain: Change = Change.NOT_CHECKED
    category: str | None = None


class HandPassage(StrEnum):
    """How a hand passes under a site."""

    PASSES = "passes"
    TIGHT = "tight"
    DOES_NOT_PASS = "does not pass"


@dataclass(frozen=True, slots=True)
class HandCheck:
    """A hand passed under one site in one posture.

    Parameters
    ----------
    when : datetime
        Aware time.
    by : str
        Who did it.
    site : Site
        Under which site.
    turn : float
        Turn of the surface then, positive to the person's left. [rad]
    passage : HandPassage
        How it went.
    """

    when: datetime
    by: str
    site: Site
    turn: float
    passage: HandPassage
