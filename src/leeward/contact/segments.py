"""The fourteen segments, how they hang together, and what each weighs."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.terms.body import Sex

#: Parents come before children, so one pass in this order walks the tree.
SEGMENTS: Final = (
    "pelvis",
    "abdomen",
    "thorax",
    "head",
    "left thigh",
    "left shank",
    "left foot",
    "right thigh",
    "right shank",
    "right foot",
    "left upper arm",
    "left forearm",
    "right upper arm",
    "right forearm",
)
PARENT: Final = (-1, 0, 1, 2, 0, 4, 5, 0, 7, 8, 2, 10, 2, 12)
COUNT: Final = len(SEGMENTS)
INDEX: Final = {name: number for number, name in enumerate(SEGMENTS)}


def _path(segment: int) -> list[int]:
    """Segments from the pelvis' child down to this one."""
    path = []
    while segment > 0:
        path.append(segment)
        segment = PARENT[segment]
    return path


#: HANGING[s, b] is 1 where segment b hangs on the joint of segment s, or is it.
HANGING: Final = np.array(
    [[float(s in (0, *_path(b))) for b in range(COUNT)] for s in range(COUNT)]
)
#: CHILD_OF[a, b] is 1 where segment a is the parent of segment b.
CHILD_OF: Final = np.array([[float(PARENT[b] == a) for b in range(COUNT)] for a in range(COUNT)])
#: Every segment with every link on the way to it, as two lists of numbers.
LINKED: Final = (
    np.array([s for s in range(COUNT) for _ in _path(s)]),
    np.array([b for s in range(COUNT) for b in _path(s)]),
)

#: Segment mass as a fraction of body mass (forearm includes the hand).
#: Source: de Leva 1996 J Biomech 29:1223, Table 4 (seen through two transcriptions);
#: population: young, fit adults (Zatsiorsky's data): trunk fractions differ in frail or
#: obese people.
_MASS_FRACTION: Final = {
    Sex.MALE: {
        "pelvis": 0.1117,
        "abdomen": 0.1633,
        "thorax": 0.1596,
        "head": 0.0694,
        "thigh": 0.1416,
        "shank": 0.0433,
        "foot": 0.0137,
        "upper arm": 0.0271,
        "forearm": 0.0162 + 0.0061,
    },
    Sex.FEMALE: {
        "pelvis": 0.1247,
        "abdomen": 0.1465,
        "thorax": 0.1545,
        "head": 0.0668,
        "thigh": 0.1478,
        "shank": 0.0481,
        "foot": 0.0129,
        "upper arm": 0.0255,
        "forearm": 0.0138 + 0.0056,
    },
}


def kind_of(segment: str) -> str:
    """Name of a segment without its side.

    Parameters
    ----------
    segment : str
        One of `SEGMENTS`. [-]

    Returns
    -------
    str
        The same without ``left`` or ``right``. [-]
    """
    return segment.removeprefix("left ").removeprefix("right ")


def mass_fractions(sex: Sex) -> NDArray[np.float64]:
    """Mass of every segment as a fraction of the whole body's.

    Parameters
    ----------
    sex : Sex
        Which table. [-]

    Returns
    -------
    ndarray, shape (14,)
        Fractions in the order of `SEGMENTS`; the sum is the table's own, 0.9999 for
        women and 1.0000 for men. [-]

    References
    ----------
    .. [1] P. de Leva, J. Biomech. 29 (1996) 1223, Table 4.
       doi:10.1016/0021-9290(95)00178-6
    """
    table = _MASS_FRACTION[sex]
    return np.array([table[kind_of(segment)] for segment in SEGMENTS])


def subtree(segment: str) -> tuple[int, ...]:
    """Numbers of a segment and of everything that hangs on it.

    Parameters
    ----------
    segment : str
        One of `SEGMENTS`. [-]

    Returns
    -------
    tuple of int
        Positions in `SEGMENTS`. [-]
    """
    found = {INDEX[segment]}
    for number, parent in enumerate(PARENT):
        if parent in found:
            found.add(number)
    return tuple(sorted(found))
