"""The conventions of the allowance one by one, each at its ends, in words for those who turn."""

from dataclasses import dataclass
from typing import Final

from leeward.terms.sourced import Sourced
from leeward.terms.units import min_from_seconds
from leeward.tissue import constants
from leeward.tissue.curves import human_curve, mean_exponent, rat_curve
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw


@dataclass(frozen=True, slots=True)
class LawEnd:
    """One convention at one end of what it may be.

    Parameters
    ----------
    code : str
        Its key.
    sentence : str
        What is taken to be otherwise, in words.
    law : AllowanceLaw
        The law with it.
    """

    code: str
    sentence: str
    law: AllowanceLaw


def _curves() -> tuple[LawEnd, ...]:
    hours = (constants.EXPONENT_FROM.value, constants.EXPONENT_TO.value)
    people, rats = (mean_exponent(curve, *hours) for curve in (human_curve, rat_curve))
    return (
        LawEnd(
            "curve-from-people",
            "Light loads count for less: the curve drawn from people holds for all loads",
            AllowanceLaw(lighter_exponent=people, heavier_exponent=people),
        ),
        LawEnd(
            "curve-from-rats",
            "Heavy loads count for less: the curve from rat muscle holds for all loads",
            AllowanceLaw(lighter_exponent=rats, heavier_exponent=rats),
        ),
    )


def _recoveries() -> tuple[LawEnd, ...]:
    time, rho = constants.TIME_CONSTANT, constants.LOADED_RECOVERY
    relief, lag = constants.RELIEF_RECOVERY, constants.LAG
    return (
        LawEnd(
            "quicker",
            f"Load and relief both act {_times(time, time.low)} as fast",
            AllowanceLaw(time_constant=_end(time, time.low)),
        ),
        LawEnd(
            "slower",
            f"Load and relief both act {_times(time, time.high)} as fast",
            AllowanceLaw(time_constant=_end(time, time.high)),
        ),
        LawEnd(
            "recovers-less-loaded",
            "Skin recovers less while it is loaded",
            AllowanceLaw(loaded_recovery=_end(rho, rho.low)),
        ),
        LawEnd(
            "recovers-more-loaded",
            "Skin recovers more while it is loaded",
            AllowanceLaw(loaded_recovery=_end(rho, rho.high)),
        ),
        LawEnd(
            "recovers-more-relieved",
            "Under relief skin recovers half as fast again",
            AllowanceLaw(relief_recovery=_end(relief, relief.high)),
        ),
        LawEnd(
            "recovery-begins-sooner",
            _later(lag, lag.low),
            AllowanceLaw(lag=_end(lag, lag.low)),
        ),
        LawEnd(
            "recovery-begins-later",
            _later(lag, lag.high),
            AllowanceLaw(lag=_end(lag, lag.high)),
        ),
    )


def _end(constant: Sourced, end: float | None) -> float:
    return constant.value if end is None else end


def _times(constant: Sourced, end: float | None) -> str:
    """How many times as fast: the time constant is a time."""
    ratio = constant.value / _end(constant, end)
    return {2.0: "twice", 0.5: "half"}.get(ratio, f"{ratio:.2g} times")


def _later(lag: Sourced, end: float | None) -> str:
    then, now = min_from_seconds(_end(lag, end)), min_from_seconds(lag.value)
    return f"Recovery begins {then:.0f} minutes after a load has gone, not {now:.0f}"


#: Every convention at its ends; the standard law is none of them.
LAW_ENDS: Final = tuple(end for end in (*_curves(), *_recoveries()) if end.law != STANDARD_LAW)
