"""Rails beside a surface that tilts: what height is left, how wide the gaps grow."""

import math
from dataclasses import dataclass, replace
from typing import Final

from leeward.fitting.finding import Finding, Outcome, to_measure
from leeward.fitting.measures import MEASURES, Measure
from leeward.fitting.mechanism import BedSetting, Mechanism
from leeward.terms.bed import RailKind
from leeward.terms.bed_sheet import BedSheet, Carrier, RailPart
from leeward.terms.fit_sheet import FixedPoint
from leeward.terms.limits import Limit
from leeward.terms.posture import turn_in_words
from leeward.terms.site import Side
from leeward.terms.units import mm_from_metres
from leeward.terms.verdict import Quantity

#: Least height of a rail above the mattress, bed flat. [m]
RAIL_HEIGHT: Final = Limit(0.220, "m", "EN 1970 table C, kept in IEC 60601-2-52; flat bed")
#: A head passes a gap this wide. [m]
HEAD_GAP: Final = Limit(
    0.120, "m", "FDA/HBSW guidance 2006, table 3, zones 1 to 3; flat deck", inclusive=False
)
#: A neck passes a gap this wide. [m]
NECK_GAP: Final = Limit(
    0.060, "m", "FDA/HBSW guidance 2006, table 3, zone 4; flat deck", inclusive=False
)
#: Lengths are read to this; a limit met within it is met. Convention of this project. [m]
READING: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Beside:
    """What a rail stands beside.

    Parameters
    ----------
    mechanism : Mechanism
        Bed and unit.
    unit, mattress : float
        Thickness of each, level. [m]
    rails_tilt : bool
        Whether the rails tilt with the surface.
    """

    mechanism: Mechanism
    unit: float
    mattress: float
    rails_tilt: bool

    @property
    def top(self) -> float:
        """Upper face of the mattress above the platform. [m]"""
        return self.unit + self.mattress


def rail_findings(beside: Beside, part: RailPart, setting: BedSetting) -> list[Finding]:
    """Judge one part of the rails at one setting, both sides.

    Parameters
    ----------
    beside : Beside
        What it stands beside.
    part : RailPart
        The part.
    setting : BedSetting
        How bed and surface are set.

    Returns
    -------
    list of Finding
        Of the raised and the lowered side; none of a place the rail does not stand beside.
    """
    found: list[Finding] = []
    for side in (-1.0, 1.0):
        heights = height_left(beside, part, setting, side)
        if heights is None:
            found.extend(_ask(code, part) for code in _lacking(part))
        elif heights:
            found.append(_height(setting, part, min(heights), side))
        if part.gap_beside is None:
            found.append(_ask("rail-gap", part))
        elif heights != []:
            found.append(_gap(beside, part, setting, side))
    return list(dict.fromkeys(found))


def height_left(
    beside: Beside, part: RailPart, setting: BedSetting, side: float
) -> list[float] | None:
    r"""Find how far a rail stands above the edge of the mattress beside it.

    Parameters
    ----------
    beside : Beside
        What it stands beside.
    part : RailPart
        The part of the rail.
    setting : BedSetting
        How bed and surface are set.
    side : float
        1 for the person's left side, -1 for their right. [-]

    Returns
    -------
    list of float or None
        At both ends of the part of each section that it stands beside, between which the height
        changes evenly; empty where nothing lies beside it; None where the rail was not
        measured. [m]

    Notes
    -----
    On a flat bed with rails fixed to the frame the height falls by :math:`w\sin\theta` on the
    raised side, :math:`w` being the distance of the edge from the line of the tilt.
    """
    if part.top is None or part.foot_end is None or part.head_end is None:
        return None
    rail = (part.foot_end, part.head_end)
    heights: list[float] = []
    for section, low, high in beside.mechanism.sections():
        if part.moves_with not in (Carrier.FRAME, section):
            continue
        # A rail on the same section keeps its distance whatever the section does.
        is_carried = part.moves_with is section
        moved = replace(setting, backrest=0.0, knee_raise=0.0) if is_carried else setting
        ends = [_edge(beside, section, along, side, moved) for along in (low, high)]
        top = _rail_top(beside, part.top, side, moved)
        heights.extend(top - up for up in _beside_rail(ends, rail))
    return heights


def _edge(
    beside: Beside, section: Carrier, along: float, side: float, setting: BedSetting
) -> tuple[float, float]:
    """Where the mattress's upper edge is: along and up. [m]"""
    across = beside.mechanism.line + side * beside.mechanism.half_width
    point = FixedPoint(section, across, along, beside.top, is_on_surface=True)
    _, now_along, up = beside.mechanism.place(point, setting)
    return now_along, up


def _rail_top(beside: Beside, top: float, side: float, setting: BedSetting) -> float:
    across = beside.mechanism.line + side * beside.mechanism.half_width
    point = FixedPoint(Carrier.FRAME, across, 0.0, top, is_on_surface=beside.rails_tilt)
    return beside.mechanism.place(point, setting)[2]


def _beside_rail(ends: list[tuple[float, float]], rail: tuple[float, float]) -> list[float]:
    """Heights at both ends of that part of a straight edge which the rail stands beside. [m]"""
    (first, start), (last, end) = sorted(ends)
    if last < rail[0] - READING or first > rail[1] + READING:
        return []
    if last - first < READING:
        return [start, end]
    slope = (end - start) / (last - first)
    kept = (max(first, rail[0]), min(last, rail[1]))
    return [start + slope * (along - first) for along in kept]


def side_gap(mechanism: Mechanism, setting: BedSetting, gap: float, side: float) -> float:
    r"""Find the gap between rail and mattress at a setting.

    Parameters
    ----------
    mechanism : Mechanism
        Bed and unit, rails that stand still. [-]
    setting : BedSetting
        How they are set. [-]
    gap : float
        The gap with the bed flat and level. [m]
    side : float
        1 for the person's left side, -1 for their right. [-]

    Returns
    -------
    float
        Gap beside the base of the mattress. [m]

    Notes
    -----
    A lifted edge moves inwards by :math:`w(1-\cos\theta)`. The upper corner of a stiff
    mattress leans in further, by up to its thickness times :math:`\sin\theta`.
    """
    edge = mechanism.line + side * mechanism.half_width
    across, _ = mechanism.lifted(edge, 0.0, setting.turn)
    return gap + (edge - across) * side


def _lacking(part: RailPart) -> list[str]:
    codes = ["rail-top"] if part.top is None else []
    return codes + (["rail-ends"] if part.foot_end is None or part.head_end is None else [])


def _ask(code: str, part: RailPart) -> Finding:
    measure = MEASURES[code]
    named = Measure(measure.code, f"{measure.what} ({part.name})", measure.how, measure.field)
    return to_measure(named, needed_for="what the rail leaves open")


def _whose(side: float) -> Side:
    return Side.LEFT if side > 0.0 else Side.RIGHT


def _height(setting: BedSetting, part: RailPart, height: float, side: float) -> Finding:
    numbers = (
        Quantity("rail above the mattress", round(mm_from_metres(height)), "mm"),
        Quantity("asked on a flat bed", round(mm_from_metres(RAIL_HEIGHT.value)), "mm"),
    )
    where = f"The {part.name} on the person's {_whose(side)} side"
    shown = f"{mm_from_metres(height):.0f} mm"
    if height >= RAIL_HEIGHT.value - READING:
        sentence = f"{where} stands {shown} above the mattress; 220 mm are asked on a flat bed."
        return Finding("rail-height", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)
    is_raised = setting.turn * side < 0.0
    if not is_raised and setting.backrest == setting.knee_raise == 0.0:
        # Beside a flat bed, on a side that nothing raises, the published limit itself is broken.
        return Finding(
            "rail-too-low",
            Outcome.NOT_TO_BE_USED,
            f"{where} stands only {shown} above the mattress with the bed flat; 220 mm are asked.",
            "Fit a higher rail, or a thinner mattress that the instructions permit.",
            numbers,
        )
    if setting.turn != 0.0 and height <= 0.0:
        return Finding(
            "rail-below-surface",
            Outcome.NOT_TO_BE_USED,
            f"{where} no longer reaches the mattress: its edge stands "
            f"{mm_from_metres(-height):.0f} mm above the rail when {turn_in_words(setting.turn)}.",
            "Turn less far, lower the backrest, or fit rails that move with surface and backrest.",
            numbers,
        )
    stands = f"{shown} above" if height >= 0.0 else f"{mm_from_metres(-height):.0f} mm below"
    return Finding(
        "rail-lowered",
        Outcome.WITH_MEASURE,
        f"{where} stands {stands} the mattress's edge; 220 mm are asked on a flat bed.",
        "A named practitioner decides whether a higher rail or a firm bolster along this side is "
        "needed, and looks at it in this posture.",
        numbers,
    )


def _gap(beside: Beside, part: RailPart, setting: BedSetting, side: float) -> Finding:
    wide = part.gap_beside or 0.0
    lean = 0.0
    if not beside.rails_tilt:
        wide = side_gap(beside.mechanism, setting, wide, side)
        if side * setting.turn < 0.0:
            lean = beside.mattress * math.sin(abs(setting.turn))
    numbers = (
        Quantity("gap at the base of the mattress", round(mm_from_metres(wide)), "mm"),
        Quantity("gap if its upper corner leans in", round(mm_from_metres(wide + lean)), "mm"),
    )
    where = f"Beside the {part.name} on the person's {_whose(side)} side"
    shown = f"{mm_from_metres(wide):.0f} mm"
    if wide >= HEAD_GAP.value - READING:
        return Finding(
            "gap-passes-a-head",
            Outcome.NOT_TO_BE_USED,
            f"{where} the gap is {shown}; it must stay below 120 mm, the breadth of a head.",
            "Turn less far, or fill the gap with a part that both instructions permit.",
            numbers,
        )
    if wide >= NECK_GAP.value - READING or wide + lean >= HEAD_GAP.value - READING:
        return Finding(
            "gap-to-fill",
            Outcome.WITH_MEASURE,
            f"{where} the gap is {shown}, and up to {mm_from_metres(wide + lean):.0f} mm if the "
            "mattress's upper corner leans in; a neck passes 60 mm, a head 120 mm.",
            "Fill the gap, and look at it with the mattress's edge pressed down at full turn.",
            numbers,
        )
    sentence = f"{where} the gap is {shown}; 60 and 120 mm are the limits of a flat bed."
    return Finding("gap", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)


def rails_to_measure(bed: BedSheet) -> list[Finding]:
    """Say what must be known of the rails before any part is judged.

    Parameters
    ----------
    bed : BedSheet
        The bed.

    Returns
    -------
    list of Finding
        Questions; none where there are no rails, or all is known.
    """
    needed_for = "what the rails leave open"
    if bed.rails is RailKind.UNDESCRIBED:
        return [to_measure(MEASURES["rail-kind"], needed_for=needed_for)]
    if bed.rails is RailKind.NONE:
        return []
    asked = []
    if bed.rails_tilt is None:
        asked.append(to_measure(MEASURES["rails-tilt"], needed_for=needed_for))
    if not bed.rail_parts:
        codes = ("rail-ends", "rail-top", "rail-bottom", "rail-opening", "rail-gap")
        asked.extend(to_measure(MEASURES[code], needed_for=needed_for) for code in codes)
    return asked
