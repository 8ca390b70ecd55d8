"""What a written number may be: absolute edges refuse it, usual edges ask about it.

Built once and used twice: the schema takes the absolute edges, the check of a case asks
whether a value outside the usual ones is meant. Values are in the field's own unit, as
the person who writes it sees it.
"""

from dataclasses import dataclass
from typing import Any

from annotated_types import Interval

from leeward.terms.limits import Guardrail, Limit

_CONVENTION = "convention of this project: nothing outside describes a person or a bed"


@dataclass(frozen=True, slots=True)
class FieldRange:
    """The range of one written field.

    Parameters
    ----------
    field : str
        Its name, with the unit in it.
    unit : str
        The unit as said.
    guardrail : Guardrail
        Edges in that unit.
    """

    field: str
    unit: str
    guardrail: Guardrail

    @property
    def edges(self) -> Any:
        """The absolute edges as the schema takes them."""
        return Interval(ge=self.guardrail.least.value, le=self.guardrail.greatest.value)

    @property
    def usual_in_words(self) -> str:
        """The usual range in words."""
        low, high = self.guardrail.recommended_least, self.guardrail.recommended_greatest
        if low is None or high is None:
            return (
                f"{self.guardrail.least.value:g} to {self.guardrail.greatest.value:g} {self.unit}"
            )
        return f"{low.value:g} to {high.value:g} {self.unit}"

    @property
    def source(self) -> str:
        """Where the usual range comes from."""
        low = self.guardrail.recommended_least
        return self.guardrail.least.source if low is None else low.source


def _range(
    field: str,
    unit: str,
    absolute: tuple[float, float],
    usual: tuple[float, float],
    source: str,
) -> FieldRange:
    quantity = field.rsplit("_", 1)[0].replace("_", " ")
    return FieldRange(
        field,
        unit,
        Guardrail(
            quantity=quantity,
            least=Limit(absolute[0], unit, _CONVENTION),
            greatest=Limit(absolute[1], unit, _CONVENTION),
            recommended_least=Limit(usual[0], unit, source),
            recommended_greatest=Limit(usual[1], unit, source),
        ),
    )


_ANSUR = "ANSUR II 2012, men and women together, widened for frailty and obesity by convention"
_BED = "typical profiling beds, evidence 8.20 to 8.22 (from memory)"
_FOAM = "hospital foam, ISO 3386-1 practice, evidence 6.4 to 6.8 (from memory)"
_NHANES = "adults in NHANES 2017-March 2020, least and greatest, rounded outwards"

#: Every written number whose usual range is known, by field name.
RANGES: dict[str, FieldRange] = {
    entry.field: entry
    for entry in (
        _range("age_years", "years", (0, 130), (18, 105), "adults"),
        _range("stature_cm", "cm", (40, 260), (130, 205), _NHANES),
        _range("mass_kg", "kg", (2, 650), (30, 260), _NHANES),
        _range("hip_breadth_cm", "cm", (10, 120), (26, 75), _ANSUR),
        _range("shoulder_breadth_cm", "cm", (15, 120), (32, 80), _ANSUR),
        _range("chest_depth_cm", "cm", (8, 90), (15, 50), _ANSUR),
        _range("waist_depth_cm", "cm", (8, 100), (13, 60), _ANSUR),
        _range("buttock_depth_cm", "cm", (8, 90), (14, 50), _ANSUR),
        _range("thickness_mm", "mm", (1, 600), (80, 300), _FOAM),
        _range("cv40_kpa", "kPa", (0.2, 30), (1, 8), _FOAM),
        _range("density_kg_m3", "kg per cubic metre", (5, 300), (25, 90), _FOAM),
        _range("platform_width_cm", "cm", (50, 200), (80, 130), _BED),
        _range("safe_working_load_kg", "kg", (50, 1000), (135, 500), "trade practice, no source"),
        _range("friction_coefficient", "without unit", (0.01, 2), (0.1, 1.0), "evidence 6.20-6.27"),
    )
}
