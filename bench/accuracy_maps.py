"""Pressure maps of real people: load in bands along the body, and where it lies across.

Distances along the body are counted from the middle of the head's print, in stature, because the
maps have no other landmark that every posture shows. Cuts between bands are counted from the crown.
"""

import csv
import os
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.terms.body import Body, Sex

Array = NDArray[np.float64]

KEPT: Final = Path(__file__).parent.parent / "tests" / "data" / "pmatdata"

NAMES: Final = ("head", "upper trunk", "waist", "pelvis", "thighs", "calves and feet")
#: Ends of the bands below the crown, fraction of stature: chin, lower ribs, iliac crests, a hand
#: below the buttock's fold, knees. Convention of this project; the others show what they decide.
CUTS: Final = (0.14, 0.30, 0.40, 0.58, 0.72)
OTHER_CUTS: Final = ((0.14, 0.32, 0.40, 0.54, 0.71), (0.13, 0.29, 0.38, 0.575, 0.725))
#: Middle of the head's print below the crown, fraction of stature.
HEAD_BELOW_CROWN: Final = 0.065
#: Distance from cell to cell. The mat's maker says one inch; people then measure 7 % short from
#: head to heel. [m]
PITCH: Final = 0.027
OTHER_PITCH: Final = 0.0254
#: Records of people lying straight and level; p10 stands apart and is left out.
SUPINE: Final = ("p01", "p09")
#: Records turned by 30 and 60 degrees to the person's right, and to their left.
TURNED: Final = {30: ("p04", "p06"), 60: ("p05", "p07")}
TO_THE_LEFT: Final = ("p06", "p07")
BACKREST: Final = {30: "p15", 45: "p16", 60: "p17"}
#: Rows searched for the head's print.
_HEAD_ROWS: Final = 7


@dataclass(frozen=True, slots=True, eq=False)
class Print:
    """What a mat shows under one body.

    Parameters
    ----------
    below : ndarray, shape (n,)
        Distance below the middle of the head's print, fraction of stature. [-]
    across : ndarray, shape (n,)
        Place across the mat, towards the person's left. [m]
    load : ndarray, shape (n,)
        Load, in any unit. [-]
    """

    below: Array
    across: Array
    load: Array

    def bands(self, cuts: tuple[float, ...] = CUTS) -> Array:
        """Share of the load in each band, (6,). [%]"""
        total = np.bincount(self._band(cuts), self.load, len(NAMES))
        return np.asarray(100.0 * total / self.load.sum())

    def middles(self, cuts: tuple[float, ...] = CUTS) -> Array:
        """Middle of the load across in each band, (6,). [m]"""
        band = self._band(cuts)
        moment = np.bincount(band, self.load * self.across, len(NAMES))
        return np.asarray(moment / np.bincount(band, self.load, len(NAMES)))

    def _band(self, cuts: tuple[float, ...]) -> NDArray[np.intp]:
        return np.searchsorted(np.asarray(cuts) - HEAD_BELOW_CROWN, self.below)


@lru_cache(maxsize=1)
def folder() -> Path:
    """Where the maps are: the seven kept, or others in the same form, named by `PEOPLE`."""
    return Path(os.environ.get("PEOPLE") or KEPT)


@lru_cache(maxsize=1)
def people() -> dict[str, Body]:
    """The people, by their name in the set."""
    with (folder() / "people.csv").open(newline="") as lines:
        return {
            row["person"]: Body(
                stature=float(row["stature_cm"]) / 100.0,
                mass=float(row["mass_kg"]),
                sex=Sex.MALE,
                age=float(row["age_year"]),
            )
            for row in csv.DictReader(lines)
        }


@lru_cache(maxsize=1)
def _maps() -> dict[str, Array]:
    with np.load(folder() / "maps.npz") as stored:
        return {name: stored[name].astype(np.float64) for name in stored.files}


def head_row(cells: Array) -> float:
    """Row of the middle of the head's print, from the first rows of a map."""
    row = cells[:_HEAD_ROWS].sum(axis=1)
    row = row - row.min()
    return float(row @ np.arange(_HEAD_ROWS) / row.sum())


def print_of(person: str, record: str, pitch: float = PITCH) -> Print:
    """What the mat showed, each cell cut into four along so that bands may end inside one."""
    cells = _maps()[f"{person}_{record}"]
    rows, columns = cells.shape
    part = (np.arange(4 * rows) + 0.5) / 4.0 - 0.5
    below = (part - head_row(cells)) * pitch / people()[person].stature
    # columns rise towards the person's right
    across = (0.5 * (columns - 1) - np.arange(columns)) * pitch
    return Print(
        np.repeat(below, columns),
        np.tile(across, 4 * rows),
        np.repeat(cells, 4, axis=0).ravel() / 4.0,
    )
