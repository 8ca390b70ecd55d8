"""Segment masses and centres against de Leva's adjustments of Zatsiorsky's data.

P. de Leva 1996, J Biomech 29:1223, Table 4, doi:10.1016/0021-9290(95)00178-6 (seen through two
independent public transcriptions). Mass as a fraction of body mass, women / men:

    head 0.0668 / 0.0694    trunk 0.4257 / 0.4346 = upper + mid + lower
    one arm 0.0449 / 0.0494 (upper arm + forearm + hand)
    one leg 0.2088 / 0.1986 (thigh + shank + foot)

Centre of mass of a body lying with arms at its sides: 0.555 of stature from the soles, both sexes
(summed from the table's own lengths).
"""

import numpy as np
import pytest

from leeward.contact.layout import lay_out
from leeward.contact.segments import INDEX, mass_fractions, subtree
from leeward.terms.body import Body, Sex

TABLE = pytest.mark.published("de Leva 1996, J Biomech 29:1223", "Table 4")
PARTS = {
    "head": {Sex.FEMALE: 0.0668, Sex.MALE: 0.0694},
    "left upper arm": {Sex.FEMALE: 0.0449, Sex.MALE: 0.0494},
    "right thigh": {Sex.FEMALE: 0.2088, Sex.MALE: 0.1986},
}


@TABLE
@pytest.mark.parametrize("sex", list(Sex))
def test_masses_add_up_to_the_body(sex: Sex):
    """0.0002: the table is given to four decimals; its women's sum is 0.9999."""
    assert mass_fractions(sex).sum() == pytest.approx(1.0, abs=0.0002)


@TABLE
@pytest.mark.parametrize(("sex", "trunk"), [(Sex.FEMALE, 0.4257), (Sex.MALE, 0.4346)])
def test_the_trunk_is_its_three_parts(sex: Sex, trunk: float):
    parts = [INDEX[name] for name in ("pelvis", "abdomen", "thorax")]
    assert mass_fractions(sex)[parts].sum() == pytest.approx(trunk, abs=0.0002)


@TABLE
@pytest.mark.parametrize("sex", list(Sex))
@pytest.mark.parametrize("part", PARTS)
def test_limbs_and_head_weigh_what_the_table_says(part: str, sex: Sex):
    mass = mass_fractions(sex)[list(subtree(part))].sum()
    assert mass == pytest.approx(PARTS[part][sex], abs=0.0002)


@TABLE
@pytest.mark.parametrize("sex", list(Sex))
@pytest.mark.parametrize(("stature", "mass"), [(1.75, 75.0), (1.60, 50.0), (1.85, 110.0)])
def test_the_whole_bodys_centre_lies_where_the_table_puts_it(sex: Sex, stature: float, mass: float):
    """0.015 of stature: joints here follow another table than the table's segments."""
    layout = lay_out(Body(stature, mass, sex))
    share = mass_fractions(sex)
    from_hips = float(np.sum(share * layout.mass_centre[:, 1]))
    assert 0.530 + from_hips / stature == pytest.approx(0.555, abs=0.015)
