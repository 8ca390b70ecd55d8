"""What each site is asked to bear, on the present bed and under regimes, by one computation."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.loads import LoadRequest, posture_loads
from leeward.terms.bed import MattressKind
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import TurnMeans
from leeward.terms.site import Site
from leeward.terms.units import deg_from_radians, radians_from_deg
from leeward.tissue.demand import KNOTS_A_SIDE, LEVEL, demand, knots, posture_tables
from tests.unit.tissue.lain import ASKED, CASE, COMPARED, FOAM, ON_THE_BACK, by_hand, found, turned


def test_every_posture_and_site_is_answered_in_every_draw():
    shape = (len(found().scenarios), len(ASKED), len(found().ratios.sites))
    assert found().ratios.ratio.shape == shape
    assert found().ratios.is_stable.all()


def test_the_same_posture_by_hand_on_the_same_bed_is_the_level_it_is_measured_by():
    on_the_back = found().failed[0].ratios
    sites = on_the_back.sites
    seats = [sites.index(site) for site in (Site.SACRUM, Site.LEFT_BUTTOCK, Site.LEFT_SCAPULA)]
    at_level = on_the_back.ratio[:, on_the_back.position(LEVEL), seats]
    # Their own level load is most of what they are measured by: all lie near one.
    assert (np.abs(at_level - 1.0) < 0.2).all()


def test_a_turn_takes_load_off_the_side_raised():
    ratios = found().ratios
    left, right = (ratios.sites.index(s) for s in (Site.LEFT_SCAPULA, Site.RIGHT_SCAPULA))
    level, to_left = ratios.position(LEVEL), ratios.position(turned(20.0))
    assert (ratios.ratio[:, to_left, right] < ratios.ratio[:, level, right]).all()
    assert (ratios.ratio[:, to_left, left] > ratios.ratio[:, to_left, right]).all()


def test_regimes_share_the_draws_of_the_present_bed():
    for load in (found().compared, *found().failed):
        assert load.ratios.ratio.shape[0] == len(found().scenarios)
        assert np.isfinite(load.ratios.ratio).any(axis=(1, 2)).all()


def test_a_turn_by_hand_does_not_feel_where_the_equipment_line_lies():
    pairs: dict[tuple[object, ...], list[int]] = {}
    for number, scenario in enumerate(found().scenarios[1:], 1):
        pairs.setdefault(scenario.person_part, []).append(number)
    ratio = found().compared.ratios.ratio
    assert all(len(pair) == 2 for pair in pairs.values())
    for first, second in pairs.values():
        np.testing.assert_array_equal(ratio[first], ratio[second])


def test_ratios_at_solved_turns_are_those_of_the_table():
    again = found().ratios_at(ASKED)
    np.testing.assert_allclose(again, found().ratios.ratio, equal_nan=True)


def test_what_was_not_solved_is_unknown_and_not_guessed():
    beyond = (turned(30.0), turned(0.0, backrest=0.5), Posture(place=Place.CHAIR))
    assert np.isnan(found().ratios_at(beyond)).all()


def test_nothing_depends_on_how_the_solving_is_spread():
    backwards = found_backwards()
    np.testing.assert_allclose(backwards, found().ratios.ratio, rtol=1e-9, equal_nan=True)


def found_backwards() -> np.ndarray:
    again = demand(CASE, COMPARED, [], tuple(reversed(ASKED)))
    rows = [again.ratios.position(posture) for posture in ASKED]
    return again.ratios.ratio[:, rows]


def test_a_regime_on_a_surface_whose_sizes_are_not_known_cannot_be_computed():
    other = replace(COMPARED, means=TurnMeans.WHOLE_SURFACE)
    with pytest.raises(CannotCompute, match="whole tilting surface whose sizes are not known"):
        demand(CASE, other, [], ASKED[:1])


def test_a_failed_regime_that_cannot_be_computed_is_unknown_everywhere():
    air = replace(FOAM, kind=MattressKind.ALTERNATING_AIR, cv40=None)
    unknown = demand(CASE, by_hand(0.0), [replace(ON_THE_BACK, mattress=air)], ASKED[:1])
    assert np.isnan(unknown.failed[0].ratios.ratio).all()
    assert not unknown.failed[0].ratios.is_stable.any()


@pytest.mark.parametrize("largest_deg", [2.5, 12.0, 30.0, 40.0])
def test_level_and_the_largest_turn_are_always_solved_and_only_so_many_between(largest_deg: float):
    asked = {radians_from_deg(0.1 * tenth) for tenth in range(int(10 * largest_deg) + 1)}
    solved = knots(asked | {-turn for turn in asked})
    assert 0.0 in solved
    assert (solved[0], solved[-1]) == (-max(asked), max(asked))
    assert len(solved) <= 2 * KNOTS_A_SIDE + 1
    gaps_deg = deg_from_radians(1.0) * np.diff(solved)
    assert gaps_deg.max() <= 10.0 + 1e-9


def test_a_side_not_turned_to_is_not_solved():
    assert min(knots({0.0, 0.3})) == 0.0


def test_each_setting_of_backrest_has_its_own_table_with_its_level():
    asked = (turned(10.0), turned(0.0, backrest=0.5), Posture(place=Place.CHAIR))
    tables = posture_tables(CASE, asked)
    assert [table.postures[0].backrest for table in tables] == [0.0, 0.5]
    assert all(table.postures[0].with_turn(0.0) in table.postures for table in tables)


def test_a_load_ratio_is_the_load_over_the_level_load():
    case = CASE
    assert case.equipment is not None
    request = LoadRequest(
        case.person.body, case.bed, case.equipment.geometry, (turned(20.0),), found().scenarios[:1]
    )
    sites = found().ratios.sites
    scapula = sites.index(Site.LEFT_SCAPULA)
    direct = posture_loads(request).patch_load[0, 0, scapula]
    ratio = found().ratios.ratio[0, found().ratios.position(turned(20.0)), scapula]
    level = found().level_patch_load[0]
    assert direct / level[scapula] == pytest.approx(ratio, rel=0.15)
