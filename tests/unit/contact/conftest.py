"""Loads that several tests look at, computed once."""

import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import posture_loads
from tests.unit.contact.bodies import MAN, SPLIT, WHOLE, request, turned


@pytest.fixture(scope="session")
def split_table() -> LoadTable:
    """An ordinary body on a split surface, three scenarios."""
    postures = tuple(turned(angle) for angle in (0, 10, 20, 30, -10, -20))
    return posture_loads(request(MAN, SPLIT, postures, 3))


@pytest.fixture(scope="session")
def whole_table() -> LoadTable:
    """The same body on a whole surface, as far as it lies and beyond."""
    postures = tuple(turned(angle) for angle in (0, 10, 20, 40))
    return posture_loads(request(MAN, WHOLE, postures, 1))
