"""Whether the regime compared may be compared with at all, and where its skin was not clear."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from leeward.programme.recheck_day import Examined, regime_day
from leeward.programme.recheck_finding import finding, number_of
from leeward.terms.bed import MattressKind
from leeward.terms.case import Case
from leeward.terms.regime import Looks, Regime, RegimeStanding
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import Change, SkinCheck, SkinFinding
from leeward.terms.sourced import Sourced
from leeward.terms.verdict import Reason

_OURS = "convention of this project: deep injury can show two to three days late"
_NOBODY = "not applicable"

LOOKS_NEEDED = Sourced(3.0, "-", _OURS, _NOBODY)
LOOKS_SPAN = Sourced(72.0, "h", _OURS, _NOBODY)
REDNESS_LASTS = Sourced(
    30.0,
    "min",
    "bedside rule of thumb in nursing texts, from memory",
    "people in nursing care",
    from_memory=True,
)

#: Skin may still show this long afterwards what a regime did to it.
_SHOWS_WITHIN = timedelta(hours=LOOKS_SPAN.value)


def not_comparable(seen: Examined) -> Iterator[Reason]:
    """Find what forbids comparing with the regime at hand.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each.
    """
    if seen.compared is None:
        yield finding("no-regime", "There is no regime to compare the programme with.")
        return
    regime = seen.compared.regime
    if regime not in seen.case.regimes:
        yield finding("regime-not-in-case", f"The case does not hold the regime {regime.name}.")
    if not regime_day(regime):
        yield finding("regime-not-countable", f"The stays of {regime.name} cannot be counted.")
    if regime.standing is RegimeStanding.FAILED:
        yield finding("regime-failed", f"The skin was not clear under {regime.name}.")
    if regime.standing is RegimeStanding.ASSUMED:
        yield from _assumed_by_nobody(regime)
    if regime.standing is RegimeStanding.CLEAR:
        yield from _not_seen_clear(seen, regime)


def failed_not_counted(seen: Examined) -> Iterator[Reason]:
    """Find failed regimes whose loads were left out, so that they could limit nothing.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each.
    """
    counted = [loads.regime for loads in seen.failed]
    for regime in seen.case.regimes:
        if regime.standing is RegimeStanding.FAILED and regime not in counted:
            yield finding(
                "failed-regime-not-counted",
                f"The skin was not clear under {regime.name}, and its loads were left out.",
            )


def failed_sites(seen: Examined, regime: Regime) -> frozenset[Site]:
    """Name the sites at which skin was not clear under a regime.

    Parameters
    ----------
    seen : Examined
        What is looked at.
    regime : Regime
        The regime.

    Returns
    -------
    frozenset of Site
        As recorded, and for a regime once called clear those where damage began under it;
        every responsive site where a regime failed and nobody recorded any.
    """
    if regime.standing is RegimeStanding.FAILED:
        return _recorded_as_failed(regime)
    if regime.standing is RegimeStanding.CLEAR:
        began = (check.site for check in _damage_under(seen.case, regime))
        return frozenset(regime.failed_sites).union(began)
    return frozenset(regime.failed_sites)


def _recorded_as_failed(regime: Regime) -> frozenset[Site]:
    return frozenset(regime.failed_sites or RESPONSIVE_SITES)


def not_clear_sites(seen: Examined) -> frozenset[Site]:
    """Name the sites at which the regime compared proves nothing: not clear now, or under it.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Returns
    -------
    frozenset of Site
        Sites damaged as far as is known, and those where a look under a regime called clear
        raised doubt.
    """
    regime = None if seen.compared is None else seen.compared.regime
    checks = sorted(seen.case.skin_checks, key=lambda one: one.when)
    if regime is None or regime.standing is not RegimeStanding.CLEAR:
        return _damaged(seen.case, checks, seen.now)
    doubted = (check.site for check in checks if _doubts(check) and _is_under(check, regime))
    return _damaged(seen.case, checks, seen.now).union(doubted)


def _damaged(case: Case, checks: list[SkinCheck], until: datetime) -> frozenset[Site]:
    by_touch = case.person.has_dark_skin is not False
    sites: set[Site] = set()
    for check in checks:
        if check.finding.is_damage:
            sites.add(check.site)
        elif (
            check.finding is SkinFinding.CLEAR
            and check.when <= until
            and _is_clear(check, by_touch=by_touch)
        ):
            sites.discard(check.site)
    return frozenset(sites)


def is_seen_clear_at(seen: Examined, site: Site) -> bool:
    """Whether looks at one site stand behind the regime compared.

    Parameters
    ----------
    seen : Examined
        What is looked at.
    site : Site
        The site.

    Returns
    -------
    bool
        True for an assumed regime, for looks summed up over every loaded site, and where
        enough single looks at this site are recorded; never where skin is not clear.
    """
    if seen.compared is None or site in not_clear_sites(seen):
        return False
    regime = seen.compared.regime
    if regime.standing is not RegimeStanding.CLEAR or regime.looks is not None:
        return True
    return _are_enough(_clear_looks(seen, regime, site))


def _assumed_by_nobody(regime: Regime) -> Iterator[Reason]:
    if not (regime.assumed_by.strip() and regime.source.strip()):
        yield finding(
            "assumed-by-nobody",
            f"Who chose to assume {regime.name}, or on what record, is not written down.",
        )


def _not_seen_clear(seen: Examined, regime: Regime) -> Iterator[Reason]:
    if regime.failed_sites:
        yield finding("regime-failed", f"The skin was not clear everywhere under {regime.name}.")
    if regime.looks is not None:
        yield from _looks_prove_little(seen, regime, regime.looks)
    elif not any(_are_enough(_clear_looks(seen, regime, site)) for site in RESPONSIVE_SITES):
        yield finding(
            "not-seen-clear",
            f"At no site do enough competent looks over 72 h stand behind {regime.name}.",
        )
    yield from _other_bed(seen.case, regime)
    yield from _damaged_under(seen, regime)


def _looks_prove_little(seen: Examined, regime: Regime, looks: Looks) -> Iterator[Reason]:
    hours = (looks.last - looks.first).days * 24.0
    if not (looks.count >= LOOKS_NEEDED.value and hours >= LOOKS_SPAN.value):
        yield finding(
            "not-seen-clear",
            f"The looks under {regime.name} are too few or too close together.",
            number_of("looks", looks.count),
            number_of("hours between first and last", hours),
        )
    if seen.case.person.has_dark_skin is not False and not looks.included_warmth_and_firmness:
        yield finding(
            "colour-alone",
            "On dark skin, or where the skin tone is not recorded, looks without warmth and "
            "firmness prove nothing.",
        )
    if looks.last > seen.now.date():
        yield finding("look-in-the-future", f"A look under {regime.name} lies in the future.")
    yield from _looks_elsewhere(seen.case, regime, looks)


def _looks_elsewhere(case: Case, regime: Regime, looks: Looks) -> Iterator[Reason]:
    """Looks before the regime, long after it, or from before something that ended it."""
    too_late = regime.last is not None and looks.last > regime.last + _SHOWS_WITHIN
    if too_late or (regime.first is not None and looks.first < regime.first):
        yield finding("looks-outside-regime", f"Not every look was made under {regime.name}.")
    for event in case.events:
        if event.when >= looks.first:
            yield finding(
                "regime-ended",
                f"{regime.name} speaks no longer for the present: {event.kind} on "
                f"{event.when.isoformat()}, after the skin was first seen clear.",
            )


def _clear_looks(seen: Examined, regime: Regime, site: Site) -> list[SkinCheck]:
    """Single looks that count, made after the last event that ends what earlier ones prove."""
    ended = max((event.when for event in seen.case.events), default=date.min)
    by_touch = seen.case.person.has_dark_skin is not False
    return [
        check
        for check in seen.case.skin_checks
        if check.site is site
        and ended < check.when.date()
        and check.when <= seen.now
        and _is_under(check, regime)
        and _is_clear(check, by_touch=by_touch)
    ]


def _is_clear(check: SkinCheck, *, by_touch: bool) -> bool:
    if not check.is_competent or _doubts(check):
        return False
    if by_touch and Change.NOT_CHECKED in (check.warmth, check.firmness):
        return False
    fades = check.finding is SkinFinding.REDNESS_THAT_FADES
    return check.finding is SkinFinding.CLEAR or (
        fades and check.minutes_after_unloading is not None
    )


def _doubts(check: SkinCheck) -> bool:
    """Something felt that differs, or redness still there long after the load was off."""
    if Change.YES in (check.warmth, check.firmness, check.pain):
        return True
    minutes = check.minutes_after_unloading
    fades = check.finding is SkinFinding.REDNESS_THAT_FADES
    return fades and minutes is not None and not minutes < REDNESS_LASTS.value


def _is_under(check: SkinCheck, regime: Regime) -> bool:
    day = check.when.date()
    if regime.first is None or day < regime.first:
        return False
    return regime.last is None or day <= regime.last + _SHOWS_WITHIN


def _are_enough(checks: list[SkinCheck]) -> bool:
    times = sorted({check.when for check in checks})
    if len(times) < LOOKS_NEEDED.value:
        return False
    return times[-1] - times[0] >= timedelta(hours=LOOKS_SPAN.value)


def _other_bed(case: Case, regime: Regime) -> Iterator[Reason]:
    is_named = regime.mattress.kind is not MattressKind.UNDESCRIBED
    if regime.mattress != case.bed.mattress or not is_named:
        yield finding(
            "other-mattress",
            f"The mattress on the bed now is not known to be the one under {regime.name}.",
        )
    then, now = regime.layers, case.bed.layers
    if (then is None) != (now is None) or sorted(map(repr, then or ())) != sorted(
        map(repr, now or ())
    ):
        yield finding(
            "other-layers",
            f"What lies between body and mattress is not known to be as it was under "
            f"{regime.name}.",
        )


def _damaged_under(seen: Examined, regime: Regime) -> Iterator[Reason]:
    """Damage at a site that turns should have kept clear speaks against the turns."""
    for check in _damage_under(seen.case, regime):
        if check.site in RESPONSIVE_SITES:
            yield finding(
                "damage-seen",
                f"{check.finding.value.capitalize()} was seen over the {check.site} on "
                f"{check.when.date().isoformat()}: {regime.name} was not clear.",
            )


def _damage_under(case: Case, regime: Regime) -> list[SkinCheck]:
    """Damage that began under a regime, as far as anyone recorded when that was."""
    since = regime.first or (regime.looks.first if regime.looks is not None else date.min)
    damage = [check for check in case.skin_checks if check.finding.is_damage]
    earlier = [check for check in case.skin_checks if check.when.date() < since]
    earlier.sort(key=lambda one: one.when)
    before = _damaged(case, earlier, earlier[-1].when) if earlier else frozenset()
    return [
        check
        for check in damage
        if check.site not in before
        and check.when.date() >= since
        and not _belongs_to_failed(check, case, regime)
    ]


def _belongs_to_failed(check: SkinCheck, case: Case, regime: Regime) -> bool:
    """Whether a later regime, recorded as failed at that site, answers for the damage."""
    if regime.last is None or check.when.date() <= regime.last + _SHOWS_WITHIN:
        return False
    return any(
        other.standing is RegimeStanding.FAILED
        and check.site in _recorded_as_failed(other)
        and other.first is not None
        and regime.last <= other.first <= check.when.date()
        for other in case.regimes
    )
