"""What stands against a claim that skin was seen clear under a regime."""

from datetime import date, datetime

from leeward.terms.case import Case
from leeward.terms.regime import Event, Looks, Regime
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.units import SECONDS_PER_HOUR
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue import constants
from leeward.tissue.same_bed import Sameness, layers_sameness, mattress_sameness
from leeward.tissue.skin_evidence import (
    SHOWS_WITHIN,
    began,
    contradicting,
    counted_looks,
    needs_touch,
)

_HOURS_NEEDED = constants.LOOKS_SPAN.value / SECONDS_PER_HOUR
_NAMES = {
    "mattress": "The mattress",
    "layers": "What lies between body and mattress",
}


def against_clear(regime: Regime, case: Case, now: datetime) -> tuple[Reason, ...]:
    """Collect all that stands against a regime being clear.

    Parameters
    ----------
    regime : Regime
        A regime claimed to be clear.
    case : Case
        The case.
    now : datetime
        Aware time.

    Returns
    -------
    tuple of Reason
        Empty when the claim holds.
    """
    looks = regime.looks
    evidence = (
        _against_single_looks(regime, case, now)
        if looks is None
        else _against_looks(regime, looks, case, now)
    )
    return (
        *evidence,
        *_against_bed(regime, case),
        *_against_sites(regime),
        *_against_damage(regime, case),
    )


def seen_clear_sites(regime: Regime, case: Case, now: datetime) -> frozenset[Site]:
    """Name the sites that looks speak for.

    Parameters
    ----------
    regime : Regime
        A regime that nothing stands against.
    case : Case
        The case.
    now : datetime
        Aware time.

    Returns
    -------
    frozenset of Site
        All sites where looks were summed up, since those cover every loaded site; else the
        sites with enough single looks.
    """
    if regime.looks is not None:
        return frozenset(Site)
    counted = counted_looks(regime, case, after=_last_event(case), now=now)
    return frozenset(site for site, found in counted.items() if _is_enough(*found))


def _is_enough(count: int, hours: float) -> bool:
    return count >= constants.LOOKS_NEEDED.value and hours >= _HOURS_NEEDED


def _last_event(case: Case) -> date | None:
    return max((event.when for event in case.events), default=None)


def _against_looks(regime: Regime, looks: Looks, case: Case, now: datetime) -> tuple[Reason, ...]:
    hours = (looks.last - looks.first).days * 24.0
    found = []
    if not _is_enough(looks.count, hours):
        found.append(_too_few(regime, looks.count, hours))
    if needs_touch(case) and not looks.included_warmth_and_firmness:
        found.append(_without_touch(regime, case))
    if looks.last > now.date():
        found.append(_dated_later(regime, looks.last))
    if _outside(regime, looks):
        found.append(
            Reason(
                "looks-outside-regime",
                f"The looks from {looks.first} to {looks.last} do not lie within "
                f"{regime.name!r}: nobody can say which of them saw skin under it.",
            )
        )
    found.extend(_ended(regime, event) for event in case.events if event.when >= looks.first)
    return tuple(found)


def _outside(regime: Regime, looks: Looks) -> bool:
    too_early = regime.first is not None and looks.first < regime.first
    return too_early or (regime.last is not None and looks.last > regime.last + SHOWS_WITHIN)


def _against_single_looks(regime: Regime, case: Case, now: datetime) -> tuple[Reason, ...]:
    if regime.first is None:
        return (
            Reason(
                "regime-start-missing",
                f"Nobody recorded when {regime.name!r} began: no look at skin can be told to "
                "belong to it.",
            ),
        )
    counted = counted_looks(regime, case, after=_last_event(case), now=now)
    if any(site in RESPONSIVE_SITES and _is_enough(*counted[site]) for site in counted):
        return ()
    count, hours = max(counted.values(), default=(0, 0.0))
    ended = [_ended(regime, event) for event in case.events if event.when >= regime.first]
    touch = [_without_touch(regime, case)] if needs_touch(case) else []
    return (_too_few(regime, count, hours), *touch, *ended)


def _against_bed(regime: Regime, case: Case) -> tuple[Reason, ...]:
    compared = (
        ("mattress", mattress_sameness(regime.mattress, case.bed.mattress)),
        ("layers", layers_sameness(regime.layers, case.bed.layers)),
    )
    differ = (
        Reason(
            f"{what}-differ",
            f"{_NAMES[what]} on the bed now is not as it was under {regime.name!r}: what was seen "
            "then does not speak for this bed.",
        )
        for what, sameness in compared
        if sameness is Sameness.DIFFERENT
    )
    unknown = (
        Reason(
            f"{what}-unknown",
            f"{_NAMES[what]} was written down for {regime.name!r} or for the bed now, not fully "
            "for both: nobody can say that it is the same. Is it?",
        )
        for what, sameness in compared
        if sameness is Sameness.CANNOT_TELL
    )
    undescribed = (
        Reason(
            "mattress-not-described",
            f"Nobody described the mattress, now or under {regime.name!r}: what was seen on a "
            "mattress nobody can name does not speak for this bed.",
        )
        for what, sameness in compared
        if what == "mattress" and sameness is Sameness.NOT_DESCRIBED
    )
    return (*differ, *unknown, *undescribed)


def _against_sites(regime: Regime) -> tuple[Reason, ...]:
    if not regime.failed_sites:
        return ()
    sites = ", ".join(site.value for site in regime.failed_sites)
    return (
        Reason(
            "clear-and-failed",
            f"{regime.name!r} is called clear, and yet skin was not clear at: {sites}.",
        ),
    )


def _against_damage(regime: Regime, case: Case) -> tuple[Reason, ...]:
    """Damage at a site that turning relieves speaks against the turns themselves."""
    since = began(regime)
    return tuple(
        Reason(
            "damage-under-regime",
            f"{check.finding.value.capitalize()} at the {check.site.value} on "
            f"{check.when.date()}, after {regime.name!r} began"
            + (f" on {since}." if since is not None else " on a day nobody recorded."),
        )
        for check in contradicting(regime, case)
        if check.site in RESPONSIVE_SITES
    )


def _too_few(regime: Regime, count: int, hours: float) -> Reason:
    return Reason(
        "looks-too-few",
        f"Skin under {regime.name!r} was not seen often enough or not for long enough to call it "
        "clear.",
        (
            Quantity("competent looks", float(count), "-"),
            Quantity("looks needed", constants.LOOKS_NEEDED.value, "-"),
            Quantity("from first to last", round(hours, 1), "h"),
            Quantity("time needed", _HOURS_NEEDED, "h"),
        ),
    )


def _without_touch(regime: Regime, case: Case) -> Reason:
    why = "the skin is dark" if case.person.has_dark_skin else "nobody recorded the skin's tone"
    return Reason(
        "looks-without-touch",
        f"Looks under {regime.name!r} count only with warmth and firmness felt, since {why}.",
    )


def _dated_later(regime: Regime, day: date) -> Reason:
    return Reason(
        "looks-in-the-future", f"A look under {regime.name!r} is dated {day}, after today."
    )


def _ended(regime: Regime, event: Event) -> Reason:
    return Reason(
        "regime-expired",
        f"{event.kind.value.capitalize()} on {event.when}: what was seen under {regime.name!r} "
        "up to that day no longer speaks for the present.",
    )
