"""For whom the tables are made: the edges of the adult body, each with its source."""

from dataclasses import dataclass

from leeward.terms.body import Body
from leeward.terms.limits import Limit
from leeward.terms.units import cm_from_metres
from leeward.terms.verdict import Quantity, Reason

_ADULT_BED = "IEC 60601-2-52:2009/A1:2015, 201.3.219, as reported by a regulator"

#: Smallest age of the tables. [year]
LEAST_AGE = Limit(18.0, "year", "anthropometric tables of adults; convention of this project")
#: Smallest stature of an adult by the bed standard. [m]
LEAST_STATURE = Limit(1.46, "m", _ADULT_BED)
#: Smallest mass of an adult by the bed standard. [kg]
LEAST_MASS = Limit(40.0, "kg", _ADULT_BED)
#: Smallest body mass index of an adult by the bed standard. [kg/m^2]
LEAST_BODY_MASS_INDEX = Limit(17.0, "kg/m^2", _ADULT_BED)


@dataclass(frozen=True, slots=True)
class _Edge:
    name: str
    limit: Limit
    value: float
    shown: float
    shown_limit: float
    unit: str
    decimals: int = 6


def outside_the_tables(body: Body) -> tuple[Reason, ...]:
    """Name every edge of the adult tables that a body lies beyond.

    Parameters
    ----------
    body : Body
        The body as measured.

    Returns
    -------
    tuple of Reason
        One for each edge; empty when the body lies inside all of them. An age that nobody
        recorded is named too: what is not known cannot be inside.

    Notes
    -----
    The edges themselves belong to the adult: 146.0 cm, 40.0 kg and 17.0 kg/m^2 pass.

    References
    ----------
    .. [1] IEC 60601-2-52:2009/A1:2015, 201.3.219, definition of the adult.
    """
    index = round(body.body_mass_index, 9)  # 43.52 kg at 1.60 m is 17, whatever the last bit
    edges = [
        _Edge("stature", LEAST_STATURE, body.stature, cm_from_metres(body.stature), 146.0, "cm"),
        _Edge("mass", LEAST_MASS, body.mass, body.mass, 40.0, "kg"),
        _Edge("body mass index", LEAST_BODY_MASS_INDEX, index, index, 17.0, "kg/m²", 1),
    ]
    reasons = [] if body.age is not None else [_age_unknown()]
    if body.age is not None:
        edges.insert(0, _Edge("age", LEAST_AGE, body.age, body.age, 18.0, "years"))
    reasons.extend(_beyond(edge) for edge in edges if not edge.value >= edge.limit.value)
    return tuple(reasons)


def _beyond(edge: _Edge) -> Reason:
    shown = _below(edge.shown, edge.shown_limit, edge.decimals)
    return Reason(
        "outside-the-tables",
        f"leeward is not made for this person: {edge.name} {shown:.12g} {edge.unit} "
        f"lies below {edge.shown_limit:g} {edge.unit}, where its tables begin; a named "
        "specialist must continue.",
        (
            Quantity(edge.name, shown, edge.unit),
            Quantity(f"least {edge.name}", edge.shown_limit, edge.unit),
        ),
    )


def _below(value: float, limit: float, decimals: int) -> float:
    """A value with as many decimals as are told, or more where only they show it is below."""
    for places in range(decimals, 12):
        shown = round(value, places)
        if shown < limit:
            return shown
    return value


def _age_unknown() -> Reason:
    return Reason(
        "age-not-recorded",
        "The age is not recorded: the tables are of adults from 18 years, so say how old the "
        "person is, or a named specialist must continue.",
        (Quantity("least age", LEAST_AGE.value, "years"),),
    )
