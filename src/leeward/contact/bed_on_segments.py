"""What the bed does to every segment: its wrench, and how that changes as the segment moves.

Over a segment everything is a sum of one quantity of its points times a power of their arms,
so all sums are one matrix product for each segment, and wrench and stiffness are one linear
map of them.
"""

from itertools import combinations_with_replacement
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bed_field import FieldValue
from leeward.contact.segments import COUNT
from leeward.contact.skin_contact import SHEAR_STIFFNESS, Touch, shear_reach

Array = NDArray[np.float64]

#: Quantities of a point: nine changes of its force per displacement, nine per rotation by
#: its turning area, three of force. Powers of its arm: one, three first, six second.
_QUANTITIES: Final = 21
_PAIRS: Final = tuple(combinations_with_replacement(range(3), 2))
_POWERS: Final = 1 + 3 + len(_PAIRS)


def _cross_symbol() -> Array:
    """Symbol e with (u x v)_i = e_ijk u_j v_k."""
    symbol = np.zeros((3, 3, 3))
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        symbol[i, j, k], symbol[i, k, j] = 1.0, -1.0
    return symbol


def _linear_map() -> Array:
    """From summed quantities times powers of the arm to stiffness (36) and wrench (6)."""
    turn, one = _cross_symbol(), np.eye(3)
    first = np.zeros((_POWERS, 3))
    first[1:4] = one
    second = np.zeros((_POWERS, 3, 3))
    for place, (m, n) in enumerate(_PAIRS):
        second[4 + place, m, n] = second[4 + place, n, m] = 1.0
    whole = np.zeros((_QUANTITIES, _POWERS, 6, 7))
    # a rotation p displaces a point by p x arm, and its force acts at the arm
    change = whole[:9].reshape(3, 3, _POWERS, 6, 7)
    by_area = whole[9:18].reshape(3, 3, _POWERS, 6, 7)
    force = whole[18:]
    change[:, :, 0, :3, :3] = np.einsum("ia,jb->ijab", one, one)
    change[:, :, :, :3, 3:6] = np.einsum("ia,jpl,rl->ijrap", one, turn, first)
    change[:, :, :, 3:, :3] = np.einsum("kmi,rm,jb->ijrkb", turn, first, one)
    change[:, :, :, 3:, 3:6] = np.einsum("kmi,jpl,rml->ijrkp", turn, turn, second)
    by_area[:, :, 0, :3, 3:6] = np.einsum("ia,jp->ijap", one, one)
    by_area[:, :, :, 3:, 3:6] = np.einsum("kmi,rm,jp->ijrkp", turn, first, one)
    force[:, :, 3:, 3:6] = np.einsum("rk,ip->irkp", first, one)
    force[:, :, 3:, 3:6] -= np.einsum("ri,kp->irkp", first, one)
    force[:, 0, :3, 6] = one
    force[:, :, 3:, 6] = np.einsum("kmi,rm->irk", turn, first)
    return whole.reshape(_QUANTITIES * _POWERS, 42)


_MAP: Final = _linear_map()


def bed_on_segments(touch: Touch, friction: Array) -> tuple[Array, Array]:
    """Wrench of the bed on every segment about its joint, and its change per motion.

    Parameters
    ----------
    touch : Touch
        Points in contact.
    friction : ndarray, shape (b,)
        Friction coefficient in each bed. [-]

    Returns
    -------
    wrench : ndarray, shape (b, 14, 6)
        Force, then moment. [N, N m]
    block : ndarray, shape (b, 14, 6, 6)
        Rows: force, moment; columns: displacement of the joint, rotation. Not symmetric:
        friction grows with pressure. [N/m, N m/rad]
    """
    batch = len(friction)
    quantity = _quantities(touch, friction).transpose(1, 0, 2)
    power = _powers(touch.arm.reshape(3, batch, -1)).transpose(1, 2, 0)
    owner = touch.segment.reshape(batch, -1)[0]
    ends = np.searchsorted(owner, np.arange(COUNT + 1))
    sums = np.zeros((batch, COUNT, _QUANTITIES, _POWERS))
    for segment in range(COUNT):
        low, high = ends[segment], ends[segment + 1]
        if low < high:
            sums[:, segment] = np.matmul(quantity[:, :, low:high], power[:, low:high])
    found = (sums.reshape(batch * COUNT, -1) @ _MAP).reshape(batch, COUNT, 6, 7)
    return found[..., 6], found[..., :6]


def _powers(arm: Array) -> Array:
    """One, and first and second powers of the arms (3, b, n), (10, b, n)."""
    power = np.empty((_POWERS, *arm.shape[1:]))
    power[0] = 1.0
    power[1:4] = arm
    for place, (m, n) in enumerate(_PAIRS):
        np.multiply(arm[m], arm[n], out=power[4 + place])
    return power


def _quantities(touch: Touch, friction: Array) -> Array:
    """Change of every point's force, then its force, (21, b, n)."""
    surface, batch = touch.surface, len(friction)
    facing = touch.facing.reshape(batch, -1)
    area = touch.area.reshape(3, batch, -1)
    pressure = touch.pressure.reshape(batch, -1)
    shear = touch.shear.reshape(2, batch, -1)
    gradient, tangent = surface.gradient, surface.tangent
    found = np.empty((_QUANTITIES, *facing.shape))
    change = found[:9].reshape(3, 3, *facing.shape)
    traction = shear[0] * tangent[0] + shear[1] * tangent[1] - pressure * gradient
    np.multiply(facing, traction, out=found[18:])
    steep = facing * touch.stiffness.reshape(batch, -1)
    np.multiply((-steep * gradient)[:, None], gradient, out=change)
    for direction, slope in zip(tangent, _shear_change(touch, friction), strict=True):
        change += direction[:, None] * (facing * slope)
    for bend in surface.bends:
        turned = shear[0] * bend.tangent_jump[0] + shear[1] * bend.tangent_jump[1]
        column = facing * (turned - pressure * bend.gradient_jump)
        column += _dot(area, bend.gradient_jump) * traction
        change += column[:, None] * bend.weight_gradient
    by_area = found[9:18].reshape(3, 3, *facing.shape)
    np.multiply(traction[:, None], _cross(area, gradient), out=by_area)
    return found


def _shear_change(touch: Touch, friction: Array) -> Array:
    """Change of shear per displacement of the point, (2, 3, b, n)."""
    surface: FieldValue = touch.surface
    batch, slip = len(friction), SHEAR_STIFFNESS.value
    drag = touch.drag.reshape(2, batch, -1)
    grip = touch.grip.reshape(batch, -1)
    reach = shear_reach(drag, grip)
    held = slip * grip / reach
    fade = slip * slip / (reach * reach)
    square = drag[0] * drag[0] + drag[1] * drag[1]
    by_grip = (
        friction[:, None] * touch.stiffness.reshape(batch, -1) * (slip * fade / reach * square)
    )
    along_drag = drag[0] * surface.place_gradient[0] + drag[1] * surface.place_gradient[1]
    common = held * fade * along_drag - by_grip * surface.gradient
    return np.asarray(drag[:, None] * common - held * surface.place_gradient)


def _dot(first: Array, second: Array) -> Array:
    """Scalar product along a first axis of three."""
    return np.asarray(first[0] * second[0] + first[1] * second[1] + first[2] * second[2])


def _cross(first: Array, second: Array) -> Array:
    """Cross product along the first axis."""
    return np.stack(
        [
            first[1] * second[2] - first[2] * second[1],
            first[2] * second[0] - first[0] * second[2],
            first[0] * second[1] - first[1] * second[0],
        ]
    )
