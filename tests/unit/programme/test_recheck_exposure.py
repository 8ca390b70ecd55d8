"""Index, guards and stays as the recheck counts them, against hand counts and small steps."""

import math
from dataclasses import replace

import pytest

from leeward.programme.recheck_allowance import peak_allowance
from leeward.programme.recheck_day import RegimeLoads, regime_day
from leeward.terms.clock import DaySpan
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import RegimeStanding, Stay
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import HandCheck, HandPassage, SkinCheck, SkinFinding
from tests.unit.programme.recheck_sound import (
    BY_DAY,
    CASE,
    COMPARED,
    HOUR,
    LEFT,
    LEVEL,
    LUNCH,
    MINUTE,
    NOW,
    PROGRAMME,
    REGIME,
    RIGHT,
    SOUND,
    THIRTY,
    Sound,
    cycle,
    ratios_at,
)

T, RHO, K0 = 7200.0, 0.25, math.log(10.0) / 0.75


def by_small_steps(durations: list[float], ratios: list[float], step: float = 1.0) -> float:
    """The same law in steps of a second, no closed form: for a day without a step down."""
    allowance = peak = 0.0
    for day in range(4):
        peak = 0.0 if day == 3 else peak
        for duration, q in zip(durations, ratios, strict=True):
            use = math.sqrt(q) if q <= 1.0 else q**1.1
            rate = RHO + K0 * max(0.0, 1.0 - q)
            for _ in range(round(duration / step)):
                middle = allowance + 0.5 * step * (use - rate * allowance) / T
                allowance += step * (use - rate * middle) / T
                peak = max(peak, allowance)
    return peak


def test_under_the_reference_load_the_allowance_ends_at_one_over_rho():
    assert peak_allowance([HOUR], [1.0]) == pytest.approx(1.0 / RHO, abs=1e-9)


@pytest.mark.parametrize(("q", "use"), [(0.0, 0.0), (0.02, 0.4 * math.sqrt(0.05)), (0.64, 0.8),
                                        (2.0, 2.0**1.1)])  # fmt: skip
def test_an_endless_load_ends_where_use_and_recovery_meet(q: float, use: float):
    recovery = RHO + K0 * max(0.0, 1.0 - q)
    assert peak_allowance([HOUR, HOUR], [q, q]) == pytest.approx(use / recovery, abs=1e-9)


def test_full_relief_clears_ninety_percent_in_three_quarters_of_the_time_constant():
    """With the small recovery under load beside it: a tenth times exp(-0.75 rho)."""
    loaded = 24 * HOUR
    durations, ratios = [loaded, 0.75 * T + 300.0, 1.0], [1.0, 0.0, 1.0]
    peak = peak_allowance(durations, ratios)
    while_lagging = peak * math.exp(-RHO * 300.0 / T)
    left = while_lagging * math.exp(-0.75 * RHO) / 10.0
    follows = 1.0 / RHO + (left - 1.0 / RHO) * math.exp(-RHO * (loaded + 1.0) / T)
    assert peak == pytest.approx(follows, rel=1e-9)


def test_steps_of_a_second_agree():
    """Within 1e-3 of an allowance: the lag at the one step down is left out of the steps."""
    durations, ratios = [HOUR, 2 * HOUR, HOUR, 20 * HOUR], [0.4, 0.405, 0.41, 0.9]
    exact = peak_allowance(durations, ratios)
    assert by_small_steps(durations, ratios) == pytest.approx(exact, abs=1e-3)


def test_a_step_down_recovers_for_five_minutes_as_under_the_load_before():
    """One day by hand: loaded for 22 h, free for 2 h, of which 5 min recover as when loaded."""
    free, lag = 2 * HOUR, 300.0
    peak = peak_allowance([22 * HOUR, free], [1.0, 0.0])
    at_lag = peak * math.exp(-RHO * lag / T)
    start = at_lag * math.exp(-(RHO + K0) * (free - lag) / T)
    assert peak == pytest.approx(4.0 + (start - 4.0) * math.exp(-RHO * 22 * HOUR / T), abs=1e-9)


def test_recovery_goes_by_the_heaviest_load_of_the_last_five_minutes():
    split = peak_allowance([20 * HOUR, 180.0, 180.0, HOUR], [1.0, 0.5, 0.3, 0.3])
    state = split
    for minutes, q, recovers_as in ((3, 0.5, 1.0), (2, 0.3, 1.0), (3, 0.3, 0.5), (58, 0.3, 0.3)):
        rate = RHO + K0 * (1.0 - recovers_as)
        target = math.sqrt(q) / rate
        state = target + (state - target) * math.exp(-rate * 60.0 * minutes / T)
    again = 4.0 + (state - 4.0) * math.exp(-RHO * 20 * HOUR / T)
    assert split == pytest.approx(again, abs=1e-9)


@pytest.mark.parametrize("ratios", [[], [1.0, math.nan], [1.0, -0.1], [math.inf, 1.0]])
def test_an_unknown_load_gives_no_number(ratios: list[float]):
    assert math.isnan(peak_allowance([HOUR] * len(ratios), ratios))


def test_a_site_used_more_than_under_the_regime_is_found():
    assert SOUND.under(cycle=cycle(45 * MINUTE)).codes == {
        "index-above-one", "loaded-too-long", "stay-too-long",
    }  # fmt: skip


def test_the_regime_itself_reaches_its_own_index_exactly():
    """A day that is the regime from midnight to midnight, so that both repeat alike."""
    window = replace(PROGRAMME.windows[0], span=DaySpan(0.0, 0.0), cycle=cycle(2 * HOUR))
    same = SOUND.but(programme=replace(PROGRAMME, windows=(window,)), prescribed=())
    assert same.codes == set()


def test_an_untried_site_has_no_index():
    """The trochanters are hardly loaded by level and the regime's turns: no index above one."""
    level_regime = SOUND.under(cycle=(Stay(LEVEL, 2 * HOUR),))
    assert level_regime.codes == set()


def test_a_load_nobody_knows_in_a_turning_window_is_found():
    assert SOUND.loading(Site.LEFT_TROCHANTER, LEFT, math.nan).codes >= {"load-unknown"}
    one_draw = SOUND.ratios.ratio.copy()
    one_draw[1, SOUND.ratios.postures.index(LEFT), 0] = math.nan
    assert SOUND.but(ratios=replace(SOUND.ratios, ratio=one_draw)).codes == set()
    column = SOUND.ratios.sites.index(RESPONSIVE_SITES[0])
    one_draw[1, SOUND.ratios.postures.index(LEFT), column] = math.nan
    assert SOUND.but(ratios=replace(SOUND.ratios, ratio=one_draw)).codes == {"load-unknown"}


def test_a_negative_load_is_no_load():
    assert "load-unknown" in SOUND.loading(Site.SACRUM, LEFT, -0.1).codes


def in_a_chair() -> Sound:
    """The same with lunch out of bed, whose loads no table may claim to know."""
    chair = Posture(place=Place.CHAIR)
    seated = SOUND.but(prescribed=(replace(LUNCH, posture=chair),))
    table = ratios_at((*SOUND.ratios.postures, chair))
    return seated.but(ratios=table).running(Stay(chair, HOUR), window=1)


def test_what_a_chair_loads_is_no_finding_but_no_relief_either():
    assert in_a_chair().codes == set()
    all_day = replace(LUNCH, span=DaySpan(12 * HOUR, 13 * HOUR))
    assert in_a_chair().but(prescribed=(replace(all_day, posture=LEVEL),)).codes >= {
        "prescription-not-kept"
    }


def test_an_index_above_one_is_found_whatever_the_chair_loads():
    regime = replace(REGIME, cycle=cycle(45 * MINUTE))
    loads = RegimeLoads(regime, ratios_at((LEVEL, LEFT, RIGHT)))
    half = in_a_chair().but(compared=loads, regimes=(regime,))
    for window in (0, 2, 3):
        half = half.running(*cycle(2 * HOUR), window=window)
    assert "index-above-one" in half.codes


def test_a_failed_regime_leaves_less_room():
    failed = replace(
        REGIME, name="failed", standing=RegimeStanding.FAILED, failed_sites=(Site.SACRUM,)
    )
    loads = RegimeLoads(failed, COMPARED.ratios)
    assert SOUND.but(regimes=(REGIME, failed), failed=(loads,)).codes == {"failed-regime-repeated"}
    heavier = RegimeLoads(failed, replace(COMPARED.ratios, ratio=COMPARED.ratios.ratio * 2.0))
    assert SOUND.but(regimes=(REGIME, failed), failed=(heavier,)).codes == set()


def test_a_failed_regime_of_unknown_load_leaves_no_room():
    failed = replace(
        REGIME, name="failed", standing=RegimeStanding.FAILED, failed_sites=(Site.SPINE,)
    )
    loads = RegimeLoads(failed, ratios_at((LEVEL, LEFT)))
    assert SOUND.but(regimes=(REGIME, failed), failed=(loads,)).codes == {"failed-regime-repeated"}


def test_a_failed_regime_that_names_no_site_limits_every_responsive_one():
    failed = replace(REGIME, name="failed", standing=RegimeStanding.FAILED)
    loads = RegimeLoads(failed, COMPARED.ratios)
    assert "failed-regime-repeated" in SOUND.but(regimes=(REGIME, failed), failed=(loads,)).codes


def test_a_regime_once_called_clear_limits_only_where_damage_began_under_it():
    """Handed over as failed, since a look at the heel showed damage: no turn answers for that."""
    loads = replace(COMPARED)
    assert SOUND.but(failed=(loads,)).codes == set()
    when = NOW.replace(day=15)
    heel = SkinCheck(when, "B. Nurse", Site.LEFT_HEEL, SkinFinding.OPEN)
    assert SOUND.but(failed=(loads,), skin_checks=(heel,)).codes == set()
    earlier = replace(REGIME, name="earlier")
    knee = SkinCheck(when, "B. Nurse", Site.LEFT_INNER_KNEE, SkinFinding.OPEN)
    limited = SOUND.but(
        regimes=(REGIME, earlier),
        failed=(RegimeLoads(earlier, COMPARED.ratios),),
        skin_checks=(knee,),
    )
    assert limited.codes == {"failed-regime-repeated"}


def test_a_side_never_relieved_is_found():
    """Left and level only: the left buttock is never relieved."""
    spoiled = SOUND
    for window in (0, 2, 3):
        stays = (Stay(LEFT, 45 * MINUTE), Stay(LEVEL, 45 * MINUTE))
        spoiled = spoiled.running(*stays, window=window)
    assert {"relief-too-short", "loaded-too-long"} <= spoiled.codes


def test_relief_shorter_than_twenty_minutes_beyond_the_lag_is_found():
    """The unit needs 10 min for each movement, which relieves nothing."""
    long_enough, short = 35 * MINUTE, 34 * MINUTE
    for stay, is_found in ((long_enough, False), (short, True)):
        mixed = (Stay(LEFT, stay), Stay(LEVEL, HOUR), Stay(RIGHT, stay), Stay(LEVEL, HOUR))
        assert ("relief-too-short" in SOUND.running(*mixed).codes) == is_found


def test_a_load_of_nine_tenths_is_relief_and_more_is_none():
    """The left buttock lies free turned to the right only."""
    assert SOUND.loading(Site.LEFT_BUTTOCK, RIGHT, 0.9).codes == {"index-above-one"}
    found = SOUND.loading(Site.LEFT_BUTTOCK, RIGHT, 0.901).codes
    assert found == {"index-above-one", "relief-too-short", "loaded-too-long"}


def test_relief_is_owed_in_one_piece_inside_the_window():
    """40 min to the right, whole or split between the end of a cycle and its start."""
    turned = Stay(RIGHT, 20 * MINUTE)
    split, whole = (turned, Stay(LEVEL, 2 * HOUR), turned), (Stay(LEVEL, 2 * HOUR), turned, turned)
    for stays, is_found in ((split, True), (whole, False)):
        short = replace(PROGRAMME.windows[3], cycle=stays, span=DaySpan(0.0, 160 * MINUTE))
        rest = replace(short, name="rest", span=DaySpan(160 * MINUTE, 0.0), cycle=cycle(HOUR))
        made = SOUND.but(programme=replace(PROGRAMME, windows=(short, rest)), prescribed=())
        sentences = [one.sentence for one in made.found if one.code == "relief-too-short"]
        assert any("left buttock" in sentence for sentence in sentences) == is_found


def test_a_window_no_longer_than_the_interval_owes_no_relief():
    """Two hours are the interval; a minute more owes relief."""
    windows = list(PROGRAMME.windows)
    for hours, is_found in ((2.0, False), (2.25, True)):
        edge = 7 * HOUR + hours * HOUR
        windows[0:1] = [
            replace(PROGRAMME.windows[0], span=DaySpan(7 * HOUR, edge), cycle=(Stay(LEVEL, HOUR),)),
            replace(PROGRAMME.windows[0], name="rest", span=DaySpan(edge, 12 * HOUR)),
        ]
        found = SOUND.but(programme=replace(PROGRAMME, windows=tuple(windows))).codes
        assert ("relief-too-short" in found) == is_found
        windows = list(PROGRAMME.windows)


def test_a_stay_that_runs_on_across_two_windows_is_one_stay():
    """The afternoon ends turned to the left and the night begins so: 2.5 h in one posture."""
    afternoon = (Stay(RIGHT, 90 * MINUTE), Stay(LEVEL, 90 * MINUTE), Stay(LEFT, 90 * MINUTE))
    night = (Stay(LEFT, HOUR), *BY_DAY[1:])
    assert "stay-too-long" in SOUND.running(*afternoon, window=2).running(*night).codes
    night = (Stay(LEFT, 30 * MINUTE), *BY_DAY[1:])
    assert "stay-too-long" not in SOUND.running(*afternoon, window=2).running(*night).codes


def test_a_regime_kept_all_day_allows_any_stay_the_policy_does():
    level_regime = SOUND.under(cycle=(Stay(LEVEL, HOUR),))
    four_hours = tuple(replace(stay, duration=4 * HOUR) for stay in cycle(HOUR))
    assert "stay-too-long" not in level_regime.running(*four_hours).codes
    five_hours = (Stay(LEVEL, 2.5 * HOUR), Stay(LEVEL, 2.5 * HOUR), Stay(LEFT, HOUR))
    assert "stay-too-long" in level_regime.running(*five_hours).codes


def test_a_hand_that_does_not_pass_outweighs_a_light_load():
    def felt(passage: HandPassage, turn: float = THIRTY) -> set[str]:
        return SOUND.but(
            hand_checks=(HandCheck(NOW, "E. Nurse", Site.SACRUM, turn, passage),)
        ).codes

    assert felt(HandPassage.DOES_NOT_PASS) == felt(HandPassage.TIGHT) == {"lighter-than-felt"}
    assert felt(HandPassage.PASSES) == felt(HandPassage.TIGHT, turn=0.0) == set()


def test_a_hand_check_speaks_for_its_own_turn_and_from_its_own_time_on():
    later = NOW.replace(hour=11)
    for when, turn, found in (
        (NOW, -THIRTY, {"lighter-than-felt"}),
        (NOW, -math.radians(25.0), set()),
        (later, THIRTY, set()),
    ):
        check = HandCheck(when, "E. Nurse", Site.SACRUM, turn, HandPassage.DOES_NOT_PASS)
        assert SOUND.but(hand_checks=(check,)).codes == found


def test_a_later_hand_check_replaces_an_earlier_one():
    early = NOW.replace(hour=1)
    first = HandCheck(early, "E. Nurse", Site.SACRUM, THIRTY, HandPassage.DOES_NOT_PASS)
    second = HandCheck(NOW, "E. Nurse", Site.SACRUM, THIRTY, HandPassage.PASSES)
    assert SOUND.but(hand_checks=(second, first)).codes == set()


def test_a_regime_with_its_own_night_is_a_whole_day():
    regime = replace(REGIME, night_cycle=cycle(3 * HOUR), night=DaySpan(22 * HOUR, 7 * HOUR))
    day = regime_day(regime)
    assert sum(duration for duration, _ in day) == pytest.approx(24 * HOUR)
    assert (3 * HOUR, LEFT) in day
    assert day[-1] == (3 * HOUR, RIGHT)
    only_night = replace(regime, night=DaySpan(0.0, 0.0))
    assert all(duration == 3 * HOUR for duration, _ in regime_day(only_night))


def test_the_case_is_not_changed():
    assert SOUND.case is CASE
