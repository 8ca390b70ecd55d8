"""Values that are possible but unusual: outside the usual range, or far from the tables."""

from collections.abc import Iterator

from leeward.contact.anthropometry import (
    BUTTOCK_DEPTH,
    CHEST_DEPTH,
    HIP_BREADTH,
    HIP_GIRTH,
    SHOULDER_BREADTH,
    WAIST_DEPTH,
    WAIST_GIRTH,
    Regression,
)
from leeward.exchange import ranges
from leeward.exchange.case_file import CaseDocument
from leeward.exchange.document import Plain
from leeward.exchange.findings import CaseFinding, CaseFindingKind
from leeward.exchange.problems import Place, field_path
from leeward.exchange.ranges import FieldRange
from leeward.terms.body import Body, Sex
from leeward.terms.units import cm_from_metres

#: Usual ranges by field, beside those of every mattress.
USUAL: dict[Place, FieldRange] = {
    ("person", "age_years"): ranges.AGE,
    ("person", "stature_cm"): ranges.STATURE,
    ("person", "mass_kg"): ranges.MASS,
    ("person", "hip_breadth_cm"): ranges.HIP_BREADTH,
    ("person", "shoulder_breadth_cm"): ranges.SHOULDER_BREADTH,
    ("person", "chest_depth_cm"): ranges.CHEST_DEPTH,
    ("person", "waist_depth_cm"): ranges.WAIST_DEPTH,
    ("person", "buttock_depth_cm"): ranges.BUTTOCK_DEPTH,
    ("person", "hip_girth_cm"): ranges.HIP_GIRTH,
    ("person", "waist_girth_cm"): ranges.WAIST_GIRTH,
    ("bed", "platform", "platform_width_cm"): ranges.PLATFORM_WIDTH,
    ("bed", "safe_working_load_kg"): ranges.SAFE_WORKING_LOAD,
    ("bed", "friction_coefficient"): ranges.FRICTION,
    ("bed", "pillows", "head_mm"): ranges.PILLOW_THICKNESS,
    ("bed", "pillows", "calves_mm"): ranges.PILLOW_THICKNESS,
    ("bed", "pillows", "knees_mm"): ranges.PILLOW_THICKNESS,
}
#: One foam may be as thin as a cover, and is as old as its mattress.
_OF_THE_WHOLE = ("thickness_mm", "years_in_use")
#: Usual ranges of a mattress, the present one or a former one.
USUAL_MATTRESS: dict[str, FieldRange] = {
    "thickness_mm": ranges.MATTRESS_THICKNESS,
    "cv40_kpa": ranges.FOAM_HARDNESS,
    "density_kg_m3": ranges.FOAM_DENSITY,
    "ild40_n": ranges.INDENTATION_HARDNESS,
    "ild25_n": ranges.INDENTATION_HARDNESS,
    "years_in_use": ranges.YEARS_IN_USE,
}
#: Usual ranges of one foam of several.
USUAL_FOAM: dict[str, FieldRange] = {
    name: limits for name, limits in USUAL_MATTRESS.items() if name not in _OF_THE_WHOLE
}

#: A measured breadth further from the tables than this many standard errors is asked about.
#: Convention of this project; at most 4 of the survey's 6068 people lie beyond it in any one
#: of the five measures (counted in the public files).
MOST_STANDARD_ERRORS = 4.0

#: Body mass index outside which stature or mass is more likely a slip of the pen. [kg/m^2]
#: Convention of this project, beyond the least and greatest of adults in NHANES 2017-2020.
LEAST_INDEX, GREATEST_INDEX = 11.0, 95.0

_MEASURES: tuple[tuple[str, str, dict[Sex, Regression]], ...] = (
    ("hip_breadth", "hip breadth", HIP_BREADTH),
    ("shoulder_breadth", "shoulder breadth", SHOULDER_BREADTH),
    ("chest_depth", "chest depth", CHEST_DEPTH),
    ("waist_depth", "waist depth", WAIST_DEPTH),
    ("buttock_depth", "buttock depth", BUTTOCK_DEPTH),
    ("hip_girth", "hip girth", HIP_GIRTH),
    ("waist_girth", "waist girth", WAIST_GIRTH),
)


def unusual_values(document: CaseDocument) -> Iterator[CaseFinding]:
    """Name every value outside its usual range or far from the body tables.

    Parameters
    ----------
    document : CaseDocument
        The case as read.

    Yields
    ------
    CaseFinding
        Implausible values, by field and line.
    """
    for place, limits in _written_ranges(document):
        value = _number(document.plain, place)
        if value is not None and limits.is_unusual(value):
            sentence = (
                f"{limits.guardrail.quantity} {value:g} {limits.unit} is unusual; usual is "
                f"{limits.usual}; check the number and its unit"
            )
            yield _finding(document, place, sentence)
    yield from _against_tables(document)
    yield from _body_mass_index(document)


def _written_ranges(document: CaseDocument) -> Iterator[tuple[Place, FieldRange]]:
    yield from USUAL.items()
    mattresses: list[Place] = [("bed", "mattress")]
    mattresses += [("regimes", number, "mattress") for number in range(len(document.case.regimes))]
    for place in mattresses:
        for field, limits in USUAL_MATTRESS.items():
            yield (*place, field), limits
        foams = _written(document.plain, (*place, "foams"))
        for number in range(len(foams) if isinstance(foams, list) else 0):
            for field, limits in USUAL_FOAM.items():
                yield (*place, "foams", number, field), limits


def _number(plain: Plain, place: Place) -> float | None:
    found = _written(plain, place)
    return float(found) if isinstance(found, (int, float)) else None


def _written(plain: Plain, place: Place) -> Plain:
    for step in place:
        if isinstance(plain, dict) and isinstance(step, str):
            plain = plain.get(step)
        elif isinstance(plain, list) and isinstance(step, int) and step < len(plain):
            plain = plain[step]
        else:
            return None
    return plain


def _against_tables(document: CaseDocument) -> Iterator[CaseFinding]:
    body = document.case.person.body
    for name, words, tables in _MEASURES:
        measured: float | None = getattr(body, name)
        if measured is None:
            continue
        table = tables[body.sex]
        expected = table.predict(body)
        errors = abs(measured - expected) / table.standard_error
        if errors > MOST_STANDARD_ERRORS:
            sentence = (
                f"{words} {cm_from_metres(measured):.1f} cm, where the tables expect "
                f"{cm_from_metres(expected):.1f} cm for this stature and mass; that is "
                f"{errors:.1f} standard errors away; measure again, and keep it if it is right"
            )
            yield _finding(document, ("person", f"{name}_cm"), sentence)


def _body_mass_index(document: CaseDocument) -> Iterator[CaseFinding]:
    body: Body = document.case.person.body
    index = body.body_mass_index
    if not LEAST_INDEX <= index <= GREATEST_INDEX:
        sentence = (
            f"mass {body.mass:g} kg at {cm_from_metres(body.stature):g} cm gives a body mass index "
            f"of {index:.1f}; one of the two numbers is probably wrong; weigh and measure again"
        )
        yield _finding(document, ("person", "mass_kg"), sentence)


def _finding(document: CaseDocument, place: Place, sentence: str) -> CaseFinding:
    return CaseFinding(
        CaseFindingKind.IMPLAUSIBLE, field_path(place), document.line(place), sentence
    )
