"""Guards: what every responsive site is owed whatever its index says."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.limits import Limit, strictest_greatest
from leeward.terms.regime import Policy, Regime
from leeward.terms.site import RESPONSIVE_SITES, Side, Site
from leeward.terms.units import min_from_seconds
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue import constants
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw
from leeward.tissue.regime_day import longest_stay, regime_series
from leeward.tissue.runs import longest_loaded, longest_relief

#: Slack for sums of durations that should be equal. [s]
_ROUNDING = 1e-6

#: Sites behind the body that only a turn to the other side relieves.
_BEHIND = ("scapula", "buttock")


@dataclass(frozen=True, slots=True)
class Reach:
    """Which sites the guards reach, and which a barred side leaves loaded.

    Parameters
    ----------
    guarded : tuple of Site
        Sites every guard applies to.
    stay_loaded : tuple of Site
        Sites that only the barred turn would relieve: to be said, and relieved by hand.
    """

    guarded: tuple[Site, ...]
    stay_loaded: tuple[Site, ...]


def guard_reach(barred: Collection[Side]) -> Reach:
    """Say which responsive sites turning can still relieve.

    Parameters
    ----------
    barred : collection of Side
        Sides the person may not be turned to at all.

    Returns
    -------
    Reach
        Without a barred side every responsive site is guarded. Turning to a side raises
        the other: bar it, and the scapula and buttock of that other side stay loaded.
    """
    lost = {Site(f"{side.other.value} {part}") for side in barred for part in _BEHIND}
    return Reach(
        guarded=tuple(site for site in RESPONSIVE_SITES if site not in lost),
        stay_loaded=tuple(site for site in RESPONSIVE_SITES if site in lost),
    )


def relief_needed(law: AllowanceLaw = STANDARD_LAW) -> float:
    """Shortest unbroken relief that counts, the lag included.

    Parameters
    ----------
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    float
        20 min beyond the lag. [s]
    """
    return constants.RELIEF_TIME.value + law.lag


def lacks_relief(
    durations: ArrayLike, ratio: ArrayLike, *, repeats: bool, law: AllowanceLaw = STANDARD_LAW
) -> NDArray[np.bool_]:
    """Whether a cycle or window fails to relieve a site for long enough even once.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; an unknown load is no relief. [-]
    repeats : bool
        True for a cycle that follows itself, False for a window that does not.
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    ndarray of bool, shape (..., s)
        True where the guard is broken.
    """
    found = longest_relief(durations, ratio, repeats=repeats)
    return np.asarray(found < relief_needed(law) - _ROUNDING)


def is_loaded_too_long(
    durations: ArrayLike, ratio: ArrayLike, allowed: ArrayLike, exempt: ArrayLike | None = None
) -> NDArray[np.bool_]:
    """Whether a site is loaded without a break for longer than under the regime compared.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment of the repeating day; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; an unknown load counts as loaded. [-]
    allowed : array_like, shape (s,) or (..., s)
        Longest time the regime is known to have loaded each site:
        `leeward.tissue.runs.longest_seen_loaded`. [s]
    exempt : array_like of bool, shape (n,) or (..., n), optional
        Segments of prescribed postures.

    Returns
    -------
    ndarray of bool, shape (..., s)
        True where the guard is broken; also where the time allowed is unknown.
    """
    found = longest_loaded(durations, ratio, exempt)
    return np.asarray(~(found <= np.asarray(allowed, dtype=float) + _ROUNDING))


def stay_limit(regime: Regime, policy: Policy | None) -> Limit:
    """Longest stay that may be planned.

    Parameters
    ----------
    regime : Regime
        The regime compared.
    policy : Policy or None
        Local policy in force.

    Returns
    -------
    Limit
        The longest stay of the regime or the policy's interval, whichever is shorter. [s]
    """
    series = regime_series(regime)
    seen = longest_stay(series.durations, series.postures)
    limits = [Limit(seen, "s", f"longest stay of the regime {regime.name!r}")]
    if policy is not None:
        limits.append(Limit(policy.interval, "s", f"interval of the policy {policy.name!r}"))
    return strictest_greatest(limits)


def relief_reasons(
    where: str,
    durations: ArrayLike,
    ratio: ArrayLike,
    sites: Sequence[Site],
    *,
    repeats: bool,
    guarded: Collection[Site] = RESPONSIVE_SITES,
) -> tuple[Reason, ...]:
    """Say which sites one cycle or window does not relieve for long enough.

    Parameters
    ----------
    where : str
        Cycle or window in words, for the sentence.
    durations : array_like, shape (n,)
        Length of each segment. [s]
    ratio : array_like, shape (n, s)
        Load ratio of each segment at each site. [-]
    sites : sequence of Site, length s
        The sites, in order of the last axis.
    repeats : bool
        True for a cycle that follows itself, False for a window that does not.
    guarded : collection of Site, optional
        Sites the guards reach: `guard_reach`.

    Returns
    -------
    tuple of Reason
        One for each guarded site that lacks relief.
    """
    needed = relief_needed()
    found = longest_relief(durations, ratio, repeats=repeats)
    return tuple(
        Reason(
            "relief-too-short",
            f"In {where} the {site.value} is not relieved for {min_from_seconds(needed):g} min "
            "together even once.",
            (_minutes("longest relief", time), _minutes("relief needed", needed)),
        )
        for site, time in zip(sites, found.tolist(), strict=True)
        if site in guarded and time < needed - _ROUNDING
    )


def loaded_reasons(
    durations: ArrayLike,
    ratio: ArrayLike,
    allowed: ArrayLike,
    sites: Sequence[Site],
    *,
    exempt: ArrayLike | None = None,
    guarded: Collection[Site] = RESPONSIVE_SITES,
) -> tuple[Reason, ...]:
    """Say which sites a day loads without a break for longer than the regime compared.

    Parameters
    ----------
    durations : array_like, shape (n,)
        Length of each segment of the repeating day. [s]
    ratio : array_like, shape (n, s)
        Load ratio of each segment at each site. [-]
    allowed : array_like, shape (s,)
        Longest time the regime is known to have loaded each site. [s]
    sites : sequence of Site, length s
        The sites, in order of the last axis.
    exempt : array_like of bool, shape (n,), optional
        Segments of prescribed postures.
    guarded : collection of Site, optional
        Sites the guards reach: `guard_reach`.

    Returns
    -------
    tuple of Reason
        One for each guarded site loaded too long.
    """
    found = longest_loaded(durations, ratio, exempt)
    seen = np.broadcast_to(np.asarray(allowed, dtype=float), found.shape)
    broken = is_loaded_too_long(durations, ratio, seen, exempt)
    return tuple(
        Reason(
            "loaded-too-long",
            f"The {site.value} is loaded without a break for longer than under the regime "
            "compared.",
            (_minutes("longest load", time), _minutes("under the regime", most)),
        )
        for site, time, most, is_broken in zip(
            sites, found.tolist(), seen.tolist(), broken.tolist(), strict=True
        )
        if site in guarded and is_broken
    )


def stay_reasons(longest: float, limit: Limit) -> tuple[Reason, ...]:
    """Say whether a stay is longer than may be planned.

    Parameters
    ----------
    longest : float
        Longest stay of a programme. [s]
    limit : Limit
        From `stay_limit`. [s]

    Returns
    -------
    tuple of Reason
        Empty, or the one finding.
    """
    if longest <= limit.value + _ROUNDING:
        return ()
    return (
        Reason(
            "stay-too-long",
            f"A stay is longer than the {limit.source} allows.",
            (_minutes("longest stay", longest), _minutes("allowed", limit.value)),
        ),
    )


def _minutes(name: str, duration: float) -> Quantity:
    return Quantity(name, round(min_from_seconds(duration), 1), "min")
