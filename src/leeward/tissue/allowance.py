"""Allowance through time: exact on segments, repeating day or real days alike.

Within a part of a segment with one rate of use and one of recovery the allowance moves straight
towards their quotient, so every largest value lies at the end of such a part.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.errors import InvalidInput
from leeward.tissue.fading import faded_away
from leeward.tissue.lag import Lag, after, at_rest, at_wrap, parts
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw, recovery, use_rate
from leeward.tissue.one_day import repeating_peak


@dataclass(frozen=True, slots=True, eq=False)
class AllowanceMap:
    """How the allowance at the end of every part depends on that at the start.

    A segment has a part for every load that recovery goes by in it, see `leeward.tissue.lag`;
    some of them may have no length.

    Parameters
    ----------
    gain : ndarray, shape (..., parts, s)
        Share of the starting allowance still there at the end of each part. [-]
    offset : ndarray, shape (..., parts, s)
        What the parts up to then have added. [-]
    ends : tuple of int, length n
        The last part of each segment. [-]
    after : Lag
        The loads of the last minutes at the end.
    """

    gain: NDArray[np.float64]
    offset: NDArray[np.float64]
    ends: tuple[int, ...]
    after: Lag

    def course(self, start: ArrayLike) -> NDArray[np.float64]:
        """Allowance at the end of every part.

        Parameters
        ----------
        start : array_like, shape (..., s)
            Allowance at the start. [-]

        Returns
        -------
        ndarray, shape (..., parts, s)
            Allowance. [-]
        """
        begin = np.asarray(start, dtype=float)
        return np.asarray(self.gain * begin[..., np.newaxis, :] + self.offset)

    def at_edges(self, start: ArrayLike) -> NDArray[np.float64]:
        """Allowance at the edges of the segments.

        Parameters
        ----------
        start : array_like, shape (..., s)
            Allowance at the start. [-]

        Returns
        -------
        ndarray, shape (..., n + 1, s)
            Allowance at the start of each segment and at the end of the last. The largest
            value may lie between: see `peak`. [-]
        """
        ends = self.course(start)[..., list(self.ends), :]
        shape = (*ends.shape[:-2], 1, ends.shape[-1])
        begin = np.broadcast_to(np.asarray(start, dtype=float)[..., np.newaxis, :], shape)
        return np.concatenate((begin, ends), axis=-2)

    def end(self, start: ArrayLike) -> NDArray[np.float64]:
        """Allowance at the end.

        Parameters
        ----------
        start : array_like, shape (..., s)
            Allowance at the start. [-]

        Returns
        -------
        ndarray, shape (..., s)
            Allowance. [-]
        """
        begin = np.asarray(start, dtype=float)
        return np.asarray(self.gain[..., -1, :] * begin + self.offset[..., -1, :])

    def peak(self, start: ArrayLike) -> NDArray[np.float64]:
        """Largest allowance from start to end.

        Parameters
        ----------
        start : array_like, shape (..., s)
            Allowance at the start. [-]

        Returns
        -------
        ndarray, shape (..., s)
            Largest allowance; NaN where any load is unknown. [-]
        """
        begin = np.asarray(start, dtype=float)
        return np.asarray(np.maximum(self.course(begin).max(axis=-2), begin))

    def steady_start(self) -> NDArray[np.float64]:
        """Allowance at the start when the map repeats for ever.

        Returns
        -------
        ndarray, shape (..., s)
            The allowance that the map gives back unchanged. [-]
        """
        return np.asarray(self.offset[..., -1, :] / (1.0 - self.gain[..., -1, :]))


def affine_map(
    durations: ArrayLike,
    ratio: ArrayLike,
    law: AllowanceLaw = STANDARD_LAW,
    before: Lag | None = None,
) -> AllowanceMap:
    r"""Map of a row of segments, from the allowance at its start to that at every end.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment; 0 for padding, which changes nothing. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio q of each segment at each site; NaN where unknown. [-]
    law : AllowanceLaw, optional
        Conventions.
    before : Lag, optional
        The loads of the last minutes before the start; by default as after a long stay
        under the first segment's load.

    Returns
    -------
    AllowanceMap
        NaN at every site with an unknown load, from that load on.

    Notes
    -----
    Closed form of the law on each part of constant use s and recovery k:

        dA/dt = (s(q) - A k(q)) / T,
        A(t) = A(0) exp(-k t / T) + (s / k) (1 - exp(-k t / T)).

    Maps of windows join: give the second the ``after`` of the first, see `join`.

    References
    ----------
    .. [1] Convention of this project: docs/explanation/tissue.md.
    """
    length, q = _checked(durations, ratio)
    lag = at_rest(length, q, law) if before is None else before
    return followed(length, q, use_rate(q, law), lag, law)


def followed(
    durations: NDArray[np.float64],
    ratio: NDArray[np.float64],
    use: NDArray[np.float64],
    before: Lag,
    law: AllowanceLaw = STANDARD_LAW,
) -> AllowanceMap:
    """Map of a row of segments whose numbers are sound and whose use is known.

    Parameters
    ----------
    durations : ndarray, shape (n,) or (..., n)
        Length of each segment. [s]
    ratio : ndarray, shape (..., n, s)
        Load ratio of each segment at each site; any known one where it has no length. [-]
    use : ndarray, shape (..., n, s)
        `leeward.tissue.law.use_rate` of each. [-]
    before : Lag
        The loads of the last minutes before the start.
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    AllowanceMap
        The same as of `affine_map`, which checks its numbers.
    """
    lag = before
    gain, offset = np.ones(()), np.zeros(())
    gains: list[NDArray[np.float64]] = []
    offsets: list[NDArray[np.float64]] = []
    ends: list[int] = []
    for number in range(ratio.shape[-2]):
        duration, now = durations[..., number, np.newaxis], ratio[..., number, :]
        for part, governs in parts(lag, now, duration):
            change, rate = _part(part, governs, law)
            offset = offset + change * (offset - use[..., number, :] / rate)
            gain = gain + change * gain
            gains.append(gain)
            offsets.append(offset)
        ends.append(len(gains) - 1)
        lag = after(lag, now, duration, law)
    # Part after part in memory, as they are read again.
    gain, offset = np.moveaxis(np.stack(gains), 0, -2), np.moveaxis(np.stack(offsets), 0, -2)
    return AllowanceMap(gain, offset, tuple(ends), lag)


def _part(
    duration: NDArray[np.float64], governs: NDArray[np.float64], law: AllowanceLaw
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Relative change over a part whose recovery goes by the load ratio `governs`, and rate."""
    rate = recovery(governs, law.loaded_recovery, law.relief_recovery)
    faded = rate * (-duration / law.time_constant)
    # A part without length changes nothing, not even what is unknown.
    if not bool((duration > 0.0).all()):
        faded = np.where(duration > 0.0, faded, 0.0)
    return faded_away(faded), rate


def _checked(
    durations: ArrayLike, ratio: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    length = np.asarray(durations, dtype=float)
    q = np.asarray(ratio, dtype=float)
    if q.ndim < 2 or q.shape[-2] == 0 or length.shape[-1:] != q.shape[-2:-1]:
        raise InvalidInput(
            f"{length.shape} durations for load ratios of shape {q.shape}",
            where="allowance",
            expected="durations (..., n) and load ratios (..., n, sites) with n of 1 or more",
            remedy="give one duration per segment",
        )
    if not bool(np.all(np.isfinite(length) & (length >= 0.0))):
        raise InvalidInput(
            "a duration below zero, without end or not a number",
            where="allowance",
            expected="durations of 0 s or more [s]",
            remedy="sort out the clock first; pad with 0 s",
        )
    if bool(np.any(q < 0.0)) or bool(np.any(np.isinf(q))):
        raise InvalidInput(
            "a load ratio below zero or without end",
            where="allowance",
            expected="load ratios of 0 or more, NaN where unknown [-]",
            remedy="find out which load or reference went wrong",
        )
    padding = length == 0.0
    return length, np.where(padding[..., np.newaxis], 1.0, q) if bool(padding.any()) else q


def join(first: AllowanceMap, second: AllowanceMap) -> AllowanceMap:
    """Map of two rows of segments, one after the other.

    Parameters
    ----------
    first : AllowanceMap
        Map of the earlier row.
    second : AllowanceMap
        Map of the later row, made with ``before=first.after``.

    Returns
    -------
    AllowanceMap
        Map of the whole.
    """
    gain = second.gain * first.gain[..., -1:, :]
    offset = second.gain * first.offset[..., -1:, :] + second.offset
    lead = np.broadcast_shapes(first.gain.shape[:-2], gain.shape[:-2])
    early = (*lead, *first.gain.shape[-2:])
    late = (*lead, *gain.shape[-2:])
    return AllowanceMap(
        gain=np.concatenate(
            (np.broadcast_to(first.gain, early), np.broadcast_to(gain, late)), axis=-2
        ),
        offset=np.concatenate(
            (np.broadcast_to(first.offset, early), np.broadcast_to(offset, late)), axis=-2
        ),
        ends=(*first.ends, *(first.gain.shape[-2] + end for end in second.ends)),
        after=second.after,
    )


def day_map(
    durations: ArrayLike, ratio: ArrayLike, law: AllowanceLaw = STANDARD_LAW
) -> AllowanceMap:
    """Map of a day that follows days like itself.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; NaN where unknown. [-]
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    AllowanceMap
        Its ``steady_start`` is the allowance at the start of every such day.

    Raises
    ------
    InvalidInput
        If the day has no length, or the arrays do not fit.
    """
    length, q = _checked(durations, ratio)
    if bool(np.any(length.sum(axis=-1) <= 0.0)):
        raise InvalidInput(
            "a day of 0 s",
            where="allowance",
            expected="a repeating day longer than 0 s [s]",
            remedy="give at least one segment a length",
        )
    return affine_map(length, q, law, before=at_wrap(length, q, law))


def steady_peak(
    durations: ArrayLike, ratio: ArrayLike, law: AllowanceLaw = STANDARD_LAW
) -> NDArray[np.float64]:
    """Largest allowance over a day that repeats for ever.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment, of any total: 23 and 25 h too; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; NaN where unknown. [-]
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    ndarray, shape (..., s)
        Largest allowance; NaN at every site with an unknown load. [-]

    Examples
    --------
    >>> peak = steady_peak([86400.0], [[1.0, 0.25]])
    >>> [round(float(a), 3) for a in peak]
    [4.0, 0.196]
    """
    length, q = _checked(durations, ratio)
    if length.ndim == 1 and float(length.sum()) > law.lag:
        lasts = length > 0.0
        columns = np.moveaxis(q, -2, 0)[lasts].reshape(int(lasts.sum()), -1)
        peak = repeating_peak(length[lasts], columns, law)
        return peak.reshape((*q.shape[:-2], q.shape[-1]))
    whole = day_map(durations, ratio, law)
    return whole.peak(whole.steady_start())
