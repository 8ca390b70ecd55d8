"""What looks at skin prove, and what they contradict."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta

from leeward.terms.case import Case
from leeward.terms.regime import Regime, RegimeStanding
from leeward.terms.site import Site
from leeward.terms.skin import Change, SkinCheck, SkinFinding
from leeward.terms.units import SECONDS_PER_HOUR, seconds_from_min
from leeward.tissue import constants

#: Skin may still show on later days what a regime did to it.
SHOWS_WITHIN = timedelta(seconds=constants.LOOKS_SPAN.value)


def needs_touch(case: Case) -> bool:
    """Whether a look counts only with warmth and firmness felt.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    bool
        True on dark skin, and where nobody recorded whether skin is dark.
    """
    return case.person.has_dark_skin is not False


def shows_clear_skin(check: SkinCheck, *, with_touch: bool) -> bool:
    """Whether one look counts towards a clear regime.

    Parameters
    ----------
    check : SkinCheck
        The look.
    with_touch : bool
        Whether warmth and firmness must have been felt: `needs_touch`.

    Returns
    -------
    bool
        True for a competent look at skin that is clear, or whose redness fades and was seen
        early after unloading, with nothing felt that differs.
    """
    if not check.is_competent or check.finding.is_damage or raises_doubt(check):
        return False
    if with_touch and Change.NOT_CHECKED in (check.warmth, check.firmness):
        return False
    if check.finding is SkinFinding.REDNESS_THAT_FADES:
        return check.minutes_after_unloading is not None
    return check.finding is SkinFinding.CLEAR


def raises_doubt(check: SkinCheck) -> bool:
    """Whether a look, by anyone, speaks against clear skin without showing damage.

    Parameters
    ----------
    check : SkinCheck
        The look.

    Returns
    -------
    bool
        True for redness still there half an hour after unloading, and for warmth, firmness
        or pain unlike the skin around.
    """
    if Change.YES in (check.warmth, check.firmness, check.pain):
        return True
    minutes = check.minutes_after_unloading
    lasts = minutes is not None and seconds_from_min(minutes) >= constants.LASTING_REDNESS.value
    return lasts and check.finding is SkinFinding.REDNESS_THAT_FADES


def standing_damage(
    checks: Iterable[SkinCheck], *, with_touch: bool, now: datetime
) -> dict[Site, SkinCheck]:
    """Pick the damage that no later look has seen gone.

    Parameters
    ----------
    checks : iterable of SkinCheck
        Looks at skin, in any order.
    with_touch : bool
        Whether warmth and firmness must have been felt: `needs_touch`.
    now : datetime
        Aware time; a look dated later has seen nothing gone.

    Returns
    -------
    dict of Site to SkinCheck
        The latest look that found it, for every site damaged as far as is known: anyone's
        finding begins it, and only a competent look at clear skin ends it. A site not seen, or
        red that fades, does not.
    """
    damaged: dict[Site, SkinCheck] = {}
    for check in sorted(checks, key=lambda one: one.when):
        if check.finding.is_damage:
            damaged[check.site] = check
        elif (
            check.when <= now
            and check.finding is SkinFinding.CLEAR
            and shows_clear_skin(check, with_touch=with_touch)
        ):
            damaged.pop(check.site, None)
    return damaged


def damaged_sites(case: Case, now: datetime) -> frozenset[Site]:
    """Name the sites of a case whose damage no later look has seen gone.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Aware time.

    Returns
    -------
    frozenset of Site
        Sites damaged as far as is known: `standing_damage`.
    """
    return frozenset(standing_damage(case.skin_checks, with_touch=needs_touch(case), now=now))


def began(regime: Regime) -> date | None:
    """Say from when on skin speaks of a regime.

    Parameters
    ----------
    regime : Regime
        The regime.

    Returns
    -------
    date or None
        Its first day, else that of the first look under it; None when neither is known.
    """
    if regime.first is not None:
        return regime.first
    return None if regime.looks is None else regime.looks.first


def contradicting(regime: Regime, case: Case) -> tuple[SkinCheck, ...]:
    """Find the damage that speaks against a regime.

    Parameters
    ----------
    regime : Regime
        The regime.
    case : Case
        The case.

    Returns
    -------
    tuple of SkinCheck
        Damage found since the regime began, at sites not known to be damaged when it did (an
        old wound that was seen healed excuses no new one); without a first day, all damage.
        Damage that came under a later regime, recorded as failed at that site, is left to that
        one.
    """
    begin = began(regime)
    damage = [check for check in case.skin_checks if check.finding.is_damage]
    if begin is None:
        return tuple(damage)
    earlier = [check for check in case.skin_checks if check.when.date() < begin]
    eve = datetime.combine(begin, time.min, UTC) + timedelta(days=1)
    before = standing_damage(earlier, with_touch=needs_touch(case), now=eve)
    return tuple(
        check
        for check in damage
        if check.when.date() >= begin
        and check.site not in before
        and not _came_later(check, regime, case.regimes)
    )


def _came_later(check: SkinCheck, regime: Regime, regimes: Iterable[Regime]) -> bool:
    found = check.when.date()
    if regime.last is None or found <= regime.last + SHOWS_WITHIN:
        return False
    return any(
        other.standing is RegimeStanding.FAILED
        and check.site in other.failed_sites
        and other.first is not None
        and regime.last <= other.first <= found
        and (other.last is None or found <= other.last + SHOWS_WITHIN)
        for other in regimes
    )


def doubted_sites(regime: Regime, case: Case) -> frozenset[Site]:
    """Name the sites where a look under a regime was not clear, though no damage was found.

    Parameters
    ----------
    regime : Regime
        The regime.
    case : Case
        The case.

    Returns
    -------
    frozenset of Site
        Sites the regime cannot be called clear at.
    """
    return frozenset(
        check.site for check in case.skin_checks if raises_doubt(check) and _under(check, regime)
    )


def counted_looks(
    regime: Regime, case: Case, *, after: date | None, now: datetime
) -> dict[Site, tuple[int, float]]:
    """Count the single looks that show clear skin under a regime.

    Parameters
    ----------
    regime : Regime
        The regime; without a first day no look can be told to belong to it.
    case : Case
        The case.
    after : date or None
        Day of the last event that ends what earlier looks prove; that day does not count.
    now : datetime
        Aware time; later looks do not count.

    Returns
    -------
    dict of Site to (int, float)
        Looks [-] and hours from the first to the last [h], for every site with any.
    """
    touch = needs_touch(case)
    times: dict[Site, set[datetime]] = {}
    for check in case.skin_checks:
        in_time = check.when <= now and (after is None or check.when.date() > after)
        if in_time and _under(check, regime) and shows_clear_skin(check, with_touch=touch):
            times.setdefault(check.site, set()).add(check.when)
    return {
        site: (len(seen), (max(seen) - min(seen)).total_seconds() / SECONDS_PER_HOUR)
        for site, seen in times.items()
    }


def _under(check: SkinCheck, regime: Regime) -> bool:
    day = check.when.date()
    if regime.first is None or day < regime.first:
        return False
    return regime.last is None or day <= regime.last + SHOWS_WITHIN
