"""The independent recheck: programme and case go in, everything is derived once more.

It shares no code with the search and takes no argument that relaxes it. What it cannot know it
finds against the programme.
"""

from dataclasses import replace
from datetime import datetime

from leeward.programme.programme import Programme
from leeward.programme.recheck_build_up import protected_site_loaded_on_the_way
from leeward.programme.recheck_care import (
    built_up_too_fast,
    hands_missing,
    stopped,
    turned_by_nobody,
)
from leeward.programme.recheck_day import (
    Examined,
    RegimeLoads,
    is_countable,
    unrolled,
)
from leeward.programme.recheck_exposure import (
    failed_regime_repeated,
    index_above_one,
    load_unknown,
    loaded_too_long,
    relief_too_short,
    stay_too_long,
)
from leeward.programme.recheck_finding import finding, number_of, once_each
from leeward.programme.recheck_limits import (
    backrest_out_of_range,
    level_where_forbidden,
    lighter_than_felt,
    protected_site_loaded,
    turns_beyond_limits,
    unstable_or_unknown,
    whole_surface_without_support,
)
from leeward.programme.recheck_settings import not_settable
from leeward.programme.recheck_standing import failed_not_counted, not_comparable
from leeward.programme.recheck_windows import day_not_kept
from leeward.terms.case import Case
from leeward.terms.units import SECONDS_PER_DAY, SECONDS_PER_HOUR
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue.load_ratios import LoadRatios

#: Every rule, in the order in which findings are read out.
RULES = (
    stopped,
    not_comparable,
    failed_not_counted,
    turns_beyond_limits,
    whole_surface_without_support,
    level_where_forbidden,
    backrest_out_of_range,
    protected_site_loaded,
    protected_site_loaded_on_the_way,
    unstable_or_unknown,
    lighter_than_felt,
    day_not_kept,
    not_settable,
    load_unknown,
    index_above_one,
    failed_regime_repeated,
    relief_too_short,
    loaded_too_long,
    stay_too_long,
    hands_missing,
    turned_by_nobody,
    built_up_too_fast,
)


def recheck(
    programme: Programme,
    case: Case,
    ratios: LoadRatios,
    compared: RegimeLoads | None,
    failed: tuple[RegimeLoads, ...] = (),
    *,
    now: datetime,
) -> tuple[Reason, ...]:
    """Look for anything that speaks against a programme.

    Parameters
    ----------
    programme : Programme
        The programme.
    case : Case
        The case it was made for.
    ratios : LoadRatios
        At every posture of the programme, on the present bed.
    compared : RegimeLoads or None
        The regime compared with and its load ratios; None is a finding.
    failed : tuple of RegimeLoads
        Every failed regime of the case with its load ratios; one left out is a finding.
    now : datetime
        When; aware.

    Returns
    -------
    tuple of Reason
        Empty when nothing was found against it, which does not make it right: consent, and
        who does the manual work, are settled when a programme is accepted.

    Notes
    -----
    Indices and guards are counted on the central values of the loads; stability, and whether
    a load is known at all, in every draw. Loads out of bed count as nothing where they are
    unknown, so an index found above 1 is above 1 whatever they are.
    """
    unusable = _not_a_day(programme)
    if unusable:
        return unusable
    # Where people make every turn no unit pauses, and none takes its time.
    turning = replace(case, equipment=None) if programme.turned_by_hand else case
    stays = unrolled(programme, turning)
    seen = Examined(programme, turning, ratios, compared, failed, now, stays, case)
    return once_each(reason for rule in RULES for reason in rule(seen))


def _not_a_day(programme: Programme) -> tuple[Reason, ...]:
    """Without a day that can be counted through, nothing else can be looked at."""
    total = sum(window.span.duration for window in programme.windows)
    following = (*programme.windows[1:], *programme.windows[:1])
    joined = all(
        before.span.end == after.span.start
        for before, after in zip(programme.windows, following, strict=True)
    )
    if total != SECONDS_PER_DAY or not joined:
        return (
            finding(
                "day-not-covered",
                "The windows do not follow one another through 24 h.",
                Quantity("covered", total / SECONDS_PER_HOUR, "h"),
            ),
        )
    return once_each(
        finding(
            "stays-not-countable",
            f"The window {window.name} has no stay, or one that is endless or shorter than a "
            "minute.",
            number_of("stays", len(window.cycle)),
        )
        for window in programme.windows
        if not is_countable(window)
    )
