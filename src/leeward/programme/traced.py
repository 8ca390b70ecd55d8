"""One site followed through the day of one programme: load, ratio, time loaded, lag, allowance."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.decision import Choice, ChoiceName, SiteResult
from leeward.programme.ground import Ground, reference_pressures, with_postures
from leeward.programme.judged_anew import judge_anew
from leeward.programme.loads import RatioTable
from leeward.programme.peaks import unknown_patterns
from leeward.programme.programmes import DaySegments, day_segments, moved_day
from leeward.programme.quantities import listed
from leeward.programme.traced_constants import NamedConstant, constants_of_trace
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.verdict import Reason
from leeward.tissue import constants
from leeward.tissue.allowance import day_map
from leeward.tissue.lag import after, at_wrap, parts
from leeward.tissue.law import STANDARD_LAW

Array = NDArray[np.float64]

#: Load ratios closer than this are one. [-]
_SAME_RATIO = 1e-6


@dataclass(frozen=True, slots=True)
class TracedStay:
    """One site during one stay of the repeating day.

    Parameters
    ----------
    start : float
        Time of day at which it begins. [s]
    duration : float
        How long it lasts, the movement that leads into it included. [s]
    movement : float
        How long that movement takes. [s]
    window : str
        The part of the day.
    posture : Posture
        How the person lies.
    is_prescribed : bool
        Whether somebody prescribed the posture: exempt from the guards, counted in A.
    patch_load : float or None
        Mean pressure over the patch; None where unknown. [Pa]
    load_ratio : float or None
        The same over the reference. [-]
    loaded_for : float
        Time at its end since the site was last relieved; prescribed time is not counted. [s]
    lag : float
        Time in it for which recovery still goes by a heavier load before. [s]
    allowance_before, allowance_after, allowance_most : float or None
        Allowance at its beginning, at its end and at most, on a day that repeats for ever. [-]
    index_after : float or None
        Allowance at its end over the one allowed; None where nothing is compared. [-]
    index_change : float or None
        What the stay adds to the index, or gives back. [-]
    """

    start: float
    duration: float
    movement: float
    window: str
    posture: Posture
    is_prescribed: bool
    patch_load: float | None
    load_ratio: float | None
    loaded_for: float
    lag: float
    allowance_before: float | None
    allowance_after: float | None
    allowance_most: float | None
    index_after: float | None
    index_change: float | None


@dataclass(frozen=True, slots=True)
class Trace:
    """One site under one programme, from the start of its first window through 24 h.

    Parameters
    ----------
    site : Site
        Where.
    choice : ChoiceName
        Which programme.
    result : SiteResult
        What is said of the site as a whole.
    reference : float or None
        Pressure that its load is measured against. [Pa]
    allowed : float or None
        Largest allowance the programme may reach here; None where nothing limits it. [-]
    stays : tuple of TracedStay
        The day.
    constants : tuple of NamedConstant
        Every number the trace rests on, with its source.
    notes : tuple of Reason
        What the trace does not hold.
    """

    site: Site
    choice: ChoiceName
    result: SiteResult
    reference: float | None
    allowed: float | None
    stays: tuple[TracedStay, ...]
    constants: tuple[NamedConstant, ...]
    notes: tuple[Reason, ...]


def traced(stands: Ground, choice: Choice, site: Site) -> Trace:
    """Follow one site through the day of a choice, on central values.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    choice : Choice
        One of its choices.
    site : Site
        Where.

    Returns
    -------
    Trace
        By the functions that judged the choice.
    """
    postures = [stay.posture for window in choice.programme.windows for stay in window.cycle]
    wider = with_postures(stands, postures)
    one = judge_anew(wider, [choice.programme])[0]
    column = wider.problem.table.sites.index(site)
    reference = float(reference_pressures(wider)[0, column])
    allowed = float(wider.problem.compared.allowed()[0, column])
    limit = allowed if np.isfinite(allowed) and allowed > 0.0 else np.nan
    stays = _stays(wider, choice, column, reference, limit)
    result = one.assessment.sites[column]
    return Trace(
        site=site,
        choice=choice.name,
        result=result,
        reference=_or_none(reference),
        allowed=_or_none(limit),
        stays=stays,
        constants=constants_of_trace(),
        notes=_notes(site, stays, result),
    )


def _stays(
    stands: Ground, choice: Choice, column: int, reference: float, allowed: float
) -> tuple[TracedStay, ...]:
    table = stands.problem.table
    day = day_segments(choice.programme, table)
    ratio = table.ratio[0][day.rows, column]
    counted = moved_day(day, table)
    durations = _counted(day, counted, table, column)
    moving = table.ratio[0][counted.rows, column]
    days = day_map(durations, moving[:, np.newaxis])
    start = days.steady_start()
    edges = days.at_edges(start)[:, 0]
    # Each stay is its movement in pieces, then what is left of it.
    pieces = len(counted.durations) // len(day.durations)
    ends = edges[::pieces]
    # The largest may lie inside a piece, where recovery stops being late.
    lasts = [days.ends[n] for n in range(pieces - 1, len(counted.durations), pieces)]
    firsts = [0, *(last + 1 for last in lasts[:-1])]
    most = np.maximum.reduceat(days.course(start)[:, 0], firsts)
    lags = _lags(durations, moving).reshape(-1, pieces).sum(axis=1)
    movement = counted.durations.reshape(-1, pieces)[:, :-1].sum(axis=1)
    runs = _loaded_for(day, ratio)
    return tuple(
        TracedStay(
            start=float(day.starts[n]),
            duration=float(day.durations[n]),
            movement=float(movement[n]),
            window=choice.programme.windows[int(day.window[n])].name,
            posture=table.ratios.postures[int(row)]
            if row < len(table.ratios.postures)
            else _kept(choice, day, n),
            is_prescribed=bool(day.exempt[n]),
            patch_load=_or_none(ratio[n] * reference),
            load_ratio=_or_none(ratio[n]),
            loaded_for=float(runs[n]),
            lag=float(lags[n]),
            allowance_before=_or_none(ends[n]),
            allowance_after=_or_none(ends[n + 1]),
            allowance_most=_or_none(max(ends[n], most[n])),
            index_after=_or_none(ends[n + 1] / allowed),
            index_change=_or_none((ends[n + 1] - ends[n]) / allowed),
        )
        for n, row in enumerate(day.rows.tolist())
    )


def _kept(choice: Choice, day: DaySegments, place: int) -> Posture:
    """The posture of a prescribed window whose loads were never computed."""
    return choice.programme.windows[int(day.window[place])].cycle[0].posture


def _counted(stays: DaySegments, day: DaySegments, table: RatioTable, column: int) -> Array:
    """Lengths without the prescribed time whose load on the site nobody knows."""
    for _, columns, rows in unknown_patterns(stays, table, slice(1)):
        if column in columns:
            return np.where(np.isin(day.rows, rows) & day.exempt, 0.0, day.durations)
    return day.durations


def _lags(durations: Array, ratio: Array) -> Array:
    """Time in each piece of the day in which recovery goes by a heavier load before."""
    known = np.where(durations > 0.0, ratio, 1.0)[:, np.newaxis]
    lag = at_wrap(durations, known, STANDARD_LAW)
    left = np.zeros(len(durations))
    for number, duration in enumerate(durations[:, np.newaxis]):
        left[number] = sum(
            float(length[0])
            for length, load in parts(lag, known[number], duration)
            if load[0] > known[number, 0] + _SAME_RATIO
        )
        lag = after(lag, known[number], duration, STANDARD_LAW)
    return left


def _loaded_for(day: DaySegments, ratio: Array) -> Array:
    """Time loaded without a break at the end of each stay, the day before counted."""
    relieved = ratio <= constants.RELIEVED_AT.value
    counted = np.where(day.exempt, 0.0, day.durations)
    run, found = 0.0, np.zeros(len(ratio))
    for number in [*range(len(ratio))] * 2:
        run = 0.0 if relieved[number] else run + float(counted[number])
        found[number] = run
    return found


def _or_none(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _notes(site: Site, stays: tuple[TracedStay, ...], result: SiteResult) -> tuple[Reason, ...]:
    notes = []
    unknown = [stay.window for stay in stays if stay.load_ratio is None]
    if unknown:
        named = listed(list(dict.fromkeys(unknown)))
        notes.append(
            Reason(
                "load-unknown",
                f"What the {site.value} bears during {named} is not known: the allowance is that "
                "of the rest of the day, and nothing can be told of the whole.",
            )
        )
    if result.index is None:
        notes.append(Reason("no-index", f"The {site.value} has no index: {result.standing.value}."))
    return tuple(notes)
