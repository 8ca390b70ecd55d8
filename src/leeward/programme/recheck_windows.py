"""Whether a programme keeps the day it was made for: prescriptions and the usual backrest."""

from collections.abc import Iterator

from leeward.programme.programme import Window
from leeward.programme.recheck_day import Examined, goes_on_turning, prescription
from leeward.programme.recheck_finding import degrees_of, finding, is_same
from leeward.terms.case import Case
from leeward.terms.day import PrescribedWindow
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.verdict import Reason


def day_not_kept(seen: Examined) -> Iterator[Reason]:
    """Find windows that do not keep the postures of the day they were made for.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each window that cuts a prescription or departs from it, or whose backrest
        is not the usual one.
    """
    for window in seen.programme.windows:
        one = prescription(window, seen.case)
        if one is None:
            yield from _runs_into_prescription(seen.case, window)
            yield from _usual_not_kept(seen.case, window)
        elif not all(_is_as_prescribed(stay.posture, one, seen.case) for stay in window.cycle):
            yield finding(
                "prescription-not-kept",
                f"The window {window.name} does not keep the posture prescribed for {one.name}.",
            )


def _runs_into_prescription(case: Case, window: Window) -> Iterator[Reason]:
    for one in case.day.prescribed:
        if one.span.overlap(window.span) > 1e-3:
            yield finding(
                "prescription-cut",
                f"The window {window.name} runs into {one.name}, whose posture is prescribed.",
            )


def _is_as_prescribed(posture: Posture, one: PrescribedWindow, case: Case) -> bool:
    """Where turns go on the turn is the unit's; where it pauses the person may lie level."""
    free = goes_on_turning(one, case) or (one.may_turn and posture.turn == 0.0)
    return _is_kept(posture, one.posture.with_turn(posture.turn) if free else one.posture)


def _is_kept(kept: Posture, wanted: Posture) -> bool:
    pairs = (
        (kept.turn, wanted.turn),
        (kept.backrest, wanted.backrest),
        (kept.knee_raise, wanted.knee_raise),
        (kept.head_up, wanted.head_up),
    )
    same = all(is_same(one, other) for one, other in pairs)
    return same and kept.place is wanted.place and wanted.supports <= kept.supports


def _usual_not_kept(case: Case, window: Window) -> Iterator[Reason]:
    """Loads must be those of the backrest the person really has outside prescriptions."""
    usual, knee = _usual_backrest(case), case.day.usual_knee_raise
    props = _usual_supports(case, window)
    for stay in window.cycle:
        posture = stay.posture
        if (
            is_same(posture.backrest, usual)
            and is_same(posture.knee_raise, knee)
            and is_same(posture.head_up, case.day.usual_head_up)
            and posture.supports == props
            and posture.place is Place.BED
        ):
            continue
        yield finding(
            "usual-posture-not-kept",
            f"The window {window.name} has another backrest, knee section, tilt of the bed or "
            "other supports than the person's usual day, or is spent out of bed though nobody "
            "prescribed it.",
            degrees_of("backrest", posture.backrest),
            degrees_of("usual backrest", usual),
        )


def _usual_supports(case: Case, window: Window) -> frozenset[Support] | None:
    """Props of the day or the night; None where a window reaches from one into the other."""
    day = case.day
    if day.night_supports is None or day.night_supports == day.usual_supports:
        return day.usual_supports
    asleep = window.span.overlap(day.sleep)
    if asleep > 1e-3 and window.span.duration - asleep > 1e-3:
        return None
    return day.night_supports if asleep > 1e-3 else day.usual_supports


def _usual_backrest(case: Case) -> float:
    edges = [case.bed.platform.largest_backrest]
    edges += [edge.value for edge in case.posture_limits.backrest]
    if case.person.greatest_backrest is not None:
        edges.append(case.person.greatest_backrest)
    return max(case.person.least_backrest or 0.0, min(case.day.usual_backrest, *edges))
