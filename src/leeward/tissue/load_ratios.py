"""Load ratios of one person at a list of postures, over shared draws."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.site import Site


@dataclass(frozen=True, slots=True, eq=False)
class LoadRatios:
    """Load ratio q of every site at every listed posture in every draw.

    Parameters
    ----------
    postures : tuple of Posture, length p
        The postures known.
    sites : tuple of Site, length s
        The sites, in order of the last axis.
    ratio : ndarray, shape (d, p, s)
        Load ratio; draw 0 holds the central values; NaN where unknown. [-]
    is_stable : ndarray of bool, shape (d, p)
        Whether the posture is a place to lie in that draw.
    """

    postures: tuple[Posture, ...]
    sites: tuple[Site, ...]
    ratio: NDArray[np.float64]
    is_stable: NDArray[np.bool_]

    def __post_init__(self) -> None:
        draws = self.ratio.shape[0]
        expected = (draws, len(self.postures), len(self.sites))
        if self.ratio.shape != expected or self.is_stable.shape != expected[:2]:
            raise InvalidInput(
                f"arrays of shape {self.ratio.shape} and {self.is_stable.shape}",
                where="load ratios",
                expected=f"{expected} and {expected[:2]}",
                remedy="give one row per posture and one column per site",
            )

    def position(self, posture: Posture) -> int:
        """Find a posture's place on the second axis.

        Parameters
        ----------
        posture : Posture
            A listed posture.

        Returns
        -------
        int
            Its position. [-]

        Raises
        ------
        InvalidInput
            If its loads were never computed.
        """
        try:
            return self.postures.index(posture)
        except ValueError:
            raise InvalidInput(
                f"no load was computed for {posture}",
                where="load ratios",
                expected="one of the postures listed",
                remedy="compute its load first",
            ) from None

    def part(self, postures: tuple[Posture, ...]) -> "LoadRatios":
        """Pick some of the postures.

        Parameters
        ----------
        postures : tuple of Posture
            Listed postures.

        Returns
        -------
        LoadRatios
            Theirs, in that order.
        """
        rows = [self.position(one) for one in postures]
        return replace(
            self, postures=postures, ratio=self.ratio[:, rows], is_stable=self.is_stable[:, rows]
        )

    def first_draws(self, count: int) -> "LoadRatios":
        """Keep the first draws only.

        Parameters
        ----------
        count : int
            How many; 1 keeps the central one. [-]

        Returns
        -------
        LoadRatios
            The same postures and sites.
        """
        return replace(self, ratio=self.ratio[:count], is_stable=self.is_stable[:count])

    def beside(self, other: "LoadRatios") -> "LoadRatios":
        """Put the postures of another beside one's own.

        Parameters
        ----------
        other : LoadRatios
            Of the same draws and sites, and of none of the same postures.

        Returns
        -------
        LoadRatios
            One's own postures first.
        """
        return LoadRatios(
            (*self.postures, *other.postures),
            self.sites,
            np.concatenate((self.ratio, other.ratio), axis=1),
            np.concatenate((self.is_stable, other.is_stable), axis=1),
        )
