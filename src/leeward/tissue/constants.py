"""Numbers of the tissue model, each with where it came from; most are conventions."""

import math

from leeward.terms.sourced import Sourced
from leeward.terms.units import PASCAL_PER_MMHG, SECONDS_PER_HOUR, SECONDS_PER_MINUTE

_OURS = "convention of this project"
_NOBODY = "not applicable"
_LINARES = (
    "Linares, Mawson, Suarez 2012, J Basic Appl Sci 8:720, doi 10.6000/1927-5129.2012.08.02.64, "
    "Table 1, as quoted in a public note on test data"
)
_LINARES_PEOPLE = (
    "fit to a digitised curve of Reswick and Rogers 1976: 980 people, pressure at skin"
)
_LINDER_GANZ = (
    "Linder-Ganz et al 2006, J Biomech 39:2725, PMID 16199045; parameters as quoted in public "
    "code, in agreement with the abstract"
)
_RATS = "rat muscle under direct pressure"


def _human(value: float, unit: str) -> Sourced:
    return Sourced(value, unit, _LINARES, _LINARES_PEOPLE)


#: Amplitudes of the three exponentials of the human curve. [Pa]
HUMAN_AMPLITUDES: tuple[Sourced, ...] = tuple(
    _human(pressure_mmhg * PASCAL_PER_MMHG, "Pa") for pressure_mmhg in (650.0, 457.0, 77.0)
)

#: Rates of the three exponentials of the human curve. [1/s]
HUMAN_RATES: tuple[Sourced, ...] = tuple(
    _human(per_hour / SECONDS_PER_HOUR, "1/s") for per_hour in (1.1469, 0.4905, 0.1117)
)

#: Height of the step of the rat sigmoid. [Pa]
RAT_SPAN = Sourced(23e3, "Pa", _LINDER_GANZ, _RATS)
#: Steepness of the rat sigmoid. [1/s]
RAT_STEEPNESS = Sourced(0.15 / SECONDS_PER_MINUTE, "1/s", _LINDER_GANZ, _RATS)
#: Time at which the rat sigmoid is half way down. [s]
RAT_MIDDLE = Sourced(95.0 * SECONDS_PER_MINUTE, "s", _LINDER_GANZ, _RATS)
#: Pressure the rat sigmoid falls to. [Pa]
RAT_FLOOR = Sourced(8e3, "Pa", _LINDER_GANZ, _RATS)

#: Times between which the exponents of the two published curves are taken. [s]
EXPONENT_FROM = Sourced(
    3600.0, "s", _OURS + ": the hour in which the rat limit falls from 32 to 9 kPa", _NOBODY
)
EXPONENT_TO = Sourced(
    7200.0, "s", _OURS + ": the hour in which the rat limit falls from 32 to 9 kPa", _NOBODY
)

#: Time constant T of the allowance. [s]
TIME_CONSTANT = Sourced(
    7200.0,
    "s",
    _OURS + ": two hours, the same on both sides of every comparison",
    _NOBODY,
    low=3600.0,
    high=14400.0,
)
#: Recovery rho that goes on under load. [-]
LOADED_RECOVERY = Sourced(0.25, "-", _OURS, _NOBODY, low=0.1, high=0.5)
#: Recovery k0 that full relief adds: it alone clears 90 % in three quarters of T. [-]
RELIEF_RECOVERY = Sourced(
    math.log(10.0) / 0.75,
    "-",
    "ours, from AMA Arch Surg 1955;70:25: hyperaemia lasts half to three quarters of the arrest",
    "people, blood flow arrested for a few minutes; carried over to hours by convention",
    low=math.log(10.0) / 0.75,
    high=math.log(10.0) / 0.5,
)
#: Time for which recovery still goes by a heavier load before. [s]
LAG = Sourced(
    300.0,
    "s",
    _OURS + "; oxygen at the seat needs 0.7 to 3.5 min to return (Coggrave and Rose 2003, Spinal "
    "Cord 41:483, from memory)",
    "people with spinal cord injury, sitting",
    from_memory=True,
    low=120.0,
    high=600.0,
)
#: Load ratio below which the rate of use falls straight to zero. [-]
LINEAR_BELOW = Sourced(
    0.05, "-", _OURS + ": keeps the slope finite where a site barely touches", _NOBODY
)

#: Share of the common reference below which a site's own level load is not used. [-]
BLEND_FROM = Sourced(0.25, "-", _OURS, _NOBODY)
#: Width over which a site's own level load takes over from the common reference. [-]
BLEND_WIDTH = Sourced(0.5, "-", _OURS, _NOBODY)

#: Load ratio up to which a site counts as relieved. [-]
RELIEVED_AT = Sourced(0.9, "-", _OURS, _NOBODY)
#: Shortest relief that counts, beyond the lag. [s]
RELIEF_TIME = Sourced(1200.0, "s", _OURS, _NOBODY)

#: Peak allowance below which a regime has not tried a site. [-]
TRIED_FROM = Sourced(0.8, "-", _OURS, _NOBODY)
#: Tolerance theta, as a multiple of what a clear regime used; its ends are looked at, not believed.
#: [-]
TOLERANCE = Sourced(
    1.0,
    "-",
    _OURS + ": a fifth less, the share a failed regime leaves, or a quarter more",
    _NOBODY,
    low=0.8,
    high=1.25,
)
#: Share of a failed regime's peak allowance that may not be exceeded. [-]
FAILED_SHARE = Sourced(0.8, "-", _OURS, _NOBODY)

#: Load ratio under the sacrum when a hand passes. [-]
HAND_PASSES = Sourced(0.2, "-", _OURS, _NOBODY)
#: Load ratio under the sacrum when a hand passes only tightly. [-]
HAND_TIGHT = Sourced(0.6, "-", _OURS, _NOBODY)
#: Load ratio under the sacrum when no hand passes. [-]
HAND_DOES_NOT_PASS = Sourced(0.85, "-", _OURS, _NOBODY)

#: Competent looks that make a regime clear. [-]
LOOKS_NEEDED = Sourced(
    3.0, "-", _OURS + ": deep injury can show two to three days late (common practice)", _NOBODY
)
#: Time those looks must cover. [s]
LOOKS_SPAN = Sourced(
    72.0 * SECONDS_PER_HOUR,
    "s",
    _OURS + ": deep injury can show two to three days late (common practice)",
    _NOBODY,
)
#: Time after unloading from which redness that fades counts as lasting. [s]
LASTING_REDNESS = Sourced(
    30.0 * SECONDS_PER_MINUTE,
    "s",
    "bedside rule of thumb in nursing texts, from memory",
    "people in nursing care",
    from_memory=True,
)
