"""What nurses do and teach, held against the model and the planning.

Each is common practice, no source, unless a source stands with it. Loads are those of one invented
body on a split surface, or turned by hand, one scenario; planning uses an invented law of loads.
"""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.programme.decision import SiteStanding
from leeward.programme.ground import measured_by
from leeward.programme.loads import PROTECTED_RATIO
from leeward.programme.planning import find
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.person import ProtectedSite, SignedReason
from leeward.terms.posture import Posture
from leeward.terms.regime import RegimeStanding
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import SkinCheck, SkinFinding
from leeward.terms.units import radians_from_deg
from leeward.tissue.allowance import steady_peak
from leeward.tissue.demand import RegimeDemand
from leeward.tissue.reference_load import load_ratios
from leeward.tissue.standing import decide_standing
from tests.unit.programme import invented
from tests.unit.programme.asked import plain

BODY = Body(stature=1.68, mass=72.0, sex=Sex.FEMALE)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.05, 12.0)
TURNS_DEG = (-30.0, 0.0, 20.0, 30.0, 40.0)
SIGNED = SignedReason("Invented nurse", datetime(2026, 3, 1, tzinfo=UTC).date(), "as written")


class Loads:
    """Load ratios of the body by turn in degrees, against lying flat and level."""

    def __init__(self, surface: SurfaceGeometry | None) -> None:
        postures = tuple(Posture(turn=radians_from_deg(deg)) for deg in TURNS_DEG)
        scenario = corner_scenarios(Bed(), SPLIT, BODY)[:1]
        table = posture_loads(LoadRequest(BODY, Bed(), surface, postures, scenario))
        level = posture_loads(LoadRequest(BODY, Bed(), None, (Posture(),), scenario))
        self.sites = table.sites
        self.ratio = load_ratios(table.patch_load, level.patch_load[:, 0], table.sites)[0]

    def at(self, site: Site, deg: float) -> float:
        return float(self.ratio[TURNS_DEG.index(deg), self.sites.index(site)])

    def peak(self, degs: tuple[float, ...], stay: float = 7200.0) -> np.ndarray:
        rows = [TURNS_DEG.index(deg) for deg in degs]
        return steady_peak(np.full(len(rows), stay), self.ratio[rows])


@pytest.fixture(scope="module")
def loads() -> Loads:
    return Loads(SPLIT)


@pytest.fixture(scope="module")
def by_hand() -> Loads:
    return Loads(None)


@pytest.mark.parametrize("deg", [20.0, 30.0])
def test_a_turn_by_hand_relieves_the_sacrum_and_the_raised_buttock(by_hand: Loads, deg: float):
    """What practice says of people turned by 20 to 30 degrees, from a pillow behind the back."""
    assert by_hand.at(Site.SACRUM, deg) < 0.9 * by_hand.at(Site.SACRUM, 0.0)
    assert by_hand.at(Site.RIGHT_BUTTOCK, deg) < 0.9 * by_hand.at(Site.RIGHT_BUTTOCK, 0.0)


def test_a_split_surface_relieves_them_less_as_it_rolls_the_pelvis_less(
    loads: Loads, by_hand: Loads
):
    """Woodhouse 2015: 9 to 12 degrees less roll. At 30 the raised buttock keeps 0.91."""
    for site in (Site.SACRUM, Site.RIGHT_BUTTOCK):
        level, some, more = (loads.at(site, deg) for deg in (0.0, 20.0, 30.0))
        assert more < some < 0.95 * level
        assert by_hand.at(site, 30.0) < more
    assert loads.at(Site.SACRUM, 20.0) < 0.9 * loads.at(Site.SACRUM, 0.0)


def test_a_turn_of_40_degrees_loads_the_low_trochanter(loads: Loads):
    """Why 20 to 30 degrees come before lying on the side (EPUAP/NPIAP/PPPIA 2019, from memory)."""
    low = [loads.at(Site.LEFT_TROCHANTER, deg) for deg in (0.0, 20.0, 30.0, 40.0)]
    assert low[3] > low[2] > low[0]
    assert loads.at(Site.LEFT_TROCHANTER, 40.0) > 2.0 * loads.at(Site.RIGHT_TROCHANTER, 40.0)


@pytest.mark.parametrize("deg", TURNS_DEG)
def test_no_tilt_floats_a_heel(loads: Loads, deg: float):
    """A tilt takes a tenth to a third of the load from a heel; floated is free of all of it."""
    for heel in (Site.LEFT_HEEL, Site.RIGHT_HEEL):
        assert loads.at(heel, deg) > PROTECTED_RATIO


def test_heels_are_hands_work_whatever_the_turns():
    for choice in plain().choices:
        results = {one.site: one for one in choice.assessment.sites}
        tasks = {site for task in choice.programme.tasks for site in task.sites}
        for heel in (Site.LEFT_HEEL, Site.RIGHT_HEEL):
            assert results[heel].standing is SiteStanding.NEEDS_HANDS
            assert results[heel].index is None
            assert heel in tasks


def test_level_time_costs_most_on_a_split_surface(loads: Loads):
    """With as many hours of each, level stays load the mid-line more than going side to side."""
    with_level, sides = loads.peak((30.0, 0.0, -30.0, 0.0)), loads.peak((30.0, -30.0))
    for site in (Site.SACRUM, Site.COCCYX):
        column = loads.sites.index(site)
        assert with_level[column] > sides[column]


def test_existing_damage_is_not_lain_on():
    case = plain().stands.case
    sore = ProtectedSite(Site.SACRUM, "open wound", 0.75, SIGNED)
    case = replace(case, person=replace(case.person, protected_sites=(sore,)))
    ratios, compared = plain().stands.demand.ratios, plain().stands.problem.compared
    found = find(case, ratios, compared, invented.NOW)
    column = ratios.sites.index(Site.SACRUM)
    assert found.choices
    for choice in found.choices:
        for window in choice.programme.windows:
            for stay in window.cycle:
                load = ratios.ratio[:, ratios.position(stay.posture), column].max()
                assert load <= 0.75 or not choice.assessment.qualifies


@pytest.mark.parametrize("hours", [1.0, 1.5, 2.0])
def test_stays_are_only_as_long_as_the_regime_that_was_seen_clear(hours: float):
    case = plain().stands.case
    lain = invented.regime(case, stay_min=60.0 * hours)
    ratios = invented.load_ratios(case, postures=invented.regime_postures(lain))
    found = find(case, ratios, invented.measured_by(case, ratios, lain), invented.NOW)
    longest = [
        stay.duration
        for choice in found.choices
        if choice.assessment.qualifies
        for window in choice.programme.windows
        for stay in window.cycle
    ]
    assert longest
    assert max(longest) <= 3600.0 * hours


def redness_at(site: Site) -> SkinCheck:
    when = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
    return SkinCheck(when, "Invented nurse", site, SkinFinding.REDNESS_THAT_STAYS)


def test_lasting_redness_under_a_regime_ends_what_it_proved():
    case = plain().stands.case
    assert decide_standing(case, invented.NOW).compared is not None
    red = replace(case, skin_checks=(*case.skin_checks, redness_at(Site.SACRUM)))
    assert decide_standing(red, invented.NOW).compared is None


@pytest.mark.parametrize("site", [Site.SACRUM, Site.LEFT_SCAPULA])
def test_lasting_redness_never_improves_an_index(site: Site):
    """Under an assumed policy, which redness does not end, it leaves less room at its site."""
    stands = plain().stands
    lain = replace(
        stands.case.regimes[0],
        standing=RegimeStanding.ASSUMED,
        assumed_by="Invented nurse",
        source="invented policy",
    )
    case = replace(stands.case, regimes=(lain,), skin_checks=())
    red = replace(case, skin_checks=(redness_at(site),))
    room, left = (allowed_in(one) for one in (case, red))
    responsive = [n for n, s in enumerate(stands.demand.ratios.sites) if s in RESPONSIVE_SITES]
    assert bool((left[:, responsive] <= room[:, responsive] + 1e-12).all())
    column = stands.demand.ratios.sites.index(site)
    assert bool((left[:, column] < room[:, column]).all())


def allowed_in(case: Case) -> np.ndarray:
    demand = plain().stands.demand
    standing = decide_standing(case, invented.NOW)
    assert standing.compared is not None
    failed = tuple(RegimeDemand(one.regime, demand.compared.ratios) for one in standing.failed)
    compared = RegimeDemand(standing.compared.regime, demand.compared.ratios)
    return measured_by(case, standing, replace(demand, compared=compared, failed=failed)).allowed()
