"""The nearest known name is offered, and none where none is near."""

import pytest

from leeward.records.nearest import nearest_name

FIELDS = ("stature", "mass", "hip_breadth", "buttock_depth")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("statuer", "stature"), ("Mass", "mass"), ("hipbreadth", "hip_breadth"), ("mas", "mass")],
)
def test_a_slip_finds_its_name(typed: str, meant: str):
    assert nearest_name(typed, FIELDS) == meant


@pytest.mark.parametrize("typed", ["colour", "", "x" * 100_000])
def test_a_stranger_finds_none(typed: str):
    assert nearest_name(typed, FIELDS) is None


def test_with_nothing_known_there_is_nothing_near():
    assert nearest_name("mass", []) is None
