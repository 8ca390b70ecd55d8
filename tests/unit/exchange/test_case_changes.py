"""What changed between two cases is named field by field."""

from leeward.exchange.case_changes import case_changes

BEFORE = {
    "person": {"label": "P", "mass_kg": 70},
    "lines": [{"what": "drip", "side": "left"}, {"what": "tube", "side": "right"}],
    "rounds": ["06:00", "12:00"],
}


def test_the_same_case_has_no_changes():
    assert case_changes(BEFORE, BEFORE) == ()


def test_a_field_is_named_with_what_stood_there_and_what_stands_there_now():
    after = {**BEFORE, "person": {"label": "P", "mass_kg": 62, "sex": "female"}}
    shown = {(one.field, one.before, one.after) for one in case_changes(BEFORE, after)}
    assert shown == {
        ("person.mass_kg", "70", "62"),
        ("person.sex", "not given", "'female'"),
    }


def test_an_entry_of_a_list_is_known_again_by_its_name():
    after = {
        **BEFORE,
        "lines": [{"what": "tube", "side": "right"}, {"what": "drip", "side": "right"}],
    }
    found = case_changes(BEFORE, after)
    assert [(one.field, one.before, one.after) for one in found] == [
        ("lines['drip'].side", "'left'", "'right'")
    ]


def test_an_entry_that_is_gone_is_said_to_be_gone():
    found = case_changes(BEFORE, {**BEFORE, "rounds": ["06:00"]})
    assert [(one.field, one.after) for one in found] == [("rounds[2]", "not given")]
