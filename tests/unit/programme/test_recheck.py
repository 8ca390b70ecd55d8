"""Every rule of the recheck, broken one at a time: it is found, and a sound programme passes."""

import ast
import inspect
import math
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from leeward.programme.programme import BuildUpStep, ManualTask, Programme, Window
from leeward.programme.recheck import RULES, recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.bed import Layer, LayerKind, Mattress, MattressKind
from leeward.terms.body import Limb
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.equipment import Order, SurfaceKind
from leeward.terms.limits import Limit
from leeward.terms.person import (
    Contraindication,
    ContraindicationKind,
    Line,
    ProtectedSite,
    SignedReason,
    TurnLimit,
)
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.regime import Policy, RegimeStanding, Stay
from leeward.terms.site import Side, Site
from tests.unit.programme.recheck_sound import (
    CASE,
    HOUR,
    LEFT,
    LEVEL,
    LUNCH,
    MINUTE,
    PROGRAMME,
    REGIME,
    RIGHT,
    SITES,
    SOUND,
    THIRTY,
    UPRIGHT,
    cycle,
    ratios_at,
)

SIGNED = SignedReason("C. Surgeon", date(2030, 5, 1), "agreed with the team")
UNSIGNED = SignedReason(" ", date(2030, 5, 1), "")
UNSTABLE = ContraindicationKind.UNSTABLE_SPINE
DEG = math.radians(1.0)


def test_nothing_speaks_against_a_sound_programme():
    assert SOUND.codes == set()


def test_it_takes_nothing_that_could_relax_it():
    assert list(inspect.signature(recheck).parameters) == [
        "programme", "case", "ratios", "compared", "failed", "now",
    ]  # fmt: skip
    assert all(list(inspect.signature(rule).parameters) == ["seen"] for rule in RULES)


def test_it_shares_no_code_with_what_it_checks(root: Path):
    own = ("leeward.programme.recheck", "leeward.terms.")
    shared = {"leeward.programme.programme", "leeward.tissue.load_ratios"}
    strangers = []
    room = root / "src/leeward/programme"
    for path in (room / "recheck.py", *room.glob("recheck_*.py")):
        for node in ast.walk(ast.parse(path.read_text())):
            name = node.module if isinstance(node, ast.ImportFrom) else None
            if name and name.startswith("leeward") and not name.startswith(own):
                strangers += [] if name in shared else [f"{path.name}: {name}"]
    assert strangers == []


def test_a_finding_says_which_side_is_raised_and_by_how_much():
    spoiled = SOUND.but(turn_limits=(TurnLimit(Side.LEFT, 20 * DEG, "left hip"),))
    (found, *_) = spoiled.found
    assert "turned to the left 30°, right side raised" in found.sentence
    assert [(q.name, q.value, q.unit) for q in found.numbers] == [
        ("turn", 30.0, "°"),
        ("largest turn", 20.0, "°"),
    ]


# Conditions that stop planning


@pytest.mark.parametrize("answer", [None, UNSIGNED])
def test_a_contraindication_stops_until_somebody_signs(answer: SignedReason | None):
    stopped = SOUND.but(contraindications=(Contraindication(UNSTABLE, answer),))
    assert stopped.codes == {"contraindicated"}
    signed = SOUND.but(contraindications=(Contraindication(UNSTABLE, SIGNED),))
    assert signed.codes == set()


@pytest.mark.parametrize(
    "change", [{"age": 17.9}, {"age": None}, {"stature": 1.459}, {"mass": 39.9}, {"stature": 2.05}]
)
def test_a_body_outside_the_tables_needs_a_specialist(change: dict[str, float]):
    assert SOUND.but(**change).codes == {"outside-the-tables"}
    assert SOUND.but(**change, specialist_continues=SIGNED).codes == set()


def test_the_edges_of_the_tables_belong_to_the_adult():
    assert SOUND.but(age=18.0, stature=1.46, mass=40.0).codes == set()
    assert SOUND.but(stature=1.60, mass=43.52).codes == set()


# The regime compared


def test_without_a_regime_there_is_nothing_to_compare_with():
    assert "no-regime" in SOUND.but(compared=None).codes


def test_a_regime_the_case_does_not_hold_is_found():
    assert SOUND.but(regimes=()).codes == {"regime-not-in-case"}


def test_a_failed_regime_is_none_to_compare_with():
    assert "regime-failed" in SOUND.under(standing=RegimeStanding.FAILED).codes
    assert "regime-failed" in SOUND.under(failed_sites=(Site.SACRUM,)).codes


@pytest.mark.parametrize("change", [{"assumed_by": ""}, {"source": " "}])
def test_a_policy_is_assumed_by_somebody_from_somewhere(change: dict[str, str]):
    named = {"standing": RegimeStanding.ASSUMED, "assumed_by": "D. Nurse", "source": "policy 3"}
    assert SOUND.under(**named).codes == set()
    assert SOUND.under(**(named | change)).codes == {"assumed-by-nobody"}


def test_a_regime_that_cannot_be_counted_through_is_found():
    assert "regime-not-countable" in SOUND.under(cycle=()).codes


def test_a_failed_regime_left_out_is_found():
    failed = replace(REGIME, name="four-hourly", standing=RegimeStanding.FAILED)
    assert SOUND.but(regimes=(REGIME, failed)).codes == {"failed-regime-not-counted"}


def test_the_mattress_and_the_layers_must_be_those_of_the_regime():
    other = Mattress(MattressKind.FOAM, thickness=0.10, cv40=4000.0)
    assert SOUND.but(mattress=other).codes == {"other-mattress"}
    nobody_knows = SOUND.but(mattress=Mattress()).under(mattress=Mattress())
    assert nobody_knows.codes == {"other-mattress"}
    assert SOUND.but(layers=(Layer(LayerKind.PAD),)).codes == {"other-layers"}
    assert SOUND.but(layers=None).codes == {"other-layers"}


# Limits of the person and the bed


@pytest.mark.parametrize(
    "change",
    [
        {"turn_limits": (TurnLimit(Side.LEFT, 25 * DEG, "left hip"),)},
        {"turn_limits": (TurnLimit(Side.RIGHT, 29.9 * DEG, "right hip"),)},
        {"lines": (Line("feeding tube", largest_turn_left=20 * DEG),)},
        {"lines": (Line("catheter", largest_turn_right=20 * DEG),)},
        {"posture_limits": PostureLimits(turn_left=(Limit(25 * DEG, "rad", "rail"),))},
        {"posture_limits": PostureLimits(turn_right=(Limit(THIRTY, "rad", "rail", False),))},
    ],
)
def test_a_turn_beyond_any_limit_is_found(change: dict[str, object]):
    assert SOUND.but(**change).codes == {"turn-beyond-limit"}


def test_a_turn_at_the_limit_is_none_beyond_it():
    assert SOUND.but(turn_limits=(TurnLimit(Side.LEFT, THIRTY, "left hip"),)).codes == set()


def test_a_barred_side_bars_and_lets_the_guards_be():
    barred = SOUND.but(turn_limits=(TurnLimit(Side.LEFT, 0.0, "left hip"),))
    assert barred.codes == {"turn-beyond-limit"}
    one_sided = tuple(Stay(posture, 45 * MINUTE) for posture in (RIGHT, LEVEL))
    for window in (0, 2, 3):
        barred = barred.running(*one_sided, window=window)
    assert "turn-beyond-limit" not in barred.codes
    assert "relief-too-short" not in barred.codes
    assert "relief-too-short" in barred.but(turn_limits=()).codes


def test_a_whole_surface_needs_friction_or_a_support_above_15_degrees():
    whole = SOUND.but(kind=SurfaceKind.WHOLE)
    assert whole.codes == {"whole-surface-without-support"}
    assert whole.but(friction=0.4).codes == set()
    assert whole.but(friction=math.nan).codes == {"whole-surface-without-support"}


@pytest.mark.parametrize("largest", ["left", "right"])
def test_a_turn_to_either_side_alone_can_be_too_large(largest: str):
    """15 degrees to the other side, which need no support on a whole surface."""
    small = 15 * DEG
    turns = (THIRTY, -small) if largest == "left" else (small, -THIRTY)
    spoiled = SOUND.but(kind=SurfaceKind.WHOLE)
    for window in (0, 2, 3):
        spoiled = spoiled.running(*(Stay(LEVEL.with_turn(t), HOUR) for t in turns), window=window)
    assert "whole-surface-without-support" in spoiled.codes
    reach = {"largest_turn_left": 20 * DEG, "largest_turn_right": 20 * DEG}
    assert "turn-not-settable" in spoiled.but(**reach).codes
    assert "turn-not-settable" not in spoiled.but(**{f"largest_turn_{largest}": THIRTY}).codes


@pytest.mark.parametrize(("on_the_left", "is_found"), [(LEFT, False), (RIGHT, True)])
def test_the_support_stands_on_the_side_turned_to(on_the_left: Posture, is_found: bool):
    other = RIGHT if on_the_left is LEFT else LEFT
    supported = (
        Stay(replace(on_the_left, supports=frozenset([Support.BOLSTER_LEFT])), HOUR),
        Stay(replace(other, supports=frozenset([Support.BOLSTER_RIGHT])), HOUR),
    )
    spoiled = SOUND.but(kind=SurfaceKind.WHOLE)
    for window in (0, 2, 3):
        spoiled = spoiled.running(*supported, window=window)
    assert ("whole-surface-without-support" in spoiled.codes) == is_found


def test_a_level_stay_is_found_where_none_may_be():
    assert SOUND.but(no_level_stays=SIGNED).codes == {"level-stay-forbidden"}


@pytest.mark.parametrize(
    "change",
    [
        {"greatest_backrest": 20 * DEG},
        {"posture_limits": PostureLimits(backrest=(Limit(20 * DEG, "rad", "fitting"),))},
        {"least_backrest": 40 * DEG},
    ],
)
def test_a_backrest_out_of_range_is_found(change: dict[str, object]):
    raised = SOUND.but(usual_backrest=25 * DEG)
    stays = [replace(s, posture=replace(s.posture, backrest=25 * DEG)) for s in cycle(HOUR)]
    for window in (0, 2, 3):
        raised = raised.running(*stays, window=window)
    assert "backrest-out-of-range" not in raised.codes
    assert "backrest-out-of-range" in raised.but(**change).codes


def test_a_prescribed_backrest_the_bed_does_not_reach_is_found():
    platform = replace(CASE.bed.platform, largest_backrest=50 * DEG)
    assert SOUND.but(platform=platform).codes == {"backrest-out-of-range"}


def test_a_knee_section_beyond_its_end_is_found():
    assert "knee-raise-out-of-range" in SOUND.running(
        *(replace(s, posture=replace(s.posture, knee_raise=1.0)) for s in cycle(HOUR))
    ).codes  # fmt: skip


def test_a_turn_above_the_pausing_backrest_is_found():
    prescribed = replace(LUNCH, may_turn=True)
    turned = Stay(replace(UPRIGHT, turn=THIRTY), HOUR)
    assert "unit-pauses" in SOUND.but(prescribed=(prescribed,)).running(turned, window=1).codes
    assert SOUND.but(prescribed=(prescribed,)).codes == set()


@pytest.mark.parametrize("ratio", [0.21, math.nan])
def test_a_protected_site_is_loaded_in_no_stay(ratio: float):
    protected = SOUND.but(protected_sites=(ProtectedSite(Site.LEFT_CALF, "graft"),))
    for turn in SOUND.ratios.postures:
        protected = protected.loading(Site.LEFT_CALF, turn, 0.2)
    assert protected.codes == set()
    assert protected.loading(Site.LEFT_CALF, RIGHT, ratio).codes == {"protected-site-loaded"}


def test_a_protected_site_is_kept_unloaded_in_every_draw():
    protected = SOUND.but(protected_sites=(ProtectedSite(Site.LEFT_CALF, "graft"),))
    for posture in SOUND.ratios.postures:
        protected = protected.loading(Site.LEFT_CALF, posture, 0.2)
    table = protected.ratios.ratio.copy()
    table[2, :, SITES.index(Site.LEFT_CALF)] = 0.21
    assert protected.but(ratios=replace(SOUND.ratios, ratio=table)).codes == {
        "protected-site-loaded"
    }


def test_no_step_of_the_build_up_loads_a_protected_site():
    spared = SOUND.but(protected_sites=(ProtectedSite(Site.LEFT_CALF, "graft"),))
    for posture in SOUND.ratios.postures:
        spared = spared.loading(Site.LEFT_CALF, posture, 0.2)
    half = next(one for one in SOUND.ratios.postures if abs(one.turn - THIRTY / 2.0) < DEG)
    (found,) = spared.loading(Site.LEFT_CALF, half, 0.21).found
    assert found.code == "protected-site-loaded"
    assert "Step 1 of the build-up: turned to the left 15°, right side raised" in found.sentence


def test_a_higher_ceiling_counts_only_with_a_name_behind_it():
    def ceiling(by: SignedReason | None) -> set[str]:
        return SOUND.but(protected_sites=(ProtectedSite(Site.LEFT_CALF, "graft", 0.4, by),)).codes

    assert ceiling(SIGNED) == set()
    assert ceiling(UNSIGNED) == ceiling(None) == {"protected-site-loaded"}


def test_a_protected_site_nobody_computed_is_found():
    table = replace(SOUND.ratios, sites=SITES[:-1], ratio=SOUND.ratios.ratio[:, :, :-1])
    toes = SOUND.but(ratios=table, protected_sites=(ProtectedSite(SITES[-1], "wound"),))
    assert toes.codes == {"protected-site-loaded"}


def test_a_posture_unstable_in_a_single_draw_is_found():
    stable = SOUND.ratios.is_stable.copy()
    stable[2, SOUND.ratios.postures.index(LEFT)] = False
    assert SOUND.but(ratios=replace(SOUND.ratios, is_stable=stable)).codes == {"not-a-place-to-lie"}


def test_a_posture_nobody_computed_is_found():
    assert "load-not-computed" in SOUND.but(ratios=ratios_at((LEVEL, LEFT, UPRIGHT))).codes


# The day


def test_a_window_that_runs_into_a_prescription_is_found():
    early = replace(LUNCH, span=DaySpan(11.5 * HOUR, 13 * HOUR))
    assert "prescription-cut" in SOUND.but(prescribed=(early,)).codes


def test_a_prescribed_posture_must_be_kept():
    assert "prescription-not-kept" in SOUND.running(Stay(LEVEL, HOUR), window=1).codes


def test_no_programme_can_call_its_own_long_stay_prescribed():
    windows = list(PROGRAMME.windows)
    windows[3] = replace(windows[3], cycle=(Stay(LEVEL, 9 * HOUR),), prescribed_by="nobody")
    found = SOUND.but(programme=replace(PROGRAMME, windows=tuple(windows))).codes
    assert {"stay-too-long", "relief-too-short", "order-not-settable"} <= found


def test_a_backrest_other_than_the_usual_one_is_found():
    assert SOUND.but(usual_backrest=10 * DEG).codes == {"usual-posture-not-kept"}
    assert SOUND.but(usual_knee_raise=10 * DEG).codes == {"usual-posture-not-kept"}


def test_nobody_is_put_out_of_bed_without_prescription():
    chair = Stay(Posture(place=Place.CHAIR), HOUR)
    assert "usual-posture-not-kept" in SOUND.running(*cycle(HOUR), chair).codes


def test_turns_that_go_on_in_a_prescribed_window_are_guarded():
    feed = PrescribedWindow("feed", DaySpan(22 * HOUR, 7 * HOUR), LEVEL, True, "A. Dietitian")
    both = SOUND.but(prescribed=(LUNCH, feed))
    assert both.codes == set()
    assert "relief-too-short" in both.running(Stay(LEVEL, HOUR), Stay(LEFT, HOUR)).codes


def test_a_day_left_partly_uncovered_is_found():
    torn = replace(PROGRAMME)
    object.__setattr__(torn, "windows", PROGRAMME.windows[:3])
    assert SOUND.but(programme=torn).codes == {"day-not-covered"}


@pytest.mark.parametrize("length", [1.0, math.nan, math.inf])
def test_stays_that_cannot_be_counted_are_found(length: float):
    assert SOUND.running(Stay(LEVEL, length)).codes == {"stays-not-countable"}


# What the unit can be set to


def test_a_programme_without_unit_is_found():
    assert SOUND.but(equipment=None).codes == {"no-unit"}


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"largest_turn_left": 25 * DEG}, "turn-not-settable"),
        ({"turn_step": 7 * DEG}, "turn-not-settable"),
        ({"smallest_turn": 31 * DEG}, "turn-not-settable"),
        ({"shortest_stay": 50 * MINUTE, "stay_step": 10 * MINUTE}, "stay-not-settable"),
        ({"longest_stay": 50 * MINUTE}, "stay-not-settable"),
        ({"stay_step": 20 * MINUTE}, "stay-not-settable"),
        ({"orders": (Order.LEFT_RIGHT, Order.LEFT_LEVEL)}, "order-not-settable"),
        ({"programmes_per_day": 1}, "too-many-cycles"),
        ({"rise_time": 50 * MINUTE}, "stay-shorter-than-movement"),
        ({"least_mass": 71.0}, "unit-not-for-this-mass"),
        ({"greatest_mass": 69.0}, "unit-not-for-this-mass"),
        ({"least_width": 0.91}, "unit-not-for-this-bed"),
        ({"greatest_width": 0.89}, "unit-not-for-this-bed"),
        ({"safe_working_load": 79.0}, "bed-overloaded"),
    ],
)
def test_what_the_unit_cannot_do_is_found(change: dict[str, object], code: str):
    # A unit that is still moving has not relieved anything either.
    slow = {"relief-too-short"} if "rise_time" in change else set()
    assert SOUND.but(**change).codes == {code} | slow


def test_a_unit_that_reaches_less_to_one_side_moves_at_its_own_speed():
    """Level to 30 degrees in 10 min, so 15 min from 15 degrees left to 30 degrees right."""
    turns = (Stay(LEVEL.with_turn(15 * DEG), 15 * MINUTE), Stay(RIGHT, 15 * MINUTE))
    uneven = SOUND.running(*turns).but(largest_turn_left=15 * DEG)
    assert "stay-shorter-than-movement" in uneven.codes
    assert "stay-shorter-than-movement" not in uneven.but(rise_time=590.0).codes


def test_settings_the_unit_has_once_cannot_differ():
    unequal = SOUND.running(
        Stay(LEFT, HOUR),
        Stay(LEVEL, 45 * MINUTE),
        Stay(RIGHT, 90 * MINUTE),
        Stay(LEVEL, 45 * MINUTE),
    )
    assert "stays-differ" not in unequal.codes
    assert "stays-differ" in unequal.but(stays_may_differ=False).codes
    assert "level-stay-differs" in unequal.but(level_stay_may_differ=False).codes
    smaller = Stay(LEVEL.with_turn(-25 * DEG), HOUR)
    angles = SOUND.running(Stay(LEFT, HOUR), Stay(LEVEL, HOUR), smaller, Stay(LEVEL, HOUR))
    assert "turns-differ" not in angles.codes
    assert "turns-differ" in angles.but(turns_may_differ=False).codes


def test_equal_settings_pass_on_a_unit_that_has_each_once():
    once = {"turns_may_differ": False, "stays_may_differ": False, "level_stay_may_differ": False}
    assert SOUND.but(**once).codes == set()


# What hands must do, and the build-up


def test_heels_and_occiput_need_a_task_that_says_what_is_done():
    heels, head = PROGRAMME.tasks
    for tasks in ((heels,), (head,), (heels, replace(head, what=" "))):
        programme = replace(PROGRAMME, tasks=tasks)
        assert SOUND.but(programme=programme).codes == {"hands-missing"}


def test_a_heel_that_went_with_its_leg_needs_no_task():
    right = ManualTask((Site.RIGHT_HEEL,), "Float it.", (), HOUR, 1.0)
    one_legged = replace(PROGRAMME, tasks=(right, PROGRAMME.tasks[1]))
    assert SOUND.but(programme=one_legged).codes == {"hands-missing"}
    body = replace(CASE.person.body, missing=frozenset([Limb.LEFT_LEG_BELOW_KNEE]))
    assert SOUND.but(programme=one_legged, body=body).codes == set()


@pytest.mark.parametrize(
    ("steps", "code"),
    [
        ((), "no-build-up"),
        ((BuildUpStep(0, 0.5, "look"), BuildUpStep(71.0, 1.0, "look")), "step-too-early"),
        ((BuildUpStep(0, 0.5, "look"), BuildUpStep(-1.0, 0.5, "look")), "step-too-early"),
        ((BuildUpStep(0, 0.5, "look"), BuildUpStep(math.nan, 1.0, "look")), "step-too-early"),
        ((BuildUpStep(0, 1.1, "look"),), "build-up-beyond-programme"),
        ((BuildUpStep(0, 0.0, "look"),), "build-up-beyond-programme"),
        ((BuildUpStep(0, 1.0, ""),), "no-look"),
    ],
)
def test_a_build_up_that_goes_wrong_is_found(steps: tuple[BuildUpStep, ...], code: str):
    assert SOUND.but(programme=replace(PROGRAMME, build_up=steps)).codes == {code}


def test_what_a_programme_without_turns_lacks_is_not_its_build_up():
    level = Programme((Window("day", DaySpan(0.0, 0.0), (Stay(LEVEL, HOUR),)),))
    found = SOUND.but(programme=level, prescribed=()).codes
    assert "no-build-up" not in found
    assert "relief-too-short" in found


def test_the_policy_shortens_stays():
    short = Policy("invented policy", "invented", 50 * MINUTE, THIRTY)
    assert SOUND.but(policy=short).codes == {"stay-too-long"}


def test_every_table_needs_a_compared_regime_of_its_own():
    loads = RegimeLoads(REGIME, ratios_at((LEVEL, LEFT)))
    assert "site-not-comparable" in SOUND.but(compared=loads).codes


def test_supports_other_than_those_of_the_day_and_another_tilt_are_found():
    calves = frozenset({Support.PILLOW_UNDER_CALVES})
    assert SOUND.but(usual_supports=calves).codes == {"usual-posture-not-kept"}
    assert SOUND.but(night_supports=calves).codes == {"usual-posture-not-kept"}
    assert SOUND.but(usual_head_up=5 * DEG).codes == {"usual-posture-not-kept"}
