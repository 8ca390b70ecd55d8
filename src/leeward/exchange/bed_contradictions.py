"""Statements about mattress and supports that do not fit one another or the day."""

from collections.abc import Callable, Iterator

from leeward.exchange.case_file import CaseDocument
from leeward.exchange.problems import Place
from leeward.terms.bed import MattressKind
from leeward.terms.posture import Support
from leeward.terms.sourced import Sourced
from leeward.terms.supports import FixedTo
from leeward.terms.units import kpa_from_pascal, mm_from_metres

#: Finds places in a case, each with what is wrong there.
Rule = Callable[[CaseDocument], Iterator[tuple[Place, str]]]

#: A measured curve that ends before this says nothing of what bony parts meet.
LEAST_CURVE_END = Sourced(
    6.0e3, "Pa", "convention of this project: patch loads of heels and sacrum", "model bodies"
)


def _foam_figures(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    mattress = document.case.bed.mattress
    if mattress.kind not in (MattressKind.AIR, MattressKind.ALTERNATING_AIR):
        return
    for field, value in (
        ("cv40_kpa", mattress.cv40),
        ("ild40_n", mattress.indentation40),
        ("ild25_n", mattress.indentation25),
        ("foams", mattress.foams),
    ):
        if value:
            yield (
                ("bed", "mattress", field),
                f"a hardness of foam is given for a mattress of {mattress.kind.value}; correct "
                "the kind or take the hardness out",
            )


def _curve_fits(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    mattress = document.case.bed.mattress
    if not mattress.curve:
        return
    deepest, hardest = mattress.curve[-1]
    place: Place = ("bed", "mattress", "curve")
    if mattress.thickness is not None and deepest > mattress.thickness:
        yield (
            place,
            f"pressed in by {mm_from_metres(deepest):g} mm, yet the mattress is "
            f"{mm_from_metres(mattress.thickness):g} mm thick; correct one of the two",
        )
    if hardest < LEAST_CURVE_END.value:
        yield (
            place,
            f"the curve ends at {kpa_from_pascal(hardest):g} kPa, and bony parts load a mattress "
            f"by {kpa_from_pascal(LEAST_CURVE_END.value):g} kPa and more: beyond its end the "
            "mattress is taken as hard; measure deeper",
        )


def _blocks(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    case = document.case
    described = {block.support: block for block in case.bed.blocks}
    used = dict(_supports_written(document))
    for place, supports in used.items():
        for support in sorted(support for support in supports if support.is_block):
            block = described.get(support)
            if block is None:
                yield (
                    place,
                    f"a {support.value} is used, yet `bed.blocks` does not say what it is fixed "
                    "to; write it there",
                )
            elif block.fixed_to is FixedTo.NOTHING:
                yield (
                    place,
                    f"a {support.value} is used, yet it is laid loosely: how far it holds cannot "
                    "be told; fix it, or leave it out",
                )
    for number, block in enumerate(case.bed.blocks):
        if not any(block.support in supports for supports in used.values()):
            yield (
                ("bed", "blocks", number, "which"),
                f"there is a {block.support.value}, yet no posture uses it: a plan made without "
                "it does not hold with it; name it under `night_supports` or take it out",
            )


def _supports_written(
    document: CaseDocument,
) -> Iterator[tuple[Place, frozenset[Support]]]:
    day = document.case.day
    yield ("day", "usual_supports"), day.usual_supports
    yield ("day", "night_supports"), day.night_supports or frozenset()
    for number, window in enumerate(day.prescribed):
        yield ("day", "prescribed", number, "supports"), window.posture.supports
    for number, regime in enumerate(document.case.regimes):
        for cycle, stays in (("cycle", regime.cycle), ("night_cycle", regime.night_cycle)):
            for entry, stay in enumerate(stays):
                yield ("regimes", number, cycle, entry, "supports"), stay.posture.supports


#: What is looked at.
BED_RULES: tuple[Rule, ...] = (_foam_figures, _curve_fits, _blocks)
