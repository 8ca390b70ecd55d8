"""What a log says, all together: the surface against its plan, and what the skin was asked."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from leeward.delivered.delivered import Delivered
from leeward.programme.programme import Programme, daily_series
from leeward.review.allowance_delivered import AllowanceThroughDays, allowance_through
from leeward.review.comparison import Comparison, compare
from leeward.review.judged_stays import AgreedDeparture
from leeward.review.movement_path import laid_on_path
from leeward.review.real_days import laid_over
from leeward.review.skin_looks import skin_looks
from leeward.terms.case import Case
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place, Posture
from leeward.terms.series import PostureSeries
from leeward.terms.site import Site
from leeward.terms.units import SECONDS_PER_DAY, radians_from_deg
from leeward.tissue.allowance import steady_peak
from leeward.tissue.basis import regime_peak
from leeward.tissue.demand import LEVEL, Demand
from leeward.tissue.movement import turning_rate, with_movements
from leeward.tissue.skin_evidence import needs_touch
from leeward.tissue.standing_correction import correction_reasons

#: Turns between which the loads of a log are interpolated. [rad]
#: Source: convention of this project.
_TURN_STEP = radians_from_deg(5.0)
#: Turns beyond this are not modelled; what a log holds there stays unknown. [rad]
_LARGEST_TURN = radians_from_deg(45.0)
#: A measured backrest this close to the planned one is the planned one. [rad]
#: Source: convention of this project.
_BACKREST_ERROR = radians_from_deg(5.0)


@dataclass(frozen=True, slots=True)
class SiteThroughDays:
    """What one site bore while the log ran.

    Parameters
    ----------
    site : Site
        Where.
    planned_peak : float or None
        Largest allowance of the plan kept for ever, central values. [-]
    delivered_low, delivered_high : float or None
        Largest allowance as delivered, over draws and over what is unknown, from the second
        day on where the log has two; the upper end is None where no bound can be given. [-]
    compared_peak : float or None
        Largest allowance under the regime compared, central values. [-]
    longest_low, longest_high : float
        Longest time loaded at a stretch, the upper end counting unknown time as loaded. [s]
    """

    site: Site
    planned_peak: float | None
    delivered_low: float | None
    delivered_high: float | None
    compared_peak: float | None
    longest_low: float
    longest_high: float


@dataclass(frozen=True, slots=True, eq=False)
class Review:
    """The whole account of a log.

    Parameters
    ----------
    comparison : Comparison
        The surface against its plan: verdict, reasons, share judged.
    sites : tuple of SiteThroughDays
        What each site bore, by the computation that planned it; empty where no regime is
        compared or the log is empty.
    delivered : Delivered
        The log as read.
    """

    comparison: Comparison
    sites: tuple[SiteThroughDays, ...]
    delivered: Delivered


def watched_postures(programme: Programme, delivered: Delivered) -> tuple[Posture, ...]:
    """List the postures whose loads a log may ask for.

    Parameters
    ----------
    programme : Programme
        The plan: backrest, knees and supports at each time come from it.
    delivered : Delivered
        The log as read.

    Returns
    -------
    tuple of Posture
        Every setting of the plan at turns in steps of 5 degrees, beyond the largest turn
        planned or measured.

    Raises
    ------
    InvalidInput
        If people make the turns of the programme: no log of a surface shows them.
    """
    if programme.turned_by_hand:
        raise InvalidInput(
            "the programme is turned by hand",
            where="comparing what was delivered with it",
            expected="a programme that the unit runs",
            remedy="keep a turning chart; a log of the surface shows no turn by hand",
        )
    planned = daily_series(programme).postures
    turns = [abs(posture.turn) for posture in (*planned, *delivered.series.postures)]
    reach = min(max(turns, default=0.0) + _TURN_STEP, _LARGEST_TURN)
    count = int(np.ceil(reach / _TURN_STEP))
    grid = [number * _TURN_STEP for number in range(-count, count + 1)]
    settings = dict.fromkeys(p.with_turn(0.0) for p in planned if p.place is Place.BED)
    return tuple(setting.with_turn(turn) for setting in (*settings, LEVEL) for turn in grid)


def review_delivered(
    case: Case,
    programme: Programme,
    delivered: Delivered,
    demand: Demand | None,
    *,
    now: datetime,
    agreed: tuple[AgreedDeparture, ...] = (),
) -> Review:
    """Judge a log against its plan and follow the load of every site through it.

    Parameters
    ----------
    case : Case
        The case.
    programme : Programme
        The plan that was in force.
    delivered : Delivered
        The log as read.
    demand : Demand or None
        Loads at `watched_postures`; None where there is no regime to compare with.
    now : datetime
        The present, aware.
    agreed : tuple of AgreedDeparture, optional
        Times in which the person or the team chose otherwise.

    Returns
    -------
    Review
        The verdict is about the surface; the person was not measured.
    """
    looks = skin_looks(case.skin_checks, with_touch=needs_touch(case), now=now)
    comparison = compare(programme, delivered, case.day, looks, agreed)
    if demand is None or not delivered.series.postures:
        return Review(comparison, (), delivered)
    sites = _sites(case, delivered, programme, (comparison, demand))
    return Review(_said_of_model(comparison, case, now), sites, delivered)


def _said_of_model(comparison: Comparison, case: Case, now: datetime) -> Comparison:
    """Say beside the verdict that loads are those of a corrected model, or no longer are."""
    judgement = comparison.judgement
    reasons = (*judgement.reasons, *correction_reasons(case, now))
    return replace(comparison, judgement=replace(judgement, reasons=reasons))


def _rate(case: Case) -> float:
    return 0.0 if case.equipment is None else turning_rate(case.equipment.ability)


def _sites(
    case: Case, delivered: Delivered, programme: Programme, held: tuple[Comparison, Demand]
) -> tuple[SiteThroughDays, ...]:
    comparison, demand = held
    planned = comparison.planned
    moved = laid_on_path(delivered.series, _rate(case))
    lain = laid_over(moved, planned, has_backrest=delivered.has_backrest)
    lain = _on_planned_settings(lain, planned)
    possible = tuple(dict.fromkeys((*planned.postures, LEVEL)))
    through = _from_second_day(lain, demand, possible, side_known=delivered.side_known)
    day = with_movements(daily_series(programme), _rate(case))
    as_planned = steady_peak(day.durations, demand.ratios_at(day.postures)[0])
    compared = regime_peak(demand.compared)[0]
    return tuple(
        SiteThroughDays(
            site=site,
            planned_peak=_known(as_planned[n]),
            delivered_low=_known(through.peak_low[n]),
            delivered_high=_known(through.peak_high[n]),
            compared_peak=_known(compared[n]),
            longest_low=float(through.longest_low[n]),
            longest_high=float(through.longest_high[n]),
        )
        for n, site in enumerate(demand.ratios.sites)
    )


def _on_planned_settings(lain: PostureSeries, planned: PostureSeries) -> PostureSeries:
    """Take a measured backrest within a sensor's error of the plan for the planned one."""
    places = np.searchsorted(planned.edges, lain.edges[:-1], side="right") - 1
    settled = []
    for posture, place in zip(lain.postures, places.tolist(), strict=True):
        plan = planned.postures[place]
        is_near = abs(posture.backrest - plan.backrest) <= _BACKREST_ERROR
        settled.append(replace(posture, backrest=plan.backrest) if is_near else posture)
    return replace(lain, postures=tuple(settled))


def _from_second_day(
    lain: PostureSeries, demand: Demand, possible: tuple[Posture, ...], *, side_known: bool
) -> AllowanceThroughDays:
    """Follow the sites through the log; of two days or more the first only settles the start.

    Nobody knows how the person lay before the log. Whatever it was, a day of turns leaves
    little of it; counted in, it would hide what the log shows.
    """
    whole = allowance_through(lain, demand.ratios_at, possible, side_known=side_known)
    begin, end = float(lain.edges[0]), float(lain.edges[-1])
    if end - begin < 2.0 * SECONDS_PER_DAY:
        return whole
    cut = int(np.searchsorted(lain.edges, begin + SECONDS_PER_DAY))
    draws = len(demand.scenarios)
    start = np.stack([np.tile(bound[cut], (draws, 1)) for bound in (whole.low, whole.high)])
    later = allowance_through(
        _part(lain, cut, len(lain.postures)),
        demand.ratios_at,
        possible,
        side_known=side_known,
        start=start,
    )
    # How long a site was loaded at a stretch is known of the first day too, and across its end.
    return replace(later, longest_low=whole.longest_low, longest_high=whole.longest_high)


def _part(series: PostureSeries, low: int, high: int) -> PostureSeries:
    return PostureSeries(
        edges=series.edges[low : high + 1],
        postures=series.postures[low:high],
        validity=series.validity[low:high],
        origin=series.origin,
    )


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
