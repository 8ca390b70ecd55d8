"""The test before leaving: what is judged, what is missing, what would explain it."""

from dataclasses import replace
from datetime import date
from math import radians

import numpy as np
import pytest

from leeward.exchange.proof_file import read_proof
from leeward.fitting.causes import CAUSES, FEATURES, NONE_KNOWN, Sign, rank, signs_of
from leeward.fitting.leak import deg_per_hour, drop_rate
from leeward.fitting.proof import ProofOutcome, prove
from leeward.fitting.proof_readings import AngleReading, ProofReadings, with_log
from leeward.terms.case import Case
from leeward.terms.equipment import Ability
from leeward.terms.errors import CannotCompute, InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.skin import HandPassage
from leeward.terms.verdict import Verdict
from tests.unit.fitting.at_the_bed import EXAMPLES, fitted

TWENTY = radians(20.0)


def case() -> Case:
    return fitted("large")


def ability() -> Ability:
    unit = case().equipment
    assert unit is not None
    return unit.ability


def turned(wanted: float, *, is_loaded: bool = True, found: float | None = None) -> AngleReading:
    size = wanted if found is None else found
    steady = tuple((60.0 * minutes, size) for minutes in (20, 40, 60))
    return AngleReading(
        is_loaded, wanted, size, size, 200.0, steady if is_loaded else (), HandPassage.PASSES
    )


def sound() -> ProofReadings:
    """A test in which every step was read and is as planned."""
    angles = tuple(
        reading
        for is_loaded in (False, True)
        for reading in (
            AngleReading(is_loaded, 0.0, 0.0, 0.0),
            turned(TWENTY, is_loaded=is_loaded),
            turned(-TWENTY, is_loaded=is_loaded),
        )
    )
    return ProofReadings(
        done_by="Example therapist C",
        done_on=date(2026, 11, 25),
        second_person="Example nurse B",
        unit_serial="1",
        software_version="1",
        instrument="inclinometer",
        instrument_error=radians(0.3),
        angles=angles,
        pause_backrest=radians(31.0),
        surface_level_after=12.0,
        mattress_firm_after=15.0,
        longest_release=20.0,
        released_by="Example carer on nights",
        mains_alarm=True,
        sensor_alarm=True,
    )


def with_angle(number: int, **changes: object) -> ProofReadings:
    angles = list(sound().angles)
    angles[number] = replace(angles[number], **changes)
    return replace(sound(), angles=tuple(angles))


def test_a_whole_test_in_which_all_is_as_planned_finds_no_problem():
    proof = prove(case(), sound())
    assert {one.verdict for one in proof.judged} == {Verdict.AS_PLANNED}
    assert proof.outcome is ProofOutcome.NO_PROBLEM_FOUND
    assert proof.causes == ()
    assert proof.stop_at_once
    assert proof.ends_with


MISSING = {
    name: replace(sound(), **{name: value})
    for name, value in {
        "second_person": "", "unit_serial": "", "instrument_error": None, "pause_backrest": None,
        "surface_level_after": None, "mattress_firm_after": None, "longest_release": None,
        "released_by": "", "mains_alarm": None, "sensor_alarm": None,
    }.items()
}  # fmt: skip
MISSING |= {
    f"step {number}": replace(
        sound(), angles=sound().angles[:number] + sound().angles[number + 1 :]
    )
    for number in range(6)
}
MISSING |= {
    f"{field} {number}": with_angle(number, **{field: value})
    for number in (4, 5)
    for field, value in (("time_to_angle", None), ("later", ()), ("hand", None), ("found", None))
}


@pytest.mark.parametrize("name", MISSING)
def test_a_test_in_which_any_step_is_missing_is_never_without_a_problem(name):
    assert prove(case(), MISSING[name]).outcome is ProofOutcome.NOT_FINISHED


@pytest.mark.parametrize(
    ("found_deg", "outcome"),
    [
        (17.0, ProofOutcome.NO_PROBLEM_FOUND),
        (16.9, ProofOutcome.ADJUST_AND_REPEAT),
        (23.1, ProofOutcome.DO_NOT_USE),
        (-20.0, ProofOutcome.DO_NOT_USE),
    ],
)
def test_an_angle_is_judged_at_its_edges_and_the_other_side_is_grave(found_deg, outcome):
    reading = turned(TWENTY, is_loaded=False, found=radians(found_deg))
    angles = (sound().angles[0], reading, *sound().angles[2:])
    assert prove(case(), replace(sound(), angles=angles)).outcome is outcome


def test_release_and_alarms_that_fail_forbid_use():
    late = replace(sound(), mattress_firm_after=21.0)
    assert prove(case(), late).outcome is ProofOutcome.DO_NOT_USE
    mute = replace(sound(), mains_alarm=False)
    assert prove(case(), mute).outcome is ProofOutcome.DO_NOT_USE


def test_a_hand_that_does_not_pass_and_sides_that_differ_are_adjusted():
    tight = prove(case(), with_angle(4, hand=HandPassage.TIGHT))
    assert tight.outcome is ProofOutcome.ADJUST_AND_REPEAT
    assert tight.causes[0] == "the line lies too far to the person's left"


def test_a_slow_leak_that_a_short_test_cannot_see_is_not_called_tight():
    short = with_angle(4, later=((600.0, TWENTY),))
    proof = prove(case(), short)
    (drop,) = (one for one in proof.judged if one.verdict is Verdict.CANNOT_TELL)
    assert proof.outcome is ProofOutcome.NOT_FINISHED
    assert "smallest leak this test could have seen" in drop.sentence
    fast = with_angle(4, later=((1200.0, TWENTY - radians(2.0)), (2400.0, TWENTY - radians(4.0))))
    leaking = prove(case(), fast)
    assert leaking.outcome is ProofOutcome.ADJUST_AND_REPEAT
    assert leaking.causes[0] == "the part that raises the right side leaks"


def test_the_drop_of_a_straight_line_is_found_with_the_error_worked_by_hand():
    """Readings at 0, 1 and 2 h, each within 0.5 degrees: sigma 0.2551, of the slope 0.1804."""
    hours = (0.0, 3600.0, 7200.0)
    drop = drop_rate(hours, tuple(radians(20.0 - hour) for hour in (0.0, 3.0, 6.0)), radians(0.5))
    assert deg_per_hour(drop.rate) == pytest.approx(3.0)
    assert deg_per_hour(drop.high - drop.low) == pytest.approx(2 * 1.96 * 0.18038, rel=1e-3)
    assert deg_per_hour(drop.smallest_seen) == pytest.approx(3.6048 * 0.18038, rel=1e-3)


def test_the_band_of_a_drop_holds_it_in_19_of_20_tests_and_a_leak_of_the_size_said_is_seen():
    rng = np.random.default_rng(3)
    error, hours = radians(0.5), (0.0, 900.0, 1800.0)
    smallest = drop_rate(hours, (0.3, 0.3, 0.3), error).smallest_seen
    noise = rng.normal(0.0, error / 1.96, (4000, 3))
    drops = [
        drop_rate(hours, tuple(0.3 - smallest * np.array(hours) + one), error) for one in noise
    ]
    held = np.mean([one.low <= smallest <= one.high for one in drops])
    seen = np.mean([one.low > 0.0 for one in drops])
    assert held == pytest.approx(0.95, abs=0.012)
    assert seen == pytest.approx(0.95, abs=0.012)


def test_a_drop_needs_two_times_and_an_error():
    with pytest.raises(InvalidInput, match="drop of a turn"):
        drop_rate((0.0,), (0.3,), 0.01)
    with pytest.raises(InvalidInput, match="drop of a turn"):
        drop_rate((0.0, 60.0), (0.3, 0.3), 0.0)


@pytest.mark.parametrize("cause", CAUSES)
def test_readings_that_a_cause_makes_name_that_cause(cause):
    signs = dict.fromkeys(FEATURES, Sign.FINE) | CAUSES[cause]
    assert rank(signs).named[0] == cause


def test_every_sign_of_a_cause_is_one_its_reading_may_show():
    for makes in CAUSES.values():
        for name, sign in makes.items():
            assert sign in FEATURES[name]
            assert sign is not Sign.FINE


def test_what_no_cause_makes_is_said_to_be_unknown():
    strange = dict.fromkeys(FEATURES, Sign.FINE) | {
        "empty left": Sign.OTHER_SIDE, "loaded left": Sign.SHORT, "empty right": Sign.BEYOND,
        "level": Sign.LEANS_LEFT, "time right": Sign.SLOW, "shown": Sign.DIFFERS,
        "keeping left": Sign.DROPS,
    }  # fmt: skip
    assert NONE_KNOWN in rank(strange).named
    assert rank({}).named == ()


def test_two_causes_at_once_are_a_possible_answer():
    both = {"keeping left": Sign.DROPS, "keeping right": Sign.DROPS}
    named = rank(dict.fromkeys(FEATURES, Sign.FINE) | both).named
    assert any(" and the part that raises the left side leaks" in name for name in named)


def test_signs_are_taken_only_of_what_was_read():
    assert set(signs_of(sound(), ability()).values()) == {Sign.FINE}
    assert signs_of(replace(sound(), angles=()), ability()) == {}
    exchanged = tuple(
        replace(one, found=None if one.found is None else -one.found) for one in sound().angles
    )
    named = rank(signs_of(replace(sound(), angles=exchanged), ability())).named
    assert named[0].startswith("the sides are exchanged")


def test_a_log_gives_the_angles_that_nobody_read():
    edges = np.array([0.0, 600.0, 700.0, 1500.0, 1600.0, 2400.0])
    turns = (0.01, 0.2, 0.34, 0.1, -0.33)
    known = (Validity.KNOWN, Validity.MOVING, Validity.KNOWN, Validity.MOVING, Validity.KNOWN)
    series = PostureSeries(edges, tuple(Posture(turn) for turn in turns), known, "test")
    unread = tuple(replace(one, found=None) for one in sound().angles)
    filled = with_log(replace(sound(), angles=unread), series)
    assert [one.found for one in filled.angles if one.is_loaded] == [0.01, 0.34, -0.33]
    assert [one.found for one in filled.angles if not one.is_loaded] == [None] * 3


def test_the_example_is_to_be_adjusted_and_its_release_is_asked_for():
    proof = prove(case(), read_proof(EXAMPLES / "fitting" / "readings" / "large.yaml"))
    assert proof.outcome is ProofOutcome.ADJUST_AND_REPEAT
    assert "release-missing" in {one.code for one in proof.judged}
    assert proof.causes[0] == "the part that raises the left side leaks"


def test_without_a_unit_nothing_is_proved():
    with pytest.raises(CannotCompute, match="no tilting unit"):
        prove(replace(case(), equipment=None), sound())
