"""When the skin was last looked at: said with every verdict about the surface."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from leeward.review.conventions import LONGEST_WITHOUT_LOOK
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import Change, SkinCheck, SkinFinding
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
    whole : datetime or None
        Oldest of the last looks at the sites that turning relieves: since then every one of
        them has been seen; None where one never was.
    damaged : tuple of Site
        Sites where damage was found and no look since has seen it gone.
    """

    now: datetime
    last: datetime | None = None
    whole: datetime | None = None
    damaged: tuple[Site, ...] = ()

    @property
    def is_overdue(self) -> bool:
        """Whether a look at some site is due; also when none is recorded, or dated later."""
        if self.whole is None:
            return True
        return not 0.0 <= (self.now - self.whole).total_seconds() <= LONGEST_WITHOUT_LOOK.value

    @property
    def sentence(self) -> str:
        """The part of every verdict that speaks of the skin."""
        if self.last is None:
            return "no look at the skin is recorded"
        # Both ends in one zone: that of the present, in which the sentence is read.
        shown = self.last.astimezone(self.now.tzinfo)
        words = f"skin last looked at {shown:%Y-%m-%d %H:%M}"
        return f"{words}, not at every site within a day" if self.is_overdue else words


def skin_looks(checks: Iterable[SkinCheck], *, with_touch: bool, now: datetime) -> SkinLooks:
    """Sum up looks at skin.

    Parameters
    ----------
    checks : iterable of SkinCheck
        Looks in any order.
    with_touch : bool
        Whether a look counts, and sees damage gone, only with warmth and firmness felt.
    now : datetime
        The present, aware.

    Returns
    -------
    SkinLooks
        The last look that counts, and the sites whose damage no look has seen gone.
    """
    looks = tuple(checks)
    counted = [check for check in looks if _counts(check, with_touch)]
    damaged = tuple(standing_damage(looks, with_touch=with_touch, now=now))
    last = max((check.when for check in counted), default=None)
    latest = {check.site: check.when for check in sorted(counted, key=lambda one: one.when)}
    has_all = all(site in latest for site in RESPONSIVE_SITES)
    whole = min(latest[site] for site in RESPONSIVE_SITES) if has_all else None
    return SkinLooks(now=now, last=last, whole=whole, damaged=damaged)


def _counts(check: SkinCheck, with_touch: bool) -> bool:
    is_felt = Change.NOT_CHECKED not in (check.warmth, check.firmness)
    is_seen = check.is_competent and check.finding is not SkinFinding.NOT_SEEN
    return is_seen and (is_felt or not with_touch)
