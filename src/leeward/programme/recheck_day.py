"""The day as the recheck unrolls it, and which part of it somebody prescribed.

Whether a posture is prescribed is read from the case, never from the programme's own word: a
programme could else call a long stay prescribed and so escape the guards.
"""

import math
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from leeward.programme.programme import Programme, Window
from leeward.terms.body import Body, Limb
from leeward.terms.case import Case
from leeward.terms.day import PrescribedWindow
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Regime, Stay
from leeward.terms.site import Site
from leeward.terms.units import SECONDS_PER_DAY, SECONDS_PER_MINUTE
from leeward.tissue.load_ratios import LoadRatios

#: A stay shorter than this is none: it would be over before the surface has moved. [s]
SHORTEST_STAY = SECONDS_PER_MINUTE


@dataclass(frozen=True, slots=True)
class RegimeLoads:
    """A regime with the load ratios of its own postures.

    Parameters
    ----------
    regime : Regime
        How the person has lain.
    ratios : LoadRatios
        At every posture of its cycles, against the same reference as the programme's.
    """

    regime: Regime
    ratios: LoadRatios


@dataclass(frozen=True, slots=True)
class UnrolledStay:
    """One stay of the unrolled day.

    Parameters
    ----------
    window : Window
        The window it belongs to.
    posture : Posture
        The posture.
    duration : float
        How long, after cutting at the end of the window. [s]
    is_exempt : bool
        Whether somebody prescribed the posture, so that the guards do not apply.
    """

    window: Window
    posture: Posture
    duration: float
    is_exempt: bool


@dataclass(frozen=True, slots=True)
class Examined:
    """What every rule of the recheck looks at.

    Parameters
    ----------
    programme : Programme
        The programme.
    case : Case
        The case it was made for.
    ratios : LoadRatios
        At every posture of the programme.
    compared : RegimeLoads or None
        The regime compared with.
    failed : tuple of RegimeLoads
        Regimes under which skin was not clear.
    now : datetime
        When; aware.
    stays : tuple of UnrolledStay
        The day, unrolled.
    given : Case
        The case as given: regimes run on a surface were run on its unit, though people make
        every turn of the programme and `case` then holds no unit.
    """

    programme: Programme
    case: Case
    ratios: LoadRatios
    compared: RegimeLoads | None
    failed: tuple[RegimeLoads, ...]
    now: datetime
    stays: tuple[UnrolledStay, ...]
    given: Case

    @property
    def turning(self) -> tuple[UnrolledStay, ...]:
        """Stays that the guards apply to."""
        return tuple(stay for stay in self.stays if not stay.is_exempt)


def is_countable(window: Window) -> bool:
    """Whether a window's stays can be counted at all.

    Parameters
    ----------
    window : Window
        A window.

    Returns
    -------
    bool
        False when it has no stay, or one that is endless or shorter than a minute.
    """
    return _are_countable(window.cycle)


def _are_countable(cycle: tuple[Stay, ...]) -> bool:
    lengths = [stay.duration for stay in cycle]
    return bool(lengths) and all(math.isfinite(s) and s >= SHORTEST_STAY for s in lengths)


def unrolled(programme: Programme, case: Case) -> tuple[UnrolledStay, ...]:
    """Unroll the day, window after window.

    Parameters
    ----------
    programme : Programme
        The programme; its windows must be countable.
    case : Case
        Says which windows are prescribed.

    Returns
    -------
    tuple of UnrolledStay
        From the start of the first window.
    """
    return tuple(stay for window in programme.windows for stay in unrolled_window(window, case))


def unrolled_window(window: Window, case: Case) -> tuple[UnrolledStay, ...]:
    """Unroll one window: its cycle begun afresh, repeated, and cut at the end.

    Parameters
    ----------
    window : Window
        The window; it must be countable.
    case : Case
        Says whether it is prescribed.

    Returns
    -------
    tuple of UnrolledStay
        From its start to its end.
    """
    exempt = is_exempt(window, case)
    stays: list[UnrolledStay] = []
    gone = 0.0
    while gone < window.span.duration - 1e-3:
        for stay in window.cycle:
            length = min(stay.duration, window.span.duration - gone)
            if length > 1e-3:
                stays.append(UnrolledStay(window, stay.posture, length, exempt))
                gone += length
    return tuple(stays)


def prescription(window: Window, case: Case) -> PrescribedWindow | None:
    """Find the prescription that a window lies wholly inside.

    Parameters
    ----------
    window : Window
        A window of the programme.
    case : Case
        The case.

    Returns
    -------
    PrescribedWindow or None
        None where nobody prescribed anything for all of it.
    """
    for one in case.day.prescribed:
        if one.span.overlap(window.span) >= window.span.duration - 1e-3:
            return one
    return None


def is_exempt(window: Window, case: Case) -> bool:
    """Whether a window is somebody's prescription and not the unit's cycle.

    Parameters
    ----------
    window : Window
        A window of the programme.
    case : Case
        The case.

    Returns
    -------
    bool
        True where a posture is prescribed and the unit does not turn in it.
    """
    one = prescription(window, case)
    return one is not None and not goes_on_turning(one, case)


def goes_on_turning(one: PrescribedWindow, case: Case) -> bool:
    """Whether turns go on in a prescribed window.

    Parameters
    ----------
    one : PrescribedWindow
        The prescription.
    case : Case
        Holds the unit, which may pause at that backrest.

    Returns
    -------
    bool
        True when turns are allowed, in bed, and the unit does not pause.
    """
    in_bed = one.posture.place is Place.BED
    return one.may_turn and in_bed and not pauses(one.posture, case)


def pauses(posture: Posture, case: Case) -> bool:
    """Whether the unit pauses in a posture.

    Parameters
    ----------
    posture : Posture
        The posture.
    case : Case
        Holds the unit.

    Returns
    -------
    bool
        True above the backrest at which it pauses.
    """
    edge = None if case.equipment is None else case.equipment.ability.pauses_above_backrest
    return edge is not None and not posture.backrest <= edge


def load_of(ratios: LoadRatios, posture: Posture, site: Site) -> float:
    """Look up the central load ratio of a site in a posture.

    Parameters
    ----------
    ratios : LoadRatios
        The table.
    posture : Posture
        The posture.
    site : Site
        The site.

    Returns
    -------
    float
        NaN where the table does not hold it. [-]
    """
    draws = _draws(ratios, posture, site)
    return float(draws[0]) if len(draws) and bool(draws[0] >= 0.0) else math.nan


def largest_load_of(ratios: LoadRatios, posture: Posture, site: Site) -> float:
    """Look up the largest load ratio of a site in a posture over all draws.

    Parameters
    ----------
    ratios : LoadRatios
        The table.
    posture : Posture
        The posture.
    site : Site
        The site.

    Returns
    -------
    float
        NaN where any draw is unknown. [-]
    """
    if not is_known(ratios, posture, site):
        return math.nan
    return float(_draws(ratios, posture, site).max())


def is_known(ratios: LoadRatios, posture: Posture, site: Site) -> bool:
    """Whether the load of a site in a posture is known in every draw.

    Parameters
    ----------
    ratios : LoadRatios
        The table.
    posture : Posture
        The posture.
    site : Site
        The site.

    Returns
    -------
    bool
        False also where the table does not hold it, or holds what no load can be.
    """
    draws = _draws(ratios, posture, site)
    return len(draws) > 0 and bool(np.isfinite(draws).all()) and bool((draws >= 0.0).all())


def _draws(ratios: LoadRatios, posture: Posture, site: Site) -> NDArray[np.float64]:
    """Loads are modelled in bed only: whatever a table says of elsewhere is not known."""
    if posture.place is not Place.BED or site not in ratios.sites:
        return np.zeros(0)
    try:
        row = ratios.postures.index(posture)
    except ValueError:
        return np.zeros(0)
    found: NDArray[np.float64] = ratios.ratio[:, row, ratios.sites.index(site)]
    return found


def regime_day(regime: Regime) -> tuple[tuple[float, Posture], ...]:
    """Unroll a regime's repeating day, or its one cycle where day and night are the same.

    Parameters
    ----------
    regime : Regime
        The regime.

    Returns
    -------
    tuple of (float, Posture)
        Durations [s] and postures; empty when they cannot be counted.
    """
    night = regime.night if regime.night_cycle else None
    if not (_are_countable(regime.cycle) and (night is None or _are_countable(regime.night_cycle))):
        return ()
    if night is None:
        return tuple((stay.duration, stay.posture) for stay in regime.cycle)
    by_day = _repeated(regime.cycle, SECONDS_PER_DAY - night.duration)
    return (*by_day, *_repeated(regime.night_cycle, night.duration))


def _repeated(cycle: tuple[Stay, ...], length: float) -> tuple[tuple[float, Posture], ...]:
    part: list[tuple[float, Posture]] = []
    gone = 0.0
    while gone < length - 1e-3:
        stay = cycle[len(part) % len(cycle)]
        part.append((min(stay.duration, length - gone), stay.posture))
        gone += stay.duration
    return tuple(part)


def present(sites: tuple[Site, ...], body: Body) -> tuple[Site, ...]:
    """Leave out sites that went with a missing limb.

    Parameters
    ----------
    sites : tuple of Site
        Sites to look at.
    body : Body
        The body.

    Returns
    -------
    tuple of Site
        Those the person has.
    """
    gone: set[str] = set()
    for limb in body.missing:
        side = "left" if limb.value.startswith("left") else "right"
        parts = ["elbow"]
        if limb not in (Limb.LEFT_ARM, Limb.RIGHT_ARM):
            parts = ["calf", "outer ankle", "inner ankle", "heel", "toes"]
        if limb in (Limb.LEFT_LEG_ABOVE_KNEE, Limb.RIGHT_LEG_ABOVE_KNEE):
            parts += ["outer knee", "inner knee"]
        gone |= {f"{side} {part}" for part in parts}
    return tuple(site for site in sites if site.value not in gone)
