"""Every number a trace rests on, by the name under which the trace uses it."""

from dataclasses import dataclass

from leeward.terms.sourced import Sourced
from leeward.tissue import constants
from leeward.tissue.curves import EXPONENT_HEAVIER, EXPONENT_LIGHTER


@dataclass(frozen=True, slots=True)
class NamedConstant:
    """A constant and what it is called.

    Parameters
    ----------
    name : str
        What it is, in words.
    constant : Sourced
        Value, unit, source and population.
    """

    name: str
    constant: Sourced


#: The exponents are computed from the two curves; who was measured goes with them.
_LIGHTER = Sourced(
    EXPONENT_LIGHTER,
    "-",
    f"mean slope between 1 and 2 h, to one decimal: {constants.RAT_SPAN.source}",
    constants.RAT_SPAN.population,
)
_HEAVIER = Sourced(
    EXPONENT_HEAVIER,
    "-",
    f"mean slope between 1 and 2 h, to one decimal: {constants.HUMAN_RATES[0].source}",
    constants.HUMAN_RATES[0].population,
)

_CONSTANTS = (
    ("time constant T", constants.TIME_CONSTANT),
    ("recovery under load, rho", constants.LOADED_RECOVERY),
    ("recovery that full relief adds, k0", constants.RELIEF_RECOVERY),
    ("exponent of use below a load ratio of 1", _LIGHTER),
    ("exponent of use from a load ratio of 1 on", _HEAVIER),
    ("load ratio below which use falls straight to zero", constants.LINEAR_BELOW),
    ("lag after a step down", constants.LAG),
    ("load ratio up to which a site counts as relieved", constants.RELIEVED_AT),
    ("shortest relief that counts, beyond the lag", constants.RELIEF_TIME),
    ("peak allowance from which a regime has tried a site", constants.TRIED_FROM),
    ("share of a failed regime's peak that may be reached", constants.FAILED_SHARE),
    ("share of the common reference from which a site's own level load counts",
     constants.BLEND_FROM),
    ("width over which it takes over", constants.BLEND_WIDTH),
    ("load ratio under the sacrum when a hand passes", constants.HAND_PASSES),
    ("load ratio under the sacrum when a hand passes tightly", constants.HAND_TIGHT),
    ("load ratio under the sacrum when no hand passes", constants.HAND_DOES_NOT_PASS),
)  # fmt: skip


def constants_of_trace() -> tuple[NamedConstant, ...]:
    """List the constants between a load and an index.

    Returns
    -------
    tuple of NamedConstant
        In the order in which a reader meets them.
    """
    return tuple(NamedConstant(name, constant) for name, constant in _CONSTANTS)
