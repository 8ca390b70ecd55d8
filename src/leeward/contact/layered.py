"""What a mattress is made of: foams in series, hardness from data sheets, softening in use."""

from dataclasses import dataclass, replace
from typing import Final

from leeward.contact.foam import Cushion, foam_pressure
from leeward.terms.bed import Bed, Foam, Layer, LayerKind, Mattress, MattressKind
from leeward.terms.errors import CannotCompute
from leeward.terms.sourced import Sourced

MATTRESS_THICKNESS: Final = Sourced(
    0.15,
    "m",
    "standards practice for hospital cores",
    "120-150 mm foam",
    from_memory=True,
    low=0.12,
    high=0.15,
)
#: Reference foam of `leeward.contact.foam`: its compression stress at 40 %. [Pa]
REFERENCE_CV40: Final = Sourced(
    3.9e3,
    "Pa",
    "ISO 3386-1 practice for mattress foam (2-6 kPa), middle of the range",
    "polyurethane mattress foam",
    from_memory=True,
    low=2.5e3,
    high=6.0e3,
)
#: Plate of the indentation test, 203 mm across.
INDENTER_AREA: Final = Sourced(
    0.0323, "m^2", "ASTM D3574, test B1, as reported: 323 cm^2, 8 inches across", "not applicable"
)
#: The plate also pulls down the foam around it: its mean pressure over the compression stress.
INDENTATION_OVER_COMPRESSION: Final = Sourced(
    1.3,
    "-",
    "data sheets that give both (35 to 48 N for each kPa)",
    "polyurethane foams 100 mm thick",
    from_memory=True,
    low=1.1,
    high=1.5,
)
#: Softening by a year of use, of dense foam and of any other.
#: Loss of hardness is capped, as worn foam is changed before.
_LABORATORY: Final = (
    "convention of this project: 80 000 poundings (ISO 3385) take 10 to 40 % of the hardness "
    "(from memory) and are said by foam makers to stand for about fifteen years under 70 kg"
)
SOFTENING_DENSE: Final = Sourced(
    0.012, "1/year", _LABORATORY, "foam of 40 kg/m^3 and more", True, 0.005, 0.02
)
SOFTENING: Final = Sourced(
    0.02, "1/year", _LABORATORY, "foam of lower or unknown density", True, 0.005, 0.04
)
DENSE_FOAM: Final = Sourced(40.0, "kg/m^3", "common practice, no source", "mattress foam")
LARGEST_SOFTENING: Final = Sourced(0.5, "-", "convention of this project", "not applicable")
#: Nobody said how old a foam is: it may be new, and it may be as worn as this many years make it.
UNKNOWN_YEARS: Final = Sourced(
    10.0,
    "year",
    "convention of this project: an old mattress that is still lain on",
    "foam mattresses in use; not measured",
)

#: A head pillow soft enough to let the neck rest and the head bear its own weight.
HEAD_PILLOW: Final = Cushion(0.10, 0.4)
CALF_PILLOW: Final = Cushion(0.12, 0.5)

#: How far a described foam or a measured curve may still be off.
#: Source: convention of this project.
_DESCRIBED_SPREAD: Final = 0.15


@dataclass(frozen=True, slots=True)
class Hardness:
    """Hardness over the reference foam's, with its ends.

    Parameters
    ----------
    low, middle, high : float
        Multiples of the reference foam. [-]
    """

    low: float
    middle: float
    high: float


def compression_stress(foam: Foam | Mattress) -> float | None:
    r"""Compression stress at 40 % from whatever hardness the data sheet gives.

    Parameters
    ----------
    foam : Foam or Mattress
        The foam.

    Returns
    -------
    float or None
        Stress; None where no hardness is given. [Pa]

    Notes
    -----
    From the force of the indentation test, with A the plate's area, k its mean pressure over
    the compression stress, and the share of the pressure at 25 % from the foam law:

    .. math:: \sigma_{40} = F_{40} / (A k)
              = F_{25} / (A k) \cdot p(0.40) / p(0.25)

    Valid for test pieces of about 100 mm; the band of k is in `hardness`.

    References
    ----------
    .. [1] ISO 2439:2008, methods A and B (names of the methods seen; text from memory).
    .. [2] ASTM D3574: plate of 323 cm^2.

    Examples
    --------
    >>> round(compression_stress(Foam(0.1, indentation40=150.0)))
    3572
    """
    if foam.cv40 is not None:
        return foam.cv40
    per_force = 1.0 / (INDENTER_AREA.value * INDENTATION_OVER_COMPRESSION.value)
    if foam.indentation40 is not None:
        return foam.indentation40 * per_force
    if foam.indentation25 is not None:
        shallower = float(foam_pressure(0.25, 1.0) / foam_pressure(0.40, 1.0))
        return foam.indentation25 * per_force / shallower
    return None


def hardness(foam: Foam | Mattress) -> Hardness:
    """Hardness of one foam when new, over the reference foam's.

    Parameters
    ----------
    foam : Foam or Mattress
        The foam.

    Returns
    -------
    Hardness
        15 % either way of a compression stress; wider from an indentation test; all that
        mattress foams have where nobody gave one.
    """
    stress = compression_stress(foam)
    reference = REFERENCE_CV40.value
    if stress is None:
        low, high = REFERENCE_CV40.low or reference, REFERENCE_CV40.high or reference
        return Hardness(low / reference, 1.0, high / reference)
    middle, spread = stress / reference, _DESCRIBED_SPREAD
    low, high = middle * (1.0 - spread), middle * (1.0 + spread)
    if foam.cv40 is None:
        factor = INDENTATION_OVER_COMPRESSION
        low *= factor.value / (factor.high or factor.value)
        high *= factor.value / (factor.low or factor.value)
    return Hardness(low, middle, high)


def kept_in_use(density: float | None, years: float | None) -> Hardness:
    """Share of a foam's hardness that is left after years of use.

    Parameters
    ----------
    density : float or None
        Its density. [kg/m^3]
    years : float or None
        Years it has been lain on; None where nobody said. [year]

    Returns
    -------
    Hardness
        Shares. [-]

    Notes
    -----
    Without years the likeliest and the high end are a new foam's, and the low end is what
    `UNKNOWN_YEARS` leave at the middle rate: a question left open widens the band and
    moves nothing else.

    References
    ----------
    .. [1] ISO 3385, fatigue by constant-load pounding; rates by convention of this project.

    Examples
    --------
    >>> kept_in_use(50.0, 5.0)
    Hardness(low=0.9, middle=0.94, high=0.975)
    >>> kept_in_use(50.0, None)
    Hardness(low=0.88, middle=1.0, high=1.0)
    """
    dense = density is not None and density >= DENSE_FOAM.value
    rate = SOFTENING_DENSE if dense else SOFTENING
    if years is None:
        return Hardness(_left(rate.value, UNKNOWN_YEARS.value), 1.0, 1.0)
    least, most = rate.low or 0.0, rate.high or rate.value
    return Hardness(_left(most, years), _left(rate.value, years), _left(least, years))


def _left(rate: float, years: float) -> float:
    """Share of its hardness that a foam keeps when it softens at a rate for years."""
    return 1.0 - min(rate * years, LARGEST_SOFTENING.value)


def _own_hardness(mattress: Mattress) -> list[Hardness]:
    """Hardness of every foam as it is now."""
    found = []
    for foam in mattress.foams or (mattress,):
        new, kept = hardness(foam), kept_in_use(foam.density, mattress.years_in_use)
        found.append(Hardness(new.low * kept.low, new.middle * kept.middle, new.high * kept.high))
    return found


def mattress_hardness(mattress: Mattress) -> Hardness:
    """Hardness of a mattress: over the reference foam's, or over its own where it is layered.

    Parameters
    ----------
    mattress : Mattress
        The mattress.

    Returns
    -------
    Hardness
        What a scenario's foam scale is drawn from. Foams of one mattress are drawn together,
        over the widest range any of them has. A measured curve is that of the mattress as it
        is: use takes nothing off.

    Raises
    ------
    CannotCompute
        For a mattress that is not foam and has no measured curve.
    """
    if mattress.curve:
        return Hardness(1.0 - _DESCRIBED_SPREAD, 1.0, 1.0 + _DESCRIBED_SPREAD)
    if mattress.kind not in (MattressKind.FOAM, MattressKind.UNDESCRIBED):
        raise CannotCompute(
            f"a mattress of {mattress.kind.value} has no measured curve of pressure "
            "against indentation",
            where="bed.mattress.curve",
            expected="measured points (indentation, pressure) for anything but foam",
            remedy="measure the curve at the pressure in use, or plan without loads",
        )
    own = _own_hardness(mattress)
    if not mattress.foams:
        return own[0]
    return Hardness(
        min(one.low / one.middle for one in own), 1.0, max(one.high / one.middle for one in own)
    )


def mattress_cushions(bed: Bed, scale: float) -> tuple[Cushion, ...]:
    """What the body presses together: the mattress' foams, then soft layers on it.

    Parameters
    ----------
    bed : Bed
        The bed. [-]
    scale : float
        A scenario's foam scale, from `mattress_hardness`. [-]

    Returns
    -------
    tuple of Cushion
        Mattress first. In series their order does not matter to the pressure.
    """
    cushions = _of_mattress(bed.mattress, scale)
    drawn = scale / mattress_hardness(bed.mattress).middle
    for layer in bed.layers or ():
        if _is_pressed(layer) and layer.thickness:
            own = cushions[0].scale
            if layer.cv40 is not None:
                own = drawn * layer.cv40 / REFERENCE_CV40.value
            cushions.append(Cushion(layer.thickness, own))
    return tuple(cushions)


def _of_mattress(mattress: Mattress, scale: float) -> list[Cushion]:
    if mattress.foams:
        return [
            Cushion(foam.thickness, scale * own.middle)
            for foam, own in zip(mattress.foams, _own_hardness(mattress), strict=True)
        ]
    thickness = MATTRESS_THICKNESS.value if mattress.thickness is None else mattress.thickness
    return [Cushion(thickness, scale, mattress.curve)]


def _is_pressed(layer: Layer) -> bool:
    """Whether a layer gives way under the body by itself."""
    return layer.kind in (LayerKind.OVERLAY, LayerKind.SHEEPSKIN) or layer.cv40 is not None


def head_pillow(bed: Bed) -> Cushion:
    """The pillow under the head.

    Parameters
    ----------
    bed : Bed
        Its pillows. [-]

    Returns
    -------
    Cushion
        As thick as measured, else usual.
    """
    return _sized(HEAD_PILLOW, bed.pillows.head)


def calf_pillow(bed: Bed) -> Cushion:
    """The pillow under the calves, in postures that have one.

    Parameters
    ----------
    bed : Bed
        Its pillows. [-]

    Returns
    -------
    Cushion
        As thick as measured, else usual.
    """
    return _sized(CALF_PILLOW, bed.pillows.calves)


def _sized(usual: Cushion, thickness: float | None) -> Cushion:
    return usual if thickness is None else replace(usual, thickness=thickness)
