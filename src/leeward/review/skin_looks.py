"""When the skin was last looked at: said with every verdict about the surface."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from leeward.review.conventions import LONGEST_WITHOUT_LOOK
from leeward.terms.site import Site
from leeward.terms.skin import SkinCheck, SkinFinding
from leeward.tissue.skin_evidence import standing_damage


@dataclass(frozen=True, slots=True)
class SkinLooks:
    """What is known of the last look, and the present it is held against.

    Parameters
    ----------
    now : datetime
        The present, aware.
    last : datetime or None
        Last look by someone trained to look; None where none is recorded.
    damaged : tuple of Site
        Sites where damage was found and no look since has seen it gone.
    """

    now: datetime
    last: datetime | None = None
    damaged: tuple[Site, ...] = ()

    @property
    def is_overdue(self) -> bool:
        """Whether a look is due; also when none is recorded or its date has not come yet."""
        if self.last is None:
            return True
        return not 0.0 <= (self.now - self.last).total_seconds() <= LONGEST_WITHOUT_LOOK.value

    @property
    def sentence(self) -> str:
        """The part of every verdict that speaks of the skin."""
        if self.last is None:
            return "no look at the skin is recorded"
        # Both ends in one zone: that of the present, in which the sentence is read.
        shown = self.last.astimezone(self.now.tzinfo)
        return f"skin last looked at {shown:%Y-%m-%d %H:%M}"


def skin_looks(checks: Iterable[SkinCheck], *, with_touch: bool, now: datetime) -> SkinLooks:
    """Sum up looks at skin.

    Parameters
    ----------
    checks : iterable of SkinCheck
        Looks in any order.
    with_touch : bool
        Whether a look sees damage gone only with warmth and firmness felt.
    now : datetime
        The present, aware.

    Returns
    -------
    SkinLooks
        The last look that counts, and the sites whose damage no look has seen gone.
    """
    looks = tuple(checks)
    counted = [c for c in looks if c.is_competent and c.finding is not SkinFinding.NOT_SEEN]
    damaged = tuple(standing_damage(looks, with_touch=with_touch, now=now))
    last = max((check.when for check in counted), default=None)
    return SkinLooks(now=now, last=last, damaged=damaged)
