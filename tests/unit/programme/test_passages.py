"""The example of the module, taken apart: heads, steps and tails of one candidate."""

import numpy as np

from leeward.programme.passages import Passage, passages
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg, seconds_from_min
from tests.unit.programme import invented

LEFT, LEVEL, RIGHT = (radians_from_deg(turn) for turn in (30.0, 0.0, -30.0))


def test_a_chain_is_cut_where_what_came_before_no_longer_matters():
    case = invented.case(invented.unit(rise_time=60.0))
    table = invented.searched(case).table
    left, level, right = (table.row(Posture(turn=turn)) for turn in (LEFT, LEVEL, RIGHT))
    stays = np.array([[seconds_from_min(stay) for stay in (60.0, 4.0, 56.0)]])
    rows = np.array([[left, level, right]])
    found = passages(stays, rows, table, np.ones(3, dtype=bool))
    # From the unit's other side it is 2 min, and 20 s more from the 40 degrees it was solved to.
    into = float(table.movements.time[:, left].max()) + 300.0
    assert found.heads == (Passage((-1, left), (into,), (True,)),)
    inside = Passage((left, level, right), (240.0, 360.0), (True, True))
    assert found.inner == (Passage(), inside)
    assert found.step.tolist() == [[0, 1]]
    assert found.row.tolist() == [[left, right]]
    np.testing.assert_allclose(found.rest, [[3600.0 - into, 3360.0 - 360.0]])
    assert found.tails == (Passage((right,), (), ()),)
