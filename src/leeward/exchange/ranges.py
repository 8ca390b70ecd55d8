"""What a written number may be: absolute edges refuse it, usual edges ask about it.

Built once and used twice: the schema takes the absolute edges, the check of a case asks
whether a value outside the usual ones is meant. Values are in the field's own unit, as
the person who writes it sees it.
"""

from dataclasses import dataclass
from typing import Any

from pydantic import Field

from leeward.terms.limits import Guardrail, Limit, Standing

_CONVENTION = "convention of this project: nothing outside describes a person or a bed"


@dataclass(frozen=True, slots=True)
class FieldRange:
    """The range of one written field.

    Parameters
    ----------
    unit : str
        The unit as said.
    guardrail : Guardrail
        Edges in that unit.
    """

    unit: str
    guardrail: Guardrail

    @property
    def edges(self) -> Any:
        """The absolute edges as the schema takes them."""
        return Field(ge=self.guardrail.least.value, le=self.guardrail.greatest.value)

    @property
    def usual(self) -> str:
        """The usual range in words, with its source."""
        low, high = self.guardrail.recommended_least, self.guardrail.recommended_greatest
        if low is None or high is None:
            raise AssertionError("every written range has usual edges")
        return f"{low.value:g} to {high.value:g} {self.unit} ({low.source})"

    def is_unusual(self, value: float) -> bool:
        """Whether a value lies outside the usual range.

        Parameters
        ----------
        value : float
            In the field's own unit.

        Returns
        -------
        bool
            True outside; the edges themselves are usual.
        """
        return self.guardrail.standing(value) is not Standing.RECOMMENDED


def _range(
    quantity: str, unit: str, absolute: tuple[float, float], usual: tuple[float, float, str]
) -> FieldRange:
    low, high, source = usual
    return FieldRange(
        unit,
        Guardrail(
            quantity=quantity,
            least=Limit(absolute[0], unit, _CONVENTION),
            greatest=Limit(absolute[1], unit, _CONVENTION),
            recommended_least=Limit(low, unit, source),
            recommended_greatest=Limit(high, unit, source),
        ),
    )


_SURVEY = "ANSUR II 2012, least and greatest, widened upwards by half for heavier people"
_NHANES = "adults of NHANES 2017-March 2020, least and greatest, rounded outwards"
_FOAM = "hospital foam, common practice, from memory"
_BED = "adult bed platforms, common practice, from memory"

AGE = _range("age", "years", (0, 130), (18, 110, "adults; convention of this project"))
STATURE = _range("stature", "cm", (40, 260), (131, 200, _NHANES))
MASS = _range("mass", "kg", (2, 650), (32, 255, _NHANES))
HIP_BREADTH = _range("hip breadth", "cm", (10, 120), (26, 71, _SURVEY))
SHOULDER_BREADTH = _range("shoulder breadth", "cm", (15, 120), (35, 96, _SURVEY))
CHEST_DEPTH = _range("chest depth", "cm", (8, 90), (17, 57, _SURVEY))
WAIST_DEPTH = _range("waist depth", "cm", (8, 100), (13, 61, _SURVEY))
BUTTOCK_DEPTH = _range("buttock depth", "cm", (8, 90), (16, 52, _SURVEY))
HIP_GIRTH = _range("hip girth", "cm", (40, 300), (70, 200, _SURVEY))
WAIST_GIRTH = _range("waist girth", "cm", (30, 300), (55, 200, _SURVEY))
MATTRESS_THICKNESS = _range("mattress thickness", "mm", (10, 600), (80, 300, _FOAM))
FOAM_HARDNESS = _range("foam hardness CV40", "kPa", (0.2, 30), (1, 8, _FOAM))
INDENTATION_HARDNESS = _range(
    "indentation hardness",
    "N",
    (5, 2000),
    (40, 400, _FOAM),
)
YEARS_IN_USE = _range("years in use", "years", (0, 40), (0, 10, _FOAM))
PILLOW_THICKNESS = _range(
    "pillow thickness", "mm", (0, 500), (0, 250, "pillows, common practice, from memory")
)
FOAM_DENSITY = _range("foam density", "kg per cubic metre", (5, 300), (25, 90, _FOAM))
PLATFORM_WIDTH = _range("platform width", "cm", (50, 200), (80, 130, _BED))
SAFE_WORKING_LOAD = _range("safe working load", "kg", (50, 1000), (135, 600, _BED))
FRICTION = _range(
    "friction coefficient",
    "",
    (0.01, 2),
    (0.1, 1.0, "slide sheets 0.1 to cotton on skin 0.9, Temel 2022 and reports from memory"),
)
