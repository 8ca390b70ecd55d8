"""A correction by a measured map: whether it still stands, and what is said of it."""

from dataclasses import replace
from datetime import datetime

from leeward.terms.case import Case
from leeward.terms.correction import MapCorrection
from leeward.terms.regime import EventKind
from leeward.terms.units import mm_from_metres
from leeward.terms.verdict import Quantity, Reason

#: Events after which a map says nothing of the present bed or body.
_CHANGES = (EventKind.NEW_MATTRESS, EventKind.NEW_LAYERS, EventKind.MASS_CHANGE)


def with_standing_correction(case: Case, now: datetime) -> Case:
    """Keep a case's correction only while it stands.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Aware time.

    Returns
    -------
    Case
        Without a correction that is dated later, or was made before the mattress, the layers or
        the person's mass changed.
    """
    return case if _stands(case, now) else replace(case, correction=None)


def correction_left_out(case: Case, now: datetime) -> tuple[Reason, ...]:
    """Say why a case's correction is not used.

    Parameters
    ----------
    case : Case
        The case as it was written.
    now : datetime
        Aware time.

    Returns
    -------
    tuple of Reason
        None where it stands, or the case names no correction.
    """
    correction = case.correction
    if correction is None or _stands(case, now):
        return ()
    return (
        Reason(
            "map-correction-left-out",
            f"The correction by the pressure map {correction.map_name} of "
            f"{correction.made_on:%Y-%m-%d} was left out: it is dated later than this, or "
            "mattress, layers or mass have changed since. Measure again, or take it out of the "
            "case.",
        ),
    )


def correction_reasons(case: Case, now: datetime) -> tuple[Reason, ...]:
    """Say that a corrected model was used, or why the correction was left out.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Aware time.

    Returns
    -------
    tuple of Reason
        None where the case names no correction.
    """
    if case.correction is None:
        return ()
    return correction_left_out(case, now) or (_used(case.correction),)


def correction_in_words(correction: MapCorrection | None) -> str | None:
    """Say by what and by whom a model was corrected.

    Parameters
    ----------
    correction : MapCorrection or None
        The correction.

    Returns
    -------
    str or None
        One sentence; None where nothing was corrected.
    """
    return None if correction is None else _used(correction).sentence


def _stands(case: Case, now: datetime) -> bool:
    correction = case.correction
    return correction is None or (
        correction.made_on <= now.date()
        and not any(
            event.kind in _CHANGES and event.when >= correction.made_on for event in case.events
        )
    )


def _used(correction: MapCorrection) -> Reason:
    changes = ", ".join(
        (
            f"mattress {_more(100.0 * (correction.mattress_hardness - 1.0))} %",
            f"pillow {_more(100.0 * (correction.pillow_hardness - 1.0))} % in hardness",
            f"buttock depth {_more(mm_from_metres(correction.buttock_depth_change))} mm",
            f"chest depth {_more(mm_from_metres(correction.chest_depth_change))} mm",
        )
    )
    return Reason(
        "map-correction-used",
        f"Model corrected by the pressure map {correction.map_name} ({changes}; explains "
        f"{100.0 * correction.explained:.0f} % of the differences), signed by {correction.by}, "
        f"{correction.made_on:%Y-%m-%d}.",
        (Quantity("explained", correction.explained, "-"),),
    )


def _more(value: float) -> str:
    """A change with its sign; none is 0."""
    return f"{round(value):+d}" if round(value) else "0"
