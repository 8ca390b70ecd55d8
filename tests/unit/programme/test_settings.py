from leeward.programme.programme import Programme, Window
from leeward.programme.settings import order_of, settings_in_words
from leeward.terms.clock import DaySpan
from leeward.terms.equipment import AfterPowerLoss, Order
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Stay
from leeward.terms.units import radians_from_deg
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR

LEFT, LEVEL, RIGHT = (Posture(turn=radians_from_deg(turn)) for turn in (20.0, 0.0, -20.0))


def window(name, start, end, *stays, by=""):
    return Window(name, DaySpan(start * HOUR, end * HOUR), stays, by)


NIGHT = window(
    "night",
    22,
    7,
    Stay(LEFT, 2 * HOUR),
    Stay(LEVEL, HOUR),
    Stay(RIGHT, 2 * HOUR),
    Stay(LEVEL, HOUR),
)
CHAIR = window("chair", 7, 22, Stay(Posture(place=Place.CHAIR), 15 * HOUR), by="therapist")


def lines(*windows, **ability):
    return settings_in_words(Programme(windows), invented.unit(**ability))


def test_settings_come_in_the_order_in_which_they_are_entered():
    found = lines(NIGHT, CHAIR)
    assert found[:4] == (
        "night, 22:00 to 07:00: backrest 0°, order left, level, right, level.",
        "night, 22:00 to 07:00: turned to the left 20°, right side raised, stay 2 h.",
        "night, 22:00 to 07:00: level, stay 60 min.",
        "night, 22:00 to 07:00: turned to the right 20°, left side raised, stay 2 h.",
    )


def test_a_chair_is_named_with_who_prescribed_it():
    assert (
        "chair, 07:00 to 22:00: out in a chair (prescribed by therapist); stop the unit level."
        in (lines(NIGHT, CHAIR))
    )


def test_what_the_unit_cannot_do_is_said():
    found = " ".join(
        lines(
            NIGHT,
            CHAIR,
            pauses_above_backrest=radians_from_deg(30.0),
            programmes_per_day=1,
            after_power_loss=AfterPowerLoss.STAYS_STOPPED,
        )
    )
    for said in ("backrest of 30° the unit pauses", "one cycle", "After a power cut", "heels"):
        assert said in found


def test_every_order_is_recognised_and_another_is_not():
    stay = {"L": Stay(LEFT, HOUR), "-": Stay(LEVEL, HOUR), "R": Stay(RIGHT, HOUR)}
    known = {
        "L-R-": Order.LEFT_LEVEL_RIGHT_LEVEL,
        "LR": Order.LEFT_RIGHT,
        "L-": Order.LEFT_LEVEL,
        "R-": Order.RIGHT_LEVEL,
    }
    for places, order in known.items():
        assert order_of(tuple(stay[place] for place in places)) is order
    assert order_of((stay["R"], stay["L"])) is None
