"""A what-if in words is read without a guess, or refused in one sentence."""

import pytest

from leeward.exchange.what_if_words import joined, what_if_from_numbers, what_if_from_words
from leeward.programme.what_if import WhatIf
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Side
from leeward.terms.units import radians_from_deg

WINDOWS = ("day from 06:00", "lunch", "night")
TURN_35, TURN_20 = radians_from_deg(35.0), radians_from_deg(20.0)


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("35 left", WhatIf(turn=TURN_35, towards=Side.LEFT)),
        ("35 left for 3 h", WhatIf(turn=TURN_35, towards=Side.LEFT, stay=10800.0)),
        ("right side raised 20°", WhatIf(turn=TURN_20, towards=Side.LEFT)),
        ("turned to the left 20°, right side raised", WhatIf(turn=TURN_20, towards=Side.LEFT)),
        ("20 degrees", WhatIf(turn=TURN_20)),
        ("20 both sides at night", WhatIf(turn=TURN_20, window="night")),
        ("1 h 30 min right", WhatIf(stay=5400.0, towards=Side.RIGHT)),
        ("stays of 1,5 h day from 06:00", WhatIf(stay=5400.0, window="day from 06:00")),
        ("no level stays by night", WhatIf(level_stay=0.0, window="night")),
        ("level for 30 min", WhatIf(level_stay=1800.0)),
        ("20 left, 30 min level stays", WhatIf(turn=TURN_20, towards=Side.LEFT, level_stay=1800.0)),
    ],
)
def test_plain_words_are_understood(words: str, meant: WhatIf):
    assert what_if_from_words(words, WINDOWS) == meant


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("", "nothing that would change"),
        ("left", "a side without a turn or a stay"),
        ("25", "25 without a unit or a side"),
        ("longer", "'longer' is not understood"),
        ("not 20 left", "'not' is not understood"),
        ("20 left, left side raised", "both sides are named"),
        ("35 left 25 right", "both sides are named"),
        ("20 left for 1 h for 2 h", "two stays"),
        ("20 30 left", "two numbers"),
        ("level", "level stays without a length"),
        ("20 left night lunch", "two parts of the day"),
        ("0 left", "a turn of 0°"),
        ("61 left", "a turn of 61°"),
        ("left for 25 h", "a stay of 1500 min"),
    ],
)
def test_what_is_not_plain_is_refused_in_one_sentence(words: str, said: str):
    with pytest.raises(InvalidInput) as refused:
        what_if_from_words(words, WINDOWS)
    assert said in refused.value.sentence
    assert "\n" not in refused.value.sentence


def test_words_and_options_together_say_each_setting_once():
    words = what_if_from_words("20 left", WINDOWS)
    assert joined(words, what_if_from_numbers(None, 90.0, None)).stay == 5400.0
    with pytest.raises(InvalidInput, match="turn is said twice"):
        joined(words, what_if_from_numbers(25.0, None, None))
