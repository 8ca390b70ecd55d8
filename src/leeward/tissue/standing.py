"""Which regime programmes are compared with, and why: decided from evidence, not from claims."""

from dataclasses import dataclass, replace
from datetime import datetime

from leeward.terms.case import Case
from leeward.terms.regime import Regime, RegimeStanding
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue.clear_claim import against_clear, seen_clear_sites
from leeward.tissue.same_bed import Sameness, layers_sameness, mattress_sameness
from leeward.tissue.skin_evidence import (
    contradicting,
    damaged_sites,
    doubted_sites,
    needs_touch,
)


@dataclass(frozen=True, slots=True)
class ComparedRegime:
    """The regime programmes are compared with.

    Parameters
    ----------
    regime : Regime
        The regime.
    standing : RegimeStanding
        CLEAR or ASSUMED, as found.
    seen_sites : frozenset of Site
        Sites its evidence speaks for; at any other the regime is untried.
    not_clear_sites : frozenset of Site
        Sites damaged now, or not clear in some look under it: nothing can be told of them,
        and the regime is a failed one there.
    """

    regime: Regime
    standing: RegimeStanding
    seen_sites: frozenset[Site]
    not_clear_sites: frozenset[Site]


@dataclass(frozen=True, slots=True)
class FailedRegime:
    """A regime that skin was not clear under.

    Parameters
    ----------
    regime : Regime
        The regime.
    sites : frozenset of Site
        Where.
    """

    regime: Regime
    sites: frozenset[Site]


@dataclass(frozen=True, slots=True)
class StandingDecision:
    """What programmes can be compared with.

    Parameters
    ----------
    compared : ComparedRegime or None
        None: planning cannot tell, and `questions` says what would settle it.
    failed : tuple of FailedRegime
        Regimes that limit every programme.
    reasons : tuple of Reason
        Why this regime, and why not the others, with numbers and dates.
    questions : tuple of Reason
        What somebody should answer.
    """

    compared: ComparedRegime | None
    failed: tuple[FailedRegime, ...]
    reasons: tuple[Reason, ...]
    questions: tuple[Reason, ...]


def decide_standing(case: Case, now: datetime) -> StandingDecision:
    """Decide which regime programmes of a case are compared with.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Aware time of planning.

    Returns
    -------
    StandingDecision
        The latest regime seen clear, else the first one properly assumed, else none.
    """
    reasons: list[Reason] = []
    clear: list[ComparedRegime] = []
    failed: list[FailedRegime] = []
    for regime in case.regimes:
        failed.extend(_failures(regime, case, reasons))
        if regime.standing is RegimeStanding.CLEAR:
            against = against_clear(regime, case, now)
            reasons.extend(against)
            if not against:
                clear.append(_as_clear(regime, case, now))
    assumed = [_as_assumed(regime, case, now) for regime in case.regimes if _is_assumed(regime)]
    compared = _latest(clear) if clear else (assumed[0] if assumed else None)
    if compared is not None:
        reasons.insert(0, _chosen(compared, now))
        reasons.extend(_undescribed(compared.regime, case))
        if compared.not_clear_sites:
            failed.append(FailedRegime(compared.regime, compared.not_clear_sites))
            reasons.append(_not_clear(compared))
    return StandingDecision(
        compared, _distinct(failed), tuple(reasons), _questions(case, compared, tuple(reasons))
    )


def _as_clear(regime: Regime, case: Case, now: datetime) -> ComparedRegime:
    not_clear = damaged_sites(case, now) | doubted_sites(regime, case)
    seen = seen_clear_sites(regime, case, now) - not_clear
    return ComparedRegime(regime, RegimeStanding.CLEAR, seen, not_clear)


def _as_assumed(regime: Regime, case: Case, now: datetime) -> ComparedRegime:
    damaged = damaged_sites(case, now)
    return ComparedRegime(regime, RegimeStanding.ASSUMED, frozenset(Site) - damaged, damaged)


def _is_assumed(regime: Regime) -> bool:
    named = regime.assumed_by.strip() and regime.source.strip()
    return regime.standing is RegimeStanding.ASSUMED and bool(named)


def _latest(clear: list[ComparedRegime]) -> ComparedRegime:
    """Of several the one whose skin was looked at last: it speaks best for the present."""

    def last_day(one: ComparedRegime) -> tuple[bool, str]:
        day = one.regime.last or (one.regime.looks.last if one.regime.looks else None)
        return (one.regime.last is None, "" if day is None else day.isoformat())

    return max(clear, key=last_day)


def _failures(regime: Regime, case: Case, reasons: list[Reason]) -> list[FailedRegime]:
    """Where a regime failed: as recorded, and as later looks at skin say."""
    sites = frozenset(regime.failed_sites)
    if regime.standing is RegimeStanding.FAILED and not sites:
        sites = frozenset(RESPONSIVE_SITES)
        reasons.append(
            Reason(
                "failed-sites-not-named",
                f"Skin was not clear under {regime.name!r}, and nobody named where: it limits "
                "every site that turning relieves.",
            )
        )
    if regime.standing is RegimeStanding.CLEAR:
        sites |= {check.site for check in contradicting(regime, case)}
    return [FailedRegime(regime, sites)] if sites else []


def _distinct(failed: list[FailedRegime]) -> tuple[FailedRegime, ...]:
    merged: list[FailedRegime] = []
    for one in failed:
        place = next((n for n, old in enumerate(merged) if old.regime is one.regime), None)
        if place is None:
            merged.append(one)
        else:
            merged[place] = replace(one, sites=merged[place].sites | one.sites)
    return tuple(merged)


def _chosen(compared: ComparedRegime, now: datetime) -> Reason:
    regime, looks = compared.regime, compared.regime.looks
    if compared.standing is RegimeStanding.ASSUMED:
        return Reason(
            "regime-assumed",
            f"Programmes are compared with {regime.name!r}, which {regime.assumed_by} chose to "
            f"assume ({regime.source}): nobody has seen this person's skin clear under it.",
        )
    if looks is None:
        return Reason(
            "regime-clear",
            f"Programmes are compared with {regime.name!r}, under which single looks saw skin "
            "clear.",
            (Quantity("sites seen clear", float(len(compared.seen_sites)), "-"),),
        )
    return Reason(
        "regime-clear",
        f"Programmes are compared with {regime.name!r}, under which {looks.by} saw skin clear "
        f"from {looks.first} to {looks.last}.",
        (
            Quantity("competent looks", float(looks.count), "-"),
            Quantity("days since the last", float((now.date() - looks.last).days), "d"),
        ),
    )


def _undescribed(regime: Regime, case: Case) -> tuple[Reason, ...]:
    sameness = {
        "mattress": mattress_sameness(regime.mattress, case.bed.mattress),
        "layers between body and mattress": layers_sameness(regime.layers, case.bed.layers),
    }
    return tuple(
        Reason(
            "bed-not-described",
            f"Nobody described the {what}, now or under {regime.name!r}: this is taken as "
            "unchanged, which only holds if nothing was exchanged, and every band is wide.",
        )
        for what, found in sameness.items()
        if found is Sameness.NOT_DESCRIBED
    )


def _not_clear(compared: ComparedRegime) -> Reason:
    sites = ", ".join(sorted(site.value for site in compared.not_clear_sites))
    return Reason(
        "sites-not-clear",
        f"Skin is not clear at: {sites}. The regime compared proves nothing there, and every "
        "programme must load these sites less than it did.",
    )


def _questions(
    case: Case, compared: ComparedRegime | None, reasons: tuple[Reason, ...]
) -> tuple[Reason, ...]:
    asked = [_ASK_REGIME] if compared is None else []
    if _has_code(reasons, "mattress-not-described"):
        asked.append(_ASK_MATTRESS)
    if any(_lacks_assumer(regime) for regime in case.regimes):
        asked.append(_ASK_ASSUMER)
    if compared is None and case.policy is not None and not _has_assumed(case.regimes):
        asked.append(
            Reason(
                "policy-not-assumed",
                f"The policy {case.policy.name!r} is in force, but nobody has chosen to assume "
                "that this person's skin takes it: who does, and on what record?",
            )
        )
    return (*asked, *_tone_asked(case, reasons))


def _tone_asked(case: Case, reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """The skin's tone, where looks without touch are what stands against a regime."""
    is_open = case.person.has_dark_skin is None and needs_touch(case)
    if not (is_open and _has_code(reasons, "looks-without-touch")):
        return ()
    return (
        Reason(
            "skin-tone-not-recorded",
            "Is the skin dark? Until that is recorded, a look counts only with warmth and "
            "firmness felt.",
        ),
    )


def _has_code(reasons: tuple[Reason, ...], code: str) -> bool:
    return any(reason.code == code for reason in reasons)


def _has_assumed(regimes: tuple[Regime, ...]) -> bool:
    return any(regime.standing is RegimeStanding.ASSUMED for regime in regimes)


def _lacks_assumer(regime: Regime) -> bool:
    return regime.standing is RegimeStanding.ASSUMED and not _is_assumed(regime)


_ASK_REGIME = Reason(
    "no-regime",
    "How has this person lain so far, and was their skin seen clear of lasting redness under it "
    "by at least 3 competent looks over 72 h? Else: which local policy does a named practitioner "
    "choose to assume?",
)

_ASK_MATTRESS = Reason(
    "which-mattress",
    "Which mattress lies on the bed, and did the person lie on that one when their skin was seen "
    "clear? Write down its kind, and its thickness and hardness where they are known.",
)

_ASK_ASSUMER = Reason(
    "assumed-by-nobody",
    "A policy is to be assumed, but who chose it, or the policy it comes from, is not written "
    "down: name both.",
)
