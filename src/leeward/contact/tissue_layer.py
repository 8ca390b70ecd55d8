"""Soft tissue between skin and bone, by region of the skin."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.terms.sourced import Sourced

_GUESS = "convention of this project: a guess within the ranges of general anatomy"
_WHO = "lean to average adults; individual values differ by a factor of two and more"


@dataclass(frozen=True, slots=True)
class TissueLayer:
    """A region's soft tissue.

    Parameters
    ----------
    region : str
        Region of the skin.
    thickness : Sourced
        Unloaded thickness. [m]
    modulus : Sourced
        Stiffness at small strain. [Pa]
    """

    region: str
    thickness: Sourced
    modulus: Sourced


def _layer(region: str, thickness: float, modulus: float) -> TissueLayer:
    return TissueLayer(
        region,
        Sourced(thickness, "m", _GUESS, _WHO, True, 0.7 * thickness, 1.3 * thickness),
        Sourced(modulus, "Pa", _GUESS, _WHO, True, 0.7 * modulus, 1.3 * modulus),
    )


#: One layer per region; skin points and site patches refer to it by position.
TISSUE_LAYERS: Final = (
    _layer("head", 0.006, 60e3),
    _layer("thorax", 0.020, 30e3),
    _layer("abdomen", 0.040, 20e3),
    _layer("sacrum", 0.012, 40e3),
    _layer("buttock", 0.030, 25e3),
    _layer("trochanter", 0.020, 30e3),
    _layer("thigh", 0.050, 20e3),
    _layer("calf", 0.040, 20e3),
    _layer("shin", 0.010, 40e3),
    _layer("heel", 0.012, 40e3),
    _layer("upper arm", 0.020, 30e3),
    _layer("forearm", 0.010, 40e3),
)
TISSUE_INDEX: Final = {layer.region: number for number, layer in enumerate(TISSUE_LAYERS)}

_WHOLE_SEGMENT: Final = {
    "head": "head",
    "thorax": "thorax",
    "abdomen": "abdomen",
    "thigh": "thigh",
    "foot": "heel",
    "upper arm": "upper arm",
    "forearm": "forearm",
}


def tissue_of_skin(kind: str, scaled: NDArray[np.float64]) -> NDArray[np.intp]:
    """Which tissue layer lies under each point of a segment's skin.

    Parameters
    ----------
    kind : str
        Segment without its side. [-]
    scaled : ndarray, shape (n, 3)
        Points over the segment's half-lengths, the first counted outwards on a limb. [-]

    Returns
    -------
    ndarray of int, shape (n,)
        Positions in `TISSUE_LAYERS`. [-]
    """
    if kind == "pelvis":
        outwards = np.abs(scaled[:, 0])
        region = np.full(len(scaled), TISSUE_INDEX["buttock"])
        region[outwards > 0.8] = TISSUE_INDEX["trochanter"]
        region[(outwards < 0.22) & (scaled[:, 1] > -0.4)] = TISSUE_INDEX["sacrum"]
        return region
    if kind == "shank":
        is_calf = (scaled[:, 2] < 0.0) & (np.abs(scaled[:, 1]) < 0.7)
        return np.where(is_calf, TISSUE_INDEX["calf"], TISSUE_INDEX["shin"])
    return np.full(len(scaled), TISSUE_INDEX[_WHOLE_SEGMENT[kind]])
