"""Where a body finds no rest from its layout, it is laid as one that did, and let settle again."""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Lying
from leeward.contact.equilibrium import Settled, settle
from leeward.contact.pose import Pose, joint_places
from leeward.contact.segments import PARENT, SEGMENTS
from leeward.contact.setting import anchored

Index = NDArray[np.intp]

#: Damping from the layout of a straight body, and what is tried where that is too little. [-]
FAR: Final = 0.1
_FARTHER: Final = 10.0
#: How many of those at rest lend their pose.
_LENDERS: Final = 6
_ARMS: Final = tuple(number for number, name in enumerate(SEGMENTS) if "arm" in name)


def settle_from_layout(lying: Lying, pose: Pose) -> Settled:
    """Settle one body on beds that differ, from its layout.

    Parameters
    ----------
    lying : Lying
        The body on every bed, anchored at its layout. [-]
    pose : Pose
        The layout.

    Returns
    -------
    Settled
        Those that found no rest were begun again from the pose of one that did, their arms
        laid their own way. Where all find rest at once, or none does, nothing is tried again.

    Notes
    -----
    A back rounded by 30 degrees or more with the arms laid out is where this is needed: from
    the layout the body may be found on its way to sitting up.
    """
    settled = settle(lying, pose, FAR)
    for lender in range(_LENDERS):
        at_rest = np.flatnonzero(settled.is_solved)
        if at_rest.size <= lender:
            break
        for damping in (FAR, _FARTHER):
            lost = np.flatnonzero(~settled.is_solved)
            if lost.size == 0:
                return settled
            settled = _begun_again(lying, settled, lost, int(at_rest[lender]), damping)
    return settled


def _begun_again(
    lying: Lying, settled: Settled, lost: Index, lender: int, damping: float
) -> Settled:
    """Lay some bodies as another lies, settle them, and put in those that come to rest."""
    own = lying.take(lost)
    start = settled.pose.take(np.full(lost.size, lender))
    rotation = start.rotation.copy()
    for arm in _ARMS:
        rotation[:, arm] = rotation[:, PARENT[arm]] @ own.joints.rest[:, arm]
    start = Pose(start.place, rotation)
    joint, _ = joint_places(start, own.figure.link)
    again = settle(anchored(own, start, joint, release=True), start, damping)
    found = np.flatnonzero(again.is_solved)
    rows = lost[found]
    place, turned = settled.pose.place.copy(), settled.pose.rotation.copy()
    place[rows], turned[rows] = again.pose.place[found], again.pose.rotation[found]
    put = {
        name: _put_in(getattr(settled, name), rows, getattr(again, name)[found])
        for name in ("is_solved", "steps", "stiffness", "scale", "demand", "share")
    }
    return replace(settled, pose=Pose(place, turned), **put)


def _put_in(known: np.ndarray, rows: Index, found: np.ndarray) -> np.ndarray:
    whole = known.copy()
    whole[rows] = found
    return whole
