"""One programme judged: every site, every draw, what it costs, and why."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.decision import Assessment, Disturbance, SiteResult, SiteStanding
from leeward.programme.guards_kept import guard_reasons, guards_hold
from leeward.programme.hand_work import tasks_outside_rounds, two_person_tasks
from leeward.programme.loads import protected_ceilings
from leeward.programme.offloading import work_min
from leeward.programme.peaks import peaks_over_draws, unknown_patterns
from leeward.programme.problem import Problem, rest_of_day_sites
from leeward.programme.programme import Programme
from leeward.programme.programmes import DaySegments, day_segments
from leeward.programme.quantities import listed, plain
from leeward.programme.search import LARGEST_INDEX
from leeward.programme.yardstick import OTHER_LAWS
from leeward.terms.posture import turn_in_words
from leeward.terms.site import Site
from leeward.terms.units import SECONDS_PER_DAY
from leeward.terms.verdict import Reason
from leeward.tissue.index import SiteComparison, compare

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """A programme with its numbers in every draw.

    Parameters
    ----------
    programme : Programme
        The programme.
    day : DaySegments
        The same, unrolled.
    peak : ndarray, shape (d, s)
        Peak allowance; on the rest of the day where a prescribed load is unknown. [-]
    index : ndarray, shape (d, s)
        Peak allowance over the one allowed; 0 where nothing limits it. [-]
    keeps_guards : ndarray of bool, shape (d,)
        Whether the guards hold.
    """

    programme: Programme
    day: DaySegments
    peak: Array
    index: Array
    keeps_guards: NDArray[np.bool_]

    @property
    def worst(self) -> Array:
        """Largest index in each draw. [-]"""
        return np.asarray(self.index.max(axis=1))

    @property
    def agrees(self) -> NDArray[np.bool_]:
        """Draws in which no index passes 1 and the guards hold."""
        return np.asarray(self.keeps_guards & (self.worst <= LARGEST_INDEX))


def judged(given: Problem, programmes: list[Programme]) -> list[Judged]:
    """Compute several programmes of one search in every draw.

    Parameters
    ----------
    given : Problem
        The search.
    programmes : list of Programme
        At least one.

    Returns
    -------
    list of Judged
        In the same order.
    """
    days = [day_segments(programme, given.table) for programme in programmes]
    peaks = peaks_over_draws(days, given.table)
    allowed = given.compared.allowed()
    # NaN stays NaN: where a peak or what is allowed is unknown, no draw agrees.
    index = np.where(np.isposinf(allowed), 0.0, peaks / np.where(allowed > 0.0, allowed, np.nan))
    return [
        Judged(programme, day, peaks[n], index[n], guards_hold(given, programme, day))
        for n, (programme, day) in enumerate(zip(programmes, days, strict=True))
    ]


def worst_under_other_laws(given: Problem, judged_days: list[Judged]) -> Array:
    """Largest index of several programmes under other conventions of the allowance.

    Parameters
    ----------
    given : Problem
        The search.
    judged_days : list of Judged, length k
        The programmes.

    Returns
    -------
    ndarray, shape (l, k)
        On central loads, what is allowed under the same conventions. [-]
    """
    days = [one.day for one in judged_days]
    columns = given.indexed
    allowed = given.compared.allowed()[0, columns]
    found = [
        peaks_over_draws(days, given.table, law=law, draws=slice(1))[:, 0, columns]
        / (allowed * drift[columns])
        for law, drift in zip(OTHER_LAWS, given.compared.under_other_laws, strict=True)
    ]
    return np.asarray(np.stack(found).max(axis=2, initial=0.0))


def assess(given: Problem, one: Judged) -> Assessment:
    """Judge a programme in words and numbers.

    Parameters
    ----------
    given : Problem
        The search.
    one : Judged
        The programme with its numbers.

    Returns
    -------
    Assessment
        It qualifies on central values; the share of draws that agree stands beside it.
    """
    rest = rest_of_day_sites(given)
    sites = tuple(
        _site_result(given, one, found, rest) for found in compare(given.compared.peaks, one.peak)
    )
    barred = _posture_reasons(given, one)
    over_time = (*_index_reasons(given, one), *guard_reasons(given, one.programme, one.day))
    against = (*barred, *over_time)
    qualifies = not against and bool(one.agrees[0])
    stays_fit = not any(reason.code == "stay-too-long" for reason in over_time)
    share = float(one.agrees.mean()) if stays_fit and not barred else 0.0
    limiting = _limiting(given, one)
    reasons = against if against else (_qualifying(one, limiting, share),)
    return Assessment(
        qualifies=qualifies,
        share_of_draws=share,
        sites=sites,
        limiting_site=limiting,
        disturbance=disturbance(given, one),
        reasons=(*reasons, *_rest_reasons(given, one, rest), *_barred_reasons(given)),
    )


def disturbance(given: Problem, one: Judged) -> Disturbance:
    """Count what a programme costs the person and the carers.

    Parameters
    ----------
    given : Problem
        The search.
    one : Judged
        The programme.

    Returns
    -------
    Disturbance
        Over one day.
    """
    before = np.roll(one.day.turns, 1)
    moves = one.day.turns != before
    sleep = given.case.day.sleep
    asleep = (one.day.starts - sleep.start) % SECONDS_PER_DAY < sleep.duration
    return Disturbance(
        turns_per_day=int(moves.sum()),
        turns_in_sleep=int((moves & asleep).sum()),
        largest_turn=float(np.abs(one.day.turns).max()),
        turned_through=float(np.abs(one.day.turns - before).sum()),
        manual_min=work_min(one.programme.tasks),
        two_person_tasks=two_person_tasks(one.programme.tasks),
        outside_rounds=tasks_outside_rounds(one.programme.tasks, given.case.day.rounds),
    )


def _limiting(given: Problem, one: Judged) -> Site | None:
    index = one.index[0]
    if not bool(np.any(index > 0.0)):
        return None
    return given.table.sites[int(np.nanargmax(index))]


def _site_result(
    given: Problem, one: Judged, found: SiteComparison, rest: tuple[Site, ...]
) -> SiteResult:
    if found.site in rest:
        return SiteResult(found.site, SiteStanding.CANNOT_TELL, None, None, None, None, None)
    column = given.table.sites.index(found.site)
    largest = float(given.central[one.day.rows, column].max())
    partly = any(
        column in columns and len(rows)
        for _, columns, rows in unknown_patterns(one.day, given.table)
    )
    return SiteResult(
        site=found.site,
        standing=SiteStanding(found.kind.value),
        peak_allowance=None if partly else found.peak_allowance,
        index=found.index,
        index_low=found.index_low,
        index_high=found.index_high,
        largest_load_ratio=largest if np.isfinite(largest) else None,
    )


def _index_reasons(given: Problem, one: Judged) -> tuple[Reason, ...]:
    """Sites used more than under the regime compared, worst first; unknown ones too."""
    index = one.index[0]
    over = [
        n for n in np.argsort(-np.nan_to_num(index, nan=np.inf)) if not index[n] <= LARGEST_INDEX
    ]
    return tuple(_over(given, one, int(column)) for column in over)


def _over(given: Problem, one: Judged, column: int) -> Reason:
    site, index = given.table.sites[column].value, float(one.index[0, column])
    if not np.isfinite(index):
        return Reason(
            "load-unknown",
            f"How much the {site} is used cannot be told, so it cannot be said to be used less "
            "than under the regime compared.",
        )
    # Of the two limits the lower one rules, and only that one is said to be passed.
    by_failed = given.compared.allowed()[0, column] == given.compared.peaks.ceiling[0, column]
    which = (
        "a regime leaves room for under which it was not clear"
        if by_failed
        else "under the regime compared"
    )
    return Reason(
        "index-above-one",
        f"The {site} is used {index:.{2 if index >= 1.005 else 4}f} times as much as {which}.",
        (
            plain("index", index),
            plain("lowest over the draws", float(np.nanmin(one.index[:, column]))),
            plain("highest over the draws", float(np.nanmax(one.index[:, column]))),
        ),
    )


def _posture_reasons(given: Problem, one: Judged) -> tuple[Reason, ...]:
    turning = np.unique(one.day.rows[~one.day.exempt])
    ceilings = protected_ceilings(given.case)
    reasons = []
    for row in turning.tolist():
        said = _posture_in_words(one, row)
        if not given.table.known[row]:
            reasons.append(
                Reason("not-a-place-to-lie", f"{said}: not stable in every corner, or unknown.")
            )
        for site, ceiling in ceilings.items():
            load = float(given.table.ratio[:, row, given.table.sites.index(site)].max())
            if not load <= ceiling:
                reasons.append(
                    Reason(
                        "protected-site-loaded",
                        f"{said}: the {site.value} is to be kept unloaded and is not.",
                        (plain("load ratio, highest", load), plain("ceiling", ceiling)),
                    )
                )
    return tuple(reasons)


def _posture_in_words(one: Judged, row: int) -> str:
    place = int(np.flatnonzero(one.day.rows == row)[0])
    window = one.programme.windows[int(one.day.window[place])]
    said = turn_in_words(float(one.day.turns[place]))
    return f"{window.name[:1].upper()}{window.name[1:]}, {said}"


def _qualifying(one: Judged, limiting: Site | None, share: float) -> Reason:
    worst = float(one.worst[0])
    site = "no site" if limiting is None else f"the {limiting.value}"
    doubt = "" if share >= 0.5 else " That is fewer than half: it may well not reach it."
    return Reason(
        "qualifies",
        f"No compared site is used more than under the regime compared; {site} comes nearest, "
        f"with {worst:.2f} of it. {share:.0%} of the draws agree.{doubt}",
        (
            plain("largest index", worst),
            plain("lowest over the draws", float(np.nanmin(one.worst))),
            plain("highest over the draws", float(np.nanmax(one.worst))),
            plain("share of draws", share),
        ),
    )


def _rest_reasons(given: Problem, one: Judged, rest: tuple[Site, ...]) -> tuple[Reason, ...]:
    if not rest:
        return ()
    columns = [given.table.sites.index(site) for site in rest]
    worst = columns[int(np.argmax(one.index[0, columns]))]
    unknown = [
        window.name
        for window in one.programme.windows
        if len(window.cycle) == 1
        and bool(given.table.is_unknown[given.table.row(window.cycle[0].posture), columns].any())
    ]
    return (
        Reason(
            "rest-of-day",
            f"The load during {listed(unknown)} is not modelled, or not in every draw: for "
            f"{listed([site.value for site in rest])} nothing can be told of the whole day, and "
            "programmes are ranked on what is known of it.",
            (
                plain(
                    f"largest index on what is known of the day ({given.table.sites[worst].value})",
                    float(one.index[0, worst]),
                ),
            ),
        ),
    )


def _barred_reasons(given: Problem) -> tuple[Reason, ...]:
    if not given.reach.stay_loaded:
        return ()
    return (
        Reason(
            "stay-loaded",
            f"A side is barred, so no turn relieves "
            f"{listed([f'the {site.value}' for site in given.reach.stay_loaded])}: hands must.",
        ),
    )
