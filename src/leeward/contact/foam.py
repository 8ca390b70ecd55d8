"""Foam under soft tissue: pressure against how deep the undeformed skin would dip."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

#: Depth between table nodes. [m]
TABLE_STEP = 2.5e-4
_TABLE_END = 0.35

PLATEAU = Sourced(
    2.8e3,
    "Pa",
    "convention of this project: gives CV40 3.9 kPa, inside the 2-6 kPa range of ISO 3386-1 "
    "practice for mattress foam",
    "polyurethane mattress foam",
    from_memory=True,
)
YIELD_STRAIN = Sourced(
    0.05, "-", "convention of this project", "polyurethane mattress foam", from_memory=True
)
SLOPE = Sourced(
    2.0e3, "Pa", "convention of this project", "polyurethane mattress foam", from_memory=True
)
DENSIFICATION = Sourced(
    0.8e3, "Pa", "convention of this project", "polyurethane mattress foam", from_memory=True
)


def foam_pressure(
    compression: Array | float,
    thickness: Array | float,
    plateau: Array | float = PLATEAU.value,
    yield_strain: Array | float = YIELD_STRAIN.value,
    slope: Array | float = SLOPE.value,
    densification: Array | float = DENSIFICATION.value,
) -> Array:
    r"""Pressure of a foam column against its compression.

    Parameters
    ----------
    compression : ndarray, shape (n,) or float
        Shortening of the column, at least 0 and below the thickness. [m]
    thickness : ndarray, shape (n,) or float
        Height of the unloaded column. [m]
    plateau : ndarray, shape (n,) or float
        Pressure at which cell walls buckle. [Pa]
    yield_strain : ndarray, shape (n,) or float
        Strain over which the plateau is reached. [-]
    slope : ndarray, shape (n,) or float
        Rise along the plateau. [Pa]
    densification : ndarray, shape (n,) or float
        Scale of the stiffening when cells close. [Pa]

    Returns
    -------
    ndarray, shape (n,)
        Pressure on the column. [Pa]

    Notes
    -----
    .. math:: p = s (1 - e^{-\epsilon/\epsilon_y}) + H \epsilon
              + D (\epsilon / (1 - \epsilon))^{2.5}, \quad \epsilon = c / t

    Relaxed loading only: no creep, no hysteresis, no lateral coupling. Above about 80 %
    compression the law stands for bottoming out and is not a measured curve.

    References
    ----------
    .. [1] ISO 3386-1 (compression stress at 40 %, CV40): the range the shape is scaled to,
       from memory. The shape itself is a convention of this project.

    Examples
    --------
    >>> float(foam_pressure(0.06, 0.15).round(-2))
    3900.0
    """
    strain = np.asarray(compression, dtype=float) / thickness
    buckling = plateau * -np.expm1(-strain / yield_strain)
    closing: Array = densification * (strain / (1.0 - strain)) ** 2.5
    return np.asarray(buckling + slope * strain + closing)


def tissue_pressure(
    compression: Array | float, thickness: Array | float, modulus: Array | float
) -> Array:
    r"""Pressure on a soft-tissue layer over bone against its compression.

    Parameters
    ----------
    compression : ndarray, shape (n,) or float
        Thinning of the layer, at least 0 and below the thickness. [m]
    thickness : ndarray, shape (n,) or float
        Unloaded thickness. [m]
    modulus : ndarray, shape (n,) or float
        Stiffness at small strain. [Pa]

    Returns
    -------
    ndarray, shape (n,)
        Pressure. [Pa]

    Notes
    -----
    .. math:: p = E \epsilon / (1 - \epsilon)^2, \quad \epsilon = c / h

    Stiffens without bound as the layer thins out. The shape is a convention of this project.

    References
    ----------
    .. [1] Convention of this project; thicknesses and moduli are guesses (from memory)
       within published ranges.

    Examples
    --------
    >>> float(tissue_pressure(0.004, 0.012, 40e3).round(0))
    30000.0
    """
    strain = np.asarray(compression, dtype=float) / thickness
    return np.asarray(modulus * strain / (1.0 - strain) ** 2)


@dataclass(frozen=True, slots=True)
class Cushion:
    """A foam column as the body meets it: a mattress, or a pillow on a mattress.

    Parameters
    ----------
    thickness : float
        Height unloaded. [m]
    scale : float
        Hardness as a multiple of the reference foam (CV40 3.9 kPa). [-]
    curve : tuple of (float, float)
        Measured (indentation [m], pressure [Pa]) that replaces the foam law; or empty.
    """

    thickness: float
    scale: float
    curve: tuple[tuple[float, float], ...] = ()


def _foam_curve(cushion: Cushion, pressure: Array) -> Array:
    """Compression of a cushion at each pressure."""
    if cushion.curve:
        depth, load = np.array(((0.0, 0.0), *cushion.curve), dtype=float).T
        steep = 20.0 * load[-1] / depth[-1]
        beyond = np.maximum(pressure - load[-1] * cushion.scale, 0.0) / (steep * cushion.scale)
        return np.asarray(np.interp(pressure, load * cushion.scale, depth) + beyond)
    strain = np.concatenate([np.linspace(0.0, 0.3, 2000), np.linspace(0.3, 0.97, 2001)[1:]])
    law = cushion.scale * foam_pressure(strain, 1.0)
    return np.asarray(cushion.thickness * np.interp(pressure, law, strain))


def _tissue_strain(pressure: Array, modulus: float) -> Array:
    """Strain of the tissue at each pressure: the smaller root of p (1 - e)^2 = E e."""
    half = 1.0 + 0.5 * modulus / np.maximum(pressure, 1e-9)
    # the smaller root, in the form that does not cancel at small pressure
    return np.where(pressure > 0.0, 1.0 / (half + np.sqrt(half**2 - 1.0)), 0.0)


def series_table(
    cushions: tuple[Cushion, ...], tissue_thickness: float, tissue_modulus: float
) -> Array:
    """Tabulate pressure against depth for cushions and tissue pressed in series.

    Parameters
    ----------
    cushions : tuple of Cushion
        What lies under the skin; their compressions add up. [-]
    tissue_thickness : float
        Soft tissue over bone. [m]
    tissue_modulus : float
        Its stiffness at small strain. [Pa]

    Returns
    -------
    ndarray, shape (cells, 4)
        Cubic coefficients of pressure in each cell's fraction, lowest power first; the
        pressure and its slope are continuous over all cells. [Pa]
    """
    reach = sum(cushion.thickness for cushion in cushions) + tissue_thickness
    end = min(_TABLE_END, 0.93 * reach)
    low = np.linspace(0.0, 1.0, 6001) ** 2
    pressure = np.concatenate([low * 5e3, np.geomspace(5e3, 5e6, 6000)[1:]])
    depth = tissue_thickness * _tissue_strain(pressure, tissue_modulus)
    for cushion in cushions:
        depth = depth + _foam_curve(cushion, pressure)
    # np.interp wants strictly rising abscissae: drop the flat end of a bottomed column
    rising = np.concatenate([[True], np.diff(np.maximum.accumulate(depth)) > 1e-12])
    nodes = np.arange(0.0, _TABLE_END + TABLE_STEP / 2, TABLE_STEP)
    inside = np.minimum(nodes, end)
    value = np.interp(inside, depth[rising], pressure[rising])
    last_slope = (value[inside < end][-1] - value[inside < end][-2]) / TABLE_STEP
    value = value + (nodes - inside) * max(float(last_slope), 1e3)
    slope = np.gradient(value, TABLE_STEP, edge_order=2) * TABLE_STEP
    left, right, enter, leave = value[:-1], value[1:], slope[:-1], slope[1:]
    return np.stack(
        [
            left,
            enter,
            3.0 * (right - left) - 2.0 * enter - leave,
            2.0 * (left - right) + enter + leave,
        ],
        axis=-1,
    )


def pressure_at_depth(table: Array, row: NDArray[np.intp], depth: Array) -> tuple[Array, Array]:
    """Look up pressure and its slope in stacked tables.

    Parameters
    ----------
    table : ndarray, shape (t, cells, 4)
        Tables made by `series_table`. [Pa]
    row : ndarray of int, shape (n,)
        Which table each depth belongs to. [-]
    depth : ndarray, shape (n,)
        Depth of the undeformed skin below the unloaded surface, at least 0. [m]

    Returns
    -------
    pressure : ndarray, shape (n,)
        Pressure. [Pa]
    stiffness : ndarray, shape (n,)
        Its slope in depth. [Pa/m]
    """
    cells = table.shape[1]
    position = depth / TABLE_STEP
    cell = np.minimum(position.astype(np.intp), cells - 1)
    fraction = position - cell
    c = table.reshape(-1, 4).take(row * cells + cell, axis=0)
    c0, c1, c2, c3 = c[:, 0], c[:, 1], c[:, 2], c[:, 3]
    beyond = np.maximum(fraction - 1.0, 0.0)
    fraction = fraction - beyond
    slope = c1 + fraction * (2.0 * c2 + 3.0 * c3 * fraction)
    pressure = c0 + fraction * (c1 + fraction * (c2 + fraction * c3)) + beyond * slope
    return pressure, slope / TABLE_STEP
