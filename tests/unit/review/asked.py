"""What each site is asked to bear, invented: turns take load off the middle."""

from dataclasses import dataclass

import numpy as np

from leeward.terms.bed import Mattress
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import Site
from leeward.tissue.demand import LEVEL, RegimeDemand
from leeward.tissue.load_ratios import LoadRatios

SITES = (Site.SACRUM, Site.LEFT_SCAPULA, Site.LEFT_EAR)
DRAWS = np.array([1.0, 0.95, 1.05])

#: Settings of the backrest that were solved. [rad]
SOLVED = (0.0, 0.5)


def ratios_at(postures: tuple[Posture, ...]) -> np.ndarray:
    """A ratio for each draw, posture and site; none for the ear, nor where nothing was solved."""
    turn = np.array([posture.turn for posture in postures])
    back = np.array([posture.backrest for posture in postures])
    unknown = np.full(turn.shape, np.nan)
    central = np.stack([1.0 - 2.0 * np.abs(turn) + back, 0.9 + turn, unknown], axis=-1)
    known = [p.place is Place.BED and p.backrest in SOLVED for p in postures]
    central[~np.array(known)] = np.nan
    return DRAWS[:, np.newaxis, np.newaxis] * np.maximum(central, 0.0)


@dataclass(frozen=True)
class Asked:
    """Stands where solved loads would: the same questions, invented answers."""

    compared: RegimeDemand
    ratios: LoadRatios
    scenarios: tuple[str, ...] = ("central", "lighter", "heavier")

    def ratios_at(self, postures: tuple[Posture, ...]) -> np.ndarray:
        return ratios_at(postures)


def loads(postures: tuple[Posture, ...]) -> LoadRatios:
    ratio = ratios_at(postures)
    return LoadRatios(postures, SITES, ratio, np.ones(ratio.shape[:2], dtype=bool))


def asked() -> Asked:
    """Compared with two hours on the back, for ever."""
    lain = (Stay(LEVEL, 7200.0),)
    regime = Regime("back", RegimeStanding.CLEAR, TurnMeans.BY_HAND, lain, Mattress())
    return Asked(RegimeDemand(regime, loads((LEVEL,))), loads((LEVEL,)))
