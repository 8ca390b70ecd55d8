"""The section shows the two turns side by side, and no body where none can lie."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.section import SectionOutline
from leeward.exchange.pictures.palette import INK, PAPER, TIDE
from leeward.exchange.pictures.section import section
from leeward.exchange.pictures.section_view import view_of_outline
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from tests.unit.exchange.invented import section_view
from tests.unit.exchange.svg_reading import Picture, read_svg


def drawn(*views, width: float = 1200.0) -> Picture:
    return read_svg(section(views, width=width))


def body(picture: Picture) -> list[tuple[float, float]]:
    (outline,) = picture.shapes("polygon", fill=PAPER, stroke=INK)
    corners = [corner.split(",") for corner in (outline.get("points") or "").split()]
    return [(float(x), float(y)) for x, y in corners]


def test_surface_turn_and_body_roll_stand_side_by_side_in_words():
    said = drawn(section_view(25.0, 16.0)).said
    assert "Surface: turned to the left 25°, right side raised." in said
    assert "Body, in the room: turned to the left 16°, right side raised." in said
    assert "The body has rolled 9° less than the surface." in said


@pytest.mark.parametrize(
    ("surface", "roll", "words"),
    [
        (-20.0, -24.0, "rolled 4° more than the surface"),
        (20.0, 20.0, "rolled as far as the surface"),
        (20.0, -3.0, "rolled the other way"),
    ],
)
def test_the_difference_is_said(surface: float, roll: float, words: str):
    assert words in drawn(section_view(surface, roll)).said


def test_the_right_side_of_the_person_is_on_the_left_of_the_picture_seen_from_the_foot():
    picture = drawn(section_view(25.0, 16.0))
    x = {words: float(text.get("x")) for words, text in zip(
        picture.words, picture.shapes("text"), strict=True)}  # fmt: skip
    assert x["person's right"] < x["gravity"] < x["person's left"]
    assert "Seen from the foot of the bed" in picture.said


def test_turned_to_the_left_the_right_side_is_raised():
    picture = drawn(section_view(25.0, 16.0))
    surface = picture.shapes("polyline")[0].get("points").split()
    first, last = (float(point.split(",")[1]) for point in (surface[0], surface[-1]))
    assert first < last - 20.0


def test_the_body_keeps_its_shape():
    corners = body(drawn(section_view(0.0, 0.0)))
    wide = max(x for x, _ in corners) - min(x for x, _ in corners)
    high = max(y for _, y in corners) - min(y for _, y in corners)
    assert wide / high == pytest.approx(0.18 / 0.11, rel=0.01)


def test_longer_bars_mean_more_pressure():
    view = section_view(0.0, 0.0)
    lines = drawn(view).shapes("line", stroke=TIDE)
    drawn_lengths = [
        ((float(line.get("x2")) - float(line.get("x1"))) ** 2
         + (float(line.get("y2")) - float(line.get("y1"))) ** 2) ** 0.5
        for line in lines[: len(view.bars)]
    ]  # fmt: skip
    largest = max(bar.pressure for bar in view.bars)
    expected = [62.0 * bar.pressure / largest for bar in view.bars]
    assert drawn_lengths == pytest.approx(expected, abs=0.05)


def test_the_scale_of_the_bars_has_its_unit():
    assert "5 kPa (38 mmHg)" in drawn(section_view(0.0, 0.0)).said


@pytest.mark.parametrize("state", [s for s in EquilibriumState if s is not EquilibriumState.STABLE])
def test_only_a_stable_body_is_drawn(state: EquilibriumState):
    picture = drawn(section_view(25.0, 16.0, state))
    assert picture.shapes("polygon", fill=PAPER) == []
    assert picture.shapes("line", stroke=TIDE) == []
    assert "Body, in the room" not in picture.said
    assert "not a place to lie" in picture.said or "cannot tell" in picture.said


def test_a_roll_is_said_in_whole_degrees():
    assert "turned to the left 16°, right side raised" in drawn(section_view(25.0, 16.3)).said


def test_a_computed_cut_is_drawn_as_it_was_computed():
    drawn_by_hand = section_view(25.0, 16.0)
    outline = SectionOutline(
        part="pelvis",
        outlines=tuple(np.array(body) for body in drawn_by_hand.outlines),
        segments=("pelvis",),
        surface=np.array(drawn_by_hand.surface),
        bar_at=np.array([bar.at for bar in drawn_by_hand.bars]),
        bar_outward=np.array([bar.outward for bar in drawn_by_hand.bars]),
        bar_pressure=np.array([bar.pressure for bar in drawn_by_hand.bars]),
        surface_turn=drawn_by_hand.surface_turn,
        body_roll=drawn_by_hand.body_roll,
        state=EquilibriumState.STABLE,
    )
    assert view_of_outline(outline) == drawn_by_hand


def test_a_cut_that_was_not_computed_is_said_so():
    nothing, no_bars = np.zeros((0, 2)), np.zeros(0)
    state, nobody = EquilibriumState.NOT_SOLVED, float("nan")
    outline = SectionOutline(
        "pelvis", (), (), nothing, nothing, nothing, no_bars, 0.3, nobody, state
    )
    assert "No resting position was found" in drawn(view_of_outline(outline)).said


def test_cuts_stand_below_one_another_on_a_phone():
    views = section_view(25.0, 16.0), replace(section_view(25.0, 14.0), name="thorax")
    beside, below = drawn(*views), drawn(*views, width=380.0)
    assert len({box.get("y") for box in beside.shapes("rect")}) == 1
    assert len({box.get("y") for box in below.shapes("rect")}) == 2


def test_no_cut_is_refused():
    with pytest.raises(InvalidInput, match="no cut to draw"):
        section(())
