"""What has to be known to read the numbers of a way of turning rightly."""

from leeward.programme.common_ways import Way
from leeward.programme.ground import Ground
from leeward.programme.programme import Window
from leeward.programme.quantities import degrees, listed
from leeward.terms.clock import clock_text
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.verdict import Reason


def remarks(way: Way, stands: Ground, todays: Regime | None) -> tuple[Reason, ...]:
    """Say what a way has in common with the regime it is compared with.

    Parameters
    ----------
    way : Way
        The way.
    stands : Ground
        What it was judged by.
    todays : Regime or None
        The regime it was laid from; None for a common way or the unit's default.

    Returns
    -------
    tuple of Reason
        That it is compared with itself; that meals were added which no record holds; that its
        backrest or supports were others.
    """
    compared = stands.standing.compared
    if compared is not None and _is_same(way, compared.regime):
        is_assumed = compared.standing is RegimeStanding.ASSUMED
        return (_ASSUMED if is_assumed else _compared_with_itself(way),)
    return () if todays is None or _lain_alike(way, todays) else (_otherwise(todays),)


def _is_same(way: Way, regime: Regime) -> bool:
    return _is_turned_alike(way, regime) and _lain_alike(way, regime)


def _is_turned_alike(way: Way, regime: Regime) -> bool:
    """Whether every turning window runs the turns and stays of the regime, by the same means."""
    by_hand = regime.means is TurnMeans.BY_HAND
    if way.programme.turned_by_hand is not by_hand:
        return False
    cycles = {_shape(regime.cycle), _shape(regime.night_cycle or regime.cycle)}
    return {_shape(one.cycle) for one in _turning(way)} == cycles


def _shape(cycle: tuple[Stay, ...]) -> tuple[tuple[float, float], ...]:
    stays = tuple((round(one.posture.turn, 6), round(one.duration, 3)) for one in cycle)
    # A cycle with the same second half is its first half.
    half = len(stays) // 2
    return stays[:half] if stays and stays[:half] == stays[half:] else stays


def _turning(way: Way) -> list[Window]:
    return [window for window in way.programme.windows if len(window.cycle) > 1]


_ASSUMED = Reason(
    "is-what-is-assumed",
    "This is the very policy that is assumed and compared with: 1.00 of itself says nothing of "
    "this person's skin, which nobody has seen clear under it.",
)


def _compared_with_itself(way: Way) -> Reason:
    still = [window for window in way.programme.windows if len(window.cycle) == 1]
    if not still:
        return Reason(
            "is-what-is-compared",
            "This is the regime compared itself: 1.00 of it by definition, and skin was seen "
            "clear under it.",
        )
    named = listed(
        [
            f"{one.name} ({clock_text(one.span.start)} to {clock_text(one.span.end)}, "
            f"{_kept(one.cycle[0].posture)})"
            for one in still
        ]
    )
    return Reason(
        "day-adds-to-what-is-compared",
        f"This is the regime compared itself, laid into the day as entered: whatever is more than "
        f"1 comes from {named}, with the turns begun afresh afterwards. The record of the regime "
        "holds turns alone. Whether skin was seen clear with these in the day is not written: ask "
        "whoever looked, and write the whole day into the regime's cycle if it was.",
    )


def _kept(posture: Posture) -> str:
    if posture.place is not Place.BED:
        return posture.place.value
    return f"backrest {degrees('', posture.backrest).value:.0f}°"


def _lain_alike(way: Way, regime: Regime) -> bool:
    """Whether the regime was lain in at the backrest and among the supports of the day."""
    stays = (*regime.cycle, *regime.night_cycle)
    lain = {stay.posture.with_turn(0.0) for stay in stays}
    return lain <= {stay.posture.with_turn(0.0) for one in _turning(way) for stay in one.cycle}


def _otherwise(regime: Regime) -> Reason:
    return Reason(
        "lain-in-other-postures",
        f"{regime.name} was lain in with another backrest, knee section or other supports than the "
        "day as entered has: it is computed with those of the day.",
    )
