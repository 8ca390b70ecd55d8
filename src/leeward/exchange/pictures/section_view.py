"""A computed cut as the section's input."""

import numpy as np
from numpy.typing import NDArray

from leeward.contact.section import SectionOutline
from leeward.exchange.pictures.section import Coordinates, PressureBar, SectionView

#: What a cut is called where the part's own name is not what a reader looks for.
_NAMES = {"thorax": "chest", "left foot": "left heel", "right foot": "right heel"}


def view_of_outline(outline: SectionOutline) -> SectionView:
    """Take a cut through body and bed as it was computed."""
    bars = zip(
        _places(outline.bar_at), _places(outline.bar_outward), outline.bar_pressure, strict=True
    )
    return SectionView(
        name=_NAMES.get(outline.part, outline.part),
        outlines=tuple(_places(body) for body in outline.outlines),
        surface=_places(outline.surface),
        bars=tuple(PressureBar(at, outward, float(pressure)) for at, outward, pressure in bars),
        surface_turn=outline.surface_turn,
        body_roll=outline.body_roll,
        state=outline.state,
    )


def _places(points: NDArray[np.float64]) -> tuple[Coordinates, ...]:
    return tuple((float(x), float(z)) for x, z in points)
