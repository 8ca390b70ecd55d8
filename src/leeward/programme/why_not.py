"""Why not otherwise: one change to a choice, computed by the same functions, told in sentences."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.decision import Assessment, Choice, ChoiceName, SiteStanding
from leeward.programme.front import NOT_TOLD_APART
from leeward.programme.ground import Ground, reference_pressures, with_postures
from leeward.programme.judged_anew import JudgedAnew, judge_anew
from leeward.programme.programme import Programme
from leeward.programme.quantities import plain
from leeward.programme.what_if import WhatIf, with_change
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.units import deg_from_radians, mmhg_from_pascal
from leeward.terms.verdict import Quantity, Reason

#: A load ratio that changes by less is not worth a sentence. [-] Convention of this project.
WORTH_SAYING = 0.05

_NO_INDEX = (SiteStanding.UNTRIED, SiteStanding.CANNOT_TELL)


@dataclass(frozen=True, slots=True)
class SiteChange:
    """What a change does to one site.

    Parameters
    ----------
    site : Site
        Where.
    standing : SiteStanding
        What can be said of it under the changed programme.
    posture : Posture
        The stay that loads it most.
    load_ratio, load_ratio_low, load_ratio_high : float or None
        Load ratio in that stay, central and over the draws. [-]
    load_ratio_before : float or None
        Largest load ratio in a stay of the choice itself. [-]
    patch_load : float or None
        Mean pressure over the patch in that stay. [Pa]
    index, index_low, index_high, index_before : float or None
        Index under the changed programme, with band, and under the choice. [-]
    """

    site: Site
    standing: SiteStanding
    posture: Posture
    load_ratio: float | None
    load_ratio_low: float | None
    load_ratio_high: float | None
    load_ratio_before: float | None
    patch_load: float | None
    index: float | None
    index_low: float | None
    index_high: float | None
    index_before: float | None


@dataclass(frozen=True, slots=True)
class Answer:
    """What would become of a choice with one change.

    Parameters
    ----------
    asked : str
        The change in words.
    choice : ChoiceName
        The choice it was made to.
    programme : Programme
        The changed programme; it is not offered by this.
    qualifies : bool
        Whether neither the rules nor the recheck find anything against it.
    assessment : Assessment
        How it was judged.
    sites : tuple of SiteChange
        Every site that is compared or that turning can relieve, most used first.
    reasons : tuple of Reason
        The answer, sentence by sentence.
    """

    asked: str
    choice: ChoiceName
    programme: Programme
    qualifies: bool
    assessment: Assessment
    sites: tuple[SiteChange, ...]
    reasons: tuple[Reason, ...]


def why_not(stands: Ground, choice: Choice, asked: WhatIf) -> Answer:
    """Answer what one change to a choice would do.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    choice : Choice
        One of its choices.
    asked : WhatIf
        The change.

    Returns
    -------
    Answer
        With the rule or site that stops it and by how much, or how it compares.
    """
    programme = with_change(stands, choice.programme, asked)
    postures = [stay.posture for window in programme.windows for stay in window.cycle]
    wider = with_postures(stands, postures)
    before, after = judge_anew(wider, [choice.programme, programme])
    sites = _site_changes(wider, before, after)
    return Answer(
        asked=asked.in_words(),
        choice=choice.name,
        programme=programme,
        qualifies=after.qualifies,
        assessment=after.assessment,
        sites=sites,
        reasons=(
            _verdict(choice.name, asked, after),
            *after.against,
            *_never_tried(sites),
            *_beside(choice.name, before, after),
        ),
    )


def _verdict(name: ChoiceName, asked: WhatIf, after: JudgedAnew) -> Reason:
    said = asked.in_words()
    changed = f"{said[:1].upper()}{said[1:]}, otherwise as in the choice called {name.value}"
    if not after.qualifies:
        return Reason("would-not-qualify", f"{changed}: it would not qualify.")
    share = after.assessment.share_of_draws
    doubt = " That is fewer than half: it may well not reach it." if share < 0.5 else ""
    return Reason(
        "would-qualify",
        f"{changed}: it would qualify on central values, and {share:.0%} of the draws "
        f"agree.{doubt} That is no promise; skin checks decide.",
        (plain("share of draws", share),),
    )


def _site_changes(stands: Ground, before: JudgedAnew, after: JudgedAnew) -> tuple[SiteChange, ...]:
    changes = [
        _site_change(stands, before, after, place)
        for place, site in enumerate(stands.problem.table.sites)
        if site in RESPONSIVE_SITES or after.assessment.sites[place].index is not None
    ]
    return tuple(sorted(changes, key=lambda one: (-(one.index or 0.0), -(one.load_ratio or 0.0))))


def _site_change(stands: Ground, before: JudgedAnew, after: JudgedAnew, column: int) -> SiteChange:
    table = stands.problem.table
    rows, rows_before = _turning_rows(after), _turning_rows(before)
    load = table.ratio[:, rows, column]
    # A load nobody knows could be the largest: it stands in place of the others.
    most = int(np.argmax(np.nan_to_num(load[0], nan=np.inf)))
    posture = table.ratios.postures[int(rows[most])]
    known = bool(np.isfinite(load[:, most]).all())
    central = _or_none(load[0, most])
    pressure = reference_pressures(stands)[0, column]
    was, now = before.assessment.sites[column], after.assessment.sites[column]
    return SiteChange(
        site=now.site,
        standing=now.standing,
        posture=posture,
        load_ratio=central,
        load_ratio_low=float(load[:, most].min()) if known else None,
        load_ratio_high=float(load[:, most].max()) if known else None,
        load_ratio_before=_or_none(table.ratio[0, rows_before, column].max()),
        patch_load=None if central is None else _or_none(central * pressure),
        index=now.index,
        index_low=now.index_low,
        index_high=now.index_high,
        index_before=was.index,
    )


def _turning_rows(one: JudgedAnew) -> NDArray[np.intp]:
    """Stays the unit makes: what is prescribed is the same in both."""
    return one.numbers.day.rows[~one.numbers.day.exempt]


def _or_none(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _never_tried(sites: tuple[SiteChange, ...]) -> tuple[Reason, ...]:
    """Sites without an index that the change loads more: a low index elsewhere hides them."""
    return tuple(_more_load(one) for one in sites if one.standing in _NO_INDEX and _is_more(one))


def _is_more(one: SiteChange) -> bool:
    if one.load_ratio is None:
        return True
    return one.load_ratio_before is not None and (
        one.load_ratio - one.load_ratio_before >= WORTH_SAYING
    )


def _more_load(one: SiteChange) -> Reason:
    where = f"{turn_in_words(one.posture.turn)}"
    if one.load_ratio is None:
        return Reason("load-unknown", f"What the {one.site.value} bears {where} is not known.")
    numbers = [plain("load ratio", one.load_ratio)]
    band = ""
    if one.load_ratio_low is not None and one.load_ratio_high is not None:
        band = f" ({one.load_ratio_low:.2f} to {one.load_ratio_high:.2f} over the draws)"
        numbers.append(plain("lowest over the draws", one.load_ratio_low))
        numbers.append(plain("highest over the draws", one.load_ratio_high))
    if one.patch_load is not None:
        load = mmhg_from_pascal(one.patch_load)
        numbers.append(Quantity("mean pressure over the patch", round(load, 1), "mmHg"))
    before = ""
    if one.load_ratio_before is not None:
        before = f" from {one.load_ratio_before:.2f}"
        numbers.append(plain("load ratio under the choice", one.load_ratio_before))
    told = (
        "this skin was never tried there: look early"
        if one.standing is SiteStanding.UNTRIED
        else "nothing can be told of this skin there"
    )
    return Reason(
        "more-load-where-untried",
        f"The {one.site.value} rises{before} to a load ratio of {one.load_ratio:.2f}{band} "
        f"{where}; {told}.",
        tuple(numbers),
    )


def _beside(name: ChoiceName, before: JudgedAnew, after: JudgedAnew) -> tuple[Reason, ...]:
    """The change beside the choice: relief, movements, hands."""
    was, now = before.assessment.disturbance, after.assessment.disturbance
    cost = Reason(
        "disturbs",
        f"{_instead('movements during sleep', now.turns_in_sleep, was.turns_in_sleep)}, "
        f"{_instead('movements a day', now.turns_per_day, was.turns_per_day)}, "
        f"{_largest_turn(now.largest_turn, was.largest_turn)}.",
        (
            plain("movements during sleep", now.turns_in_sleep),
            plain("movements during sleep, the choice", was.turns_in_sleep),
            plain("movements a day", now.turns_per_day),
            plain("movements a day, the choice", was.turns_per_day),
        ),
    )
    index, low, high = after.band
    index_before, low_before, high_before = before.band
    if not (np.isfinite(index) and np.isfinite(index_before)):
        return (cost,)
    site = after.assessment.limiting_site
    site_before = before.assessment.limiting_site
    relief = Reason(
        "largest-index",
        f"Largest index {_with_band(index, low, high)} {_at(site)} instead of "
        f"{_with_band(index_before, low_before, high_before)} {_at(site_before)} in the choice "
        f"called {name.value}.{_apart(before, after)}",
        (plain("largest index", index), plain("largest index, the choice", index_before)),
    )
    return (relief, cost)


def _instead(what: str, now: int, was: int) -> str:
    return f"{now} {what} as before" if now == was else f"{now} {what} instead of {was}"


def _largest_turn(now: float, was: float) -> str:
    turn, before = round(deg_from_radians(now), 1), round(deg_from_radians(was), 1)
    return f"largest turn {turn:g}° " + (
        "as before" if turn == before else f"instead of {before:g}°"
    )


def _at(site: Site | None) -> str:
    return "at no compared site" if site is None else f"at the {site.value}"


def _with_band(index: float, low: float, high: float) -> str:
    band = f"{low:.2f} to {high:.2f}" if np.isfinite(low) else "band not known"
    return f"{index:.2f} ({band})"


def _apart(before: JudgedAnew, after: JudgedAnew) -> str:
    """Indices closer than the noise, or in another order in a tenth of the draws, are one."""
    lower = after.numbers.worst - before.numbers.worst
    same_order = float((np.sign(lower) == np.sign(lower[0])).mean())
    if abs(float(lower[0])) >= NOT_TOLD_APART and same_order >= 0.9:
        return ""
    return " By their index the two cannot be told apart."
