"""From patch loads to load ratios: what each site bears beside what it bears lying level."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.site import REFERENCE_SITES, Site
from leeward.tissue import constants


def common_reference(level_patch_load: ArrayLike, sites: Sequence[Site]) -> NDArray[np.float64]:
    """Mean level load p0 of the sites that bear a person lying flat.

    Parameters
    ----------
    level_patch_load : array_like, shape (..., s)
        Patch loads lying flat and level; NaN where unknown. [Pa]
    sites : sequence of Site, length s
        The sites, in order of the last axis.

    Returns
    -------
    ndarray, shape (...)
        Mean over sacrum, buttocks and scapulae, of those that are known; NaN where none
        is. [Pa]
    """
    load = np.asarray(level_patch_load, dtype=float)
    columns = [number for number, site in enumerate(sites) if site in REFERENCE_SITES]
    known = np.isfinite(load[..., columns])
    count = known.sum(axis=-1)
    total = np.where(known, load[..., columns], 0.0).sum(axis=-1)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def reference_load(own: ArrayLike, common: ArrayLike) -> NDArray[np.float64]:
    r"""Load p_ref that a site's load is measured against.

    Parameters
    ----------
    own : array_like, shape (n,)
        Patch load of the site itself, lying flat and level. [Pa]
    common : array_like, shape (n,) or scalar
        Mean level load p_0 of the sites that bear a person lying flat. [Pa]

    Returns
    -------
    ndarray, shape (n,)
        Reference load; NaN where either is unknown. [Pa]

    Notes
    -----
    .. math::
        p_{ref} = w\,p_{own} + (1 - w)\,p_0, \qquad
        w = \mathrm{clip}\left(\frac{p_{own}/p_0 - 0.25}{0.5},\ 0,\ 1\right)

    A site hardly loaded at level, such as a trochanter, is measured against p_0; one that
    bears three quarters of p_0 or more against itself; between, without a jump.

    References
    ----------
    .. [1] Convention of this project: docs/explanation/tissue.md.

    Examples
    --------
    >>> [float(p) for p in reference_load([0.0, 2000.0, 6000.0], 4000.0)]
    [4000.0, 3000.0, 6000.0]
    """
    own = np.asarray(own, dtype=float)
    common = np.asarray(common, dtype=float)
    share = (own / common - constants.BLEND_FROM.value) / constants.BLEND_WIDTH.value
    weight = np.clip(share, 0.0, 1.0)
    return np.asarray(weight * own + (1.0 - weight) * common)


def load_ratios(
    patch_load: ArrayLike, level_patch_load: ArrayLike, sites: Sequence[Site]
) -> NDArray[np.float64]:
    """Load ratio q of every site at every posture in every draw.

    Parameters
    ----------
    patch_load : array_like, shape (d, p, s)
        Patch loads at p postures in d draws; NaN where unknown. [Pa]
    level_patch_load : array_like, shape (d, s)
        Patch loads lying flat and level on the mattress and layers of the regime compared,
        in the same draws. [Pa]
    sites : sequence of Site, length s
        The sites, in order of the last axis.

    Returns
    -------
    ndarray, shape (d, p, s)
        Load ratios; NaN wherever the load or its reference is unknown. [-]

    Raises
    ------
    InvalidInput
        If the shapes disagree, a load is negative or infinite, or the common reference
        is zero: nothing can be measured against a body that bears on nothing.

    Examples
    --------
    >>> sites = (Site.SACRUM, Site.LEFT_TROCHANTER)
    >>> load_ratios([[[1000.0, 3000.0]]], [[4000.0, 0.0]], sites).tolist()
    [[[0.25, 0.75]]]
    """
    load = np.asarray(patch_load, dtype=float)
    level = np.asarray(level_patch_load, dtype=float)
    _check_loads(load, level, sites)
    common = common_reference(level, sites)
    if bool(np.any(common <= 0.0)):
        raise InvalidInput(
            "a mean level load of 0 Pa over sacrum, buttocks and scapulae",
            where="level patch load",
            expected="a body lying flat that bears on at least one of them [Pa]",
            remedy="compute the flat level posture on the regime's mattress first",
        )
    return np.asarray(load / reference_load(level, common[:, np.newaxis])[:, np.newaxis, :])


def _check_loads(
    load: NDArray[np.float64], level: NDArray[np.float64], sites: Sequence[Site]
) -> None:
    fits = load.ndim == 3 and level.shape == (load.shape[0], len(sites))
    if not fits or load.shape[2] != len(sites):
        raise InvalidInput(
            f"patch loads of shape {load.shape} and level loads of shape {level.shape}",
            where="load ratios",
            expected=f"shapes (draws, postures, {len(sites)}) and (draws, {len(sites)})",
            remedy="give one column per site and the same draws to both",
        )
    for name, values in (("patch load", load), ("level patch load", level)):
        if bool(np.any(values < 0.0)) or bool(np.any(np.isinf(values))):
            raise InvalidInput(
                "a load below zero or without end",
                where=name,
                expected="loads of 0 Pa or more, NaN where unknown [Pa]",
                remedy="find out which solve went wrong",
            )
