"""The movement from one stay to the next."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.terms.posture import Place, Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg
from leeward.tissue.allowance import steady_peak
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.movement import (
    PIECES,
    path,
    ratios_between,
    setting_of_movement,
    with_movements,
)

RATE = radians_from_deg(30.0) / 300.0
LEFT, RIGHT = Posture(turn=radians_from_deg(30.0)), Posture(turn=radians_from_deg(-30.0))


def day(*stays: tuple[Posture, float]) -> PostureSeries:
    edges = np.concatenate(([0.0], np.cumsum([length for _, length in stays])))
    postures = tuple(posture for posture, _ in stays)
    return PostureSeries(edges, postures, (Validity.KNOWN,) * len(stays), "midnight")


def test_a_movement_takes_its_time_from_the_stay_it_leads_into():
    moved = with_movements(day((LEFT, 3600.0), (RIGHT, 3600.0)), RATE)
    moving = [v is Validity.MOVING for v in moved.validity]
    assert moved.durations[moving].sum() == pytest.approx(2 * 600.0)
    assert moved.edges[-1] == pytest.approx(7200.0)
    assert moved.durations[PIECES] == pytest.approx(3000.0)


def test_from_side_to_side_it_goes_through_level():
    turns = [piece.turn for piece in path(LEFT.turn, RIGHT.turn)]
    assert turns == sorted(turns, reverse=True)
    assert 0.0 in turns
    assert sum(piece.share for piece in path(LEFT.turn, RIGHT.turn)) == pytest.approx(1.0)


def test_a_stay_too_short_for_its_movement_is_all_movement():
    moved = with_movements(day((LEFT, 3600.0), (RIGHT, 120.0)), RATE)
    assert moved.durations[-PIECES:].sum() == pytest.approx(120.0)
    assert moved.validity[-1] is Validity.MOVING


def test_getting_out_of_bed_is_no_movement_of_the_surface():
    chair = Posture(place=Place.CHAIR)
    moved = with_movements(day((LEFT, 3600.0), (chair, 3600.0)), RATE)
    assert moved.postures[-1] == chair
    assert moved.durations[-1] == 3600.0


def test_the_backrest_comes_down_before_a_turn_and_goes_up_after_it():
    lunch = Posture(backrest=0.9)
    assert setting_of_movement(LEFT, lunch).backrest == 0.0
    assert setting_of_movement(lunch, LEFT).backrest == 0.0


def known(*turns_deg: float) -> LoadRatios:
    """A load that falls with the square of the turn at the sacrum."""
    postures = tuple(Posture(turn=radians_from_deg(turn)) for turn in turns_deg)
    load = np.array([[[1.05 - 0.8 * (turn / 30.0) ** 2] for turn in turns_deg]])
    return LoadRatios(postures, (Site.SACRUM,), load, np.ones(load.shape[:2], dtype=bool))


def test_between_listed_turns_loads_are_straight_and_beyond_them_unknown():
    ratios = known(0.0, 10.0, 20.0)
    middle, beyond = (Posture(turn=radians_from_deg(turn)) for turn in (5.0, 25.0))
    found = ratios_between(ratios, (middle, beyond, replace(middle, backrest=0.3)))[0, :, 0]
    assert found[0] == pytest.approx(ratios.ratio[0, :2, 0].mean())
    assert np.isnan(found[1:]).all()


@pytest.mark.parametrize("stay", [1800.0, 3600.0, 7200.0])
@pytest.mark.parametrize("order", [(LEFT, RIGHT), (LEFT, Posture(), RIGHT, Posture())])
def test_a_few_pieces_give_the_peak_of_one_second_steps_within_one_hundredth(stay, order):
    ratios = known(-30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0)
    moved = with_movements(day(*((posture, stay) for posture in order)), RATE)
    pieces = steady_peak(moved.durations, ratios_between(ratios, moved.postures)[0])
    turns, before = [], order[-1].turn
    for posture in order:
        way = posture.turn - before
        seconds = np.arange(round(stay)) + 0.5
        moving = abs(way) / RATE
        turns.append(before + way * np.clip(seconds / max(moving, 1.0), 0.0, 1.0))
        before = posture.turn
    course = np.concatenate(turns)
    nodes = np.array([posture.turn for posture in ratios.postures])
    load = np.interp(course, nodes, ratios.ratio[0, :, 0])
    assert pieces[0] == pytest.approx(plain_peak(load), rel=0.01)


def plain_peak(load: np.ndarray) -> float:
    """Second after second, days on end: recovery by the heaviest of the last 300."""
    windows = np.lib.stride_tricks.sliding_window_view(np.concatenate((load[-300:], load)), 301)
    k = (0.25 + np.log(10.0) / 0.75 * np.maximum(0.0, 1.0 - windows.max(axis=1))) / 7200.0
    use = np.where(load > 1.0, load**1.1, np.sqrt(load)) / 7200.0
    gain, target = np.exp(-k), use / k
    allowance = np.zeros(2)
    allowance[1] = 1.0
    for g, t in zip(gain.tolist(), target.tolist(), strict=True):
        allowance = t + (allowance - t) * g
    start = allowance[0] / (1.0 - (allowance[1] - allowance[0]))
    peak = now = start
    for g, t in zip(gain.tolist(), target.tolist(), strict=True):
        now = t + (now - t) * g
        peak = max(peak, now)
    return float(peak)
