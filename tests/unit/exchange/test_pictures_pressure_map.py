"""The pressure map: one scale for all, sites with peak and cell, nothing where nobody can lie."""

import itertools

import numpy as np
import pytest

from leeward.contact.pressure_map import (
    LOCAL_CELL,
    PEAK_CELL,
    Highest,
    Outline,
    Peak,
    PressureMap,
    SitePressure,
    no_map,
)
from leeward.exchange.pictures.drawing import text_width
from leeward.exchange.pictures.pressure_map import STEPS_MMHG, pressure_map
from leeward.exchange.pictures.pressure_map_contours import contours
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import pascal_from_mmhg, radians_from_deg
from tests.unit.exchange.svg_reading import Picture, read_svg

TURNED = Posture(turn=radians_from_deg(20.0))


def invented() -> PressureMap:
    """A round print under a square body, invented."""
    across, along = 0.02 * np.arange(-8, 9), 0.02 * np.arange(-30, 31)
    away = np.hypot(across[None, :], 0.5 * along[:, None])
    pressure = pascal_from_mmhg(70.0) * np.clip(1.0 - away / 0.14, 0.0, 1.0)
    nothing = np.zeros_like(pressure)
    peak = Peak(pascal_from_mmhg(31.0), PEAK_CELL.value)
    small = Peak(pascal_from_mmhg(52.0), LOCAL_CELL.value)
    faint = Peak(pascal_from_mmhg(2.0), PEAK_CELL.value)
    return PressureMap(
        posture=TURNED,
        scenario="central",
        state=EquilibriumState.STABLE,
        cell=0.02,
        across=across,
        along=along,
        pressure=pressure,
        shear_across=nothing,
        shear_along=nothing,
        deflection=nothing,
        sites=(
            SitePressure(Site.SACRUM, 0.0, 0.1, 3000.0, peak, None, -600.0, 0.0),
            SitePressure(Site.LEFT_HEEL, 0.1, -0.5, 3000.0, peak, small, 0.0, 0.0),
            SitePressure(Site.RIGHT_BUTTOCK, -0.1, 0.0, 100.0, faint, None, 0.0, 0.0),
        ),
        highest=Highest("left upper arm", 0.04, 0.2, Peak(pascal_from_mmhg(66.0), 0.04)),
        outlines=(Outline("pelvis", ((-0.16, -0.6), (0.16, -0.6), (0.16, 0.6), (-0.16, 0.6))),),
        pelvis_roll=0.2,
        thorax_roll=0.2,
        friction_demand=0.4,
        margin=0.02,
        body_residual=1e-8,
        foam_residual=1e-8,
        weight_error=1e-8,
    )


def drawn(width: float = 760.0) -> Picture:
    return read_svg(pressure_map(invented(), width=width))


def luminance(colour: str) -> float:
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_left_right_and_the_raised_side_are_said_in_words():
    picture = drawn()
    assert "Turned to the left 20°, right side raised" in picture.said
    (right,) = picture.shapes("text", text_anchor="start", font_weight="700")
    (left,) = picture.shapes("text", text_anchor="end", font_weight="700")
    assert (right.text, left.text) == ("person's right", "person's left")
    assert float(right.get("x")) < float(left.get("x"))


def test_a_peak_stands_beside_its_cell():
    picture = drawn()
    assert "left heel 31 (52 over 10 mm)" in picture.words
    assert "highest mean over a square of 40 mm near the site" in picture.said
    assert "squares of 20 mm" in picture.said


def test_a_site_that_bears_nearly_nothing_is_not_named():
    assert "right buttock" not in drawn().said


def test_the_highest_place_is_ringed_even_where_no_site_is():
    picture = drawn()
    assert "Ring: highest anywhere on the body, 66 mmHg over 40 mm, left upper arm." in picture.said
    assert len(picture.shapes("circle", r="11")) == 2


def test_steps_are_the_same_in_every_map_and_darken_in_black_and_white():
    tints = [shape.get("fill") for shape in drawn().shapes("rect") if shape.get("stroke-width")]
    assert len(tints) == len(STEPS_MMHG)
    light = [luminance(tint) for tint in tints]
    assert all(later < earlier - 25.0 for earlier, later in itertools.pairwise(light))


def test_the_person_is_not_mirrored():
    """Left of the person is on the right of the picture, the head at the top."""
    circles = drawn().shapes("circle", r="3")
    sacrum, heel = ((float(c.get("cx")), float(c.get("cy"))) for c in circles)
    assert heel[0] > sacrum[0]
    assert heel[1] > sacrum[1]


def test_what_the_map_does_not_know_is_said():
    assert "Not known, whatever the tint:" in drawn().said
    assert "right heel" in drawn().said.split("Not known")[1]


def test_friction_points_the_way_the_bed_pulls_the_skin():
    (arrow,) = drawn().shapes("line", stroke_width="2")
    assert float(arrow.get("x2")) < float(arrow.get("x1"))
    assert float(arrow.get("y2")) == pytest.approx(float(arrow.get("y1")))


@pytest.mark.parametrize("width", [360.0, 560.0, 760.0, 1200.0])
def test_no_words_run_off_the_picture(width: float):
    picture = drawn(width)
    for text in picture.shapes("text"):
        x, size = float(text.get("x")), float(text.get("font-size"))
        long = 0.92 * text_width(text.text or "", size)
        start = {"end": x - long, "middle": x - long / 2.0}.get(text.get("text-anchor"), x)
        assert start >= 0.0
        assert start + long <= width


def test_equal_input_gives_equal_bytes():
    assert pressure_map(invented()) == pressure_map(invented())


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (EquilibriumState.SLIDES, "The body slides: not a place to lie."),
        (EquilibriumState.TIPS, "The body tips over"),
        (EquilibriumState.NOT_SOLVED, "No resting position was found"),
        (EquilibriumState.NOT_MODELLED, "cannot tell"),
    ],
)
def test_where_nobody_can_lie_no_pressure_is_shown(state: EquilibriumState, words: str):
    picture = read_svg(pressure_map(no_map(TURNED, "central", state)))
    assert words in picture.said
    assert words in picture.description
    assert picture.shapes("path") == picture.shapes("circle") == []


def test_too_narrow_a_map_is_refused():
    with pytest.raises(InvalidInput, match="a width of 200"):
        pressure_map(invented(), width=200.0)


def area(loop: tuple[tuple[float, float], ...]) -> float:
    """Area inside a closed outline, its sign that of its sense."""
    x, y = np.array(loop).T
    return 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def test_a_cone_is_cut_in_a_circle():
    """2 %: straight pieces from square to square."""
    x, y = np.meshgrid(np.arange(41.0), np.arange(41.0))
    (loop,) = contours(20.0 - np.hypot(x - 20.0, y - 20.0), 8.0)
    assert abs(area(loop)) == pytest.approx(np.pi * 12.0**2, rel=0.02)


def test_a_hole_is_an_outline_of_the_other_sense():
    x, y = np.meshgrid(np.arange(41.0), np.arange(41.0))
    away = np.hypot(x - 20.0, y - 20.0)
    loops = contours(4.0 - np.abs(away - 12.0), 1.0)
    senses = sorted(area(loop) for loop in loops)
    assert len(loops) == 2
    assert senses[0] < 0.0 < senses[1]


def test_what_reaches_the_rim_is_closed_there():
    (loop,) = contours(np.full((3, 4), 2.0), 1.0)
    assert abs(area(loop)) == pytest.approx(3.0 * 4.0 - 0.5, abs=0.6)
    assert len(loop) == 14


@pytest.mark.parametrize(("values", "loops"), [([[2.0, 0.0], [0.0, 2.0]], 2)])
def test_two_corners_that_barely_meet_stay_apart(values, loops: int):
    assert len(contours(np.array(values), 1.5)) == loops
