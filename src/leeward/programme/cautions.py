"""What to be careful of and what to ask before the first turn."""

from datetime import datetime

from leeward.programme.acceptance import damage_found, slack_is_unknown
from leeward.programme.quantities import degrees, listed, plain
from leeward.programme.stops import signed_in_spite
from leeward.programme.support_cautions import support_cautions
from leeward.terms.bed import MattressKind
from leeward.terms.body import Oedema, RestAngles
from leeward.terms.case import Case
from leeward.terms.equipment import AfterPowerLoss, Equipment, SurfaceKind
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.person import Aim
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_HOUR, cm_from_metres, deg_from_radians
from leeward.terms.verdict import Quantity, Reason

#: A look at the skin older than this is overdue. [h]
LOOK_OVERDUE_H = Sourced(24.0, "h", "common practice, no source", "adults at risk")
#: Bend of a joint or of the spine from which turning needs an extra pair of eyes. [deg]
LARGE_BEND_DEG = Sourced(30.0, "deg", "convention of this project", "not applicable")
#: Stature from which the bed standard asks for a look at the length of the bed. [m]
TALL = Sourced(1.85, "m", "IEC 60601-2-52:2009/A1:2015, 201.4.2, as reported", "adults")


def cautions(case: Case, now: datetime) -> tuple[Reason, ...]:
    """Collect what to read before anything is done.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    tuple of Reason
        What a practitioner signed for first, then what this case raises, then what applies
        to every turning surface.

    References
    ----------
    .. [1] Relative contraindications of rotation protocols: common practice, from memory.
    .. [2] Woodhouse and colleagues, Clin Biomech 2015;30:166: a powered tilt felt less secure
       than a turn by hand to healthy volunteers.
    """
    return (
        *signed_in_spite(case),
        *_skin(case, now),
        *_wishes(case),
        *_lines(case),
        *_concerns(case),
        *_bends(case.person.body.rest_angles),
        *_swollen(case.person.body.oedema),
        *_size(case),
        *_bed(case),
        *support_cautions(case),
        *(() if case.equipment is None else _unit(case, case.equipment)),
        *_always(),
        _rails_and_gaps(case.fit_sheet),
    )


def _skin(case: Case, now: datetime) -> list[Reason]:
    reasons = [
        Reason(
            "damaged-skin",
            f"A look at the {check.site.value} found {check.finding.value} "
            f"({check.when.date().isoformat()}), and none since has seen it clear: the "
            "person must not be laid on it until a named practitioner says so.",
        )
        for check in damage_found(case, now)
    ]
    if not case.skin_checks:
        reasons.append(
            Reason(
                "no-look-recorded",
                "No look at the skin is recorded: look at every site before the first turn, or "
                "nothing later can be told from what was there before.",
            )
        )
        return reasons
    last = max(check.when for check in case.skin_checks)
    hours = (now - last).total_seconds() / SECONDS_PER_HOUR
    if hours > LOOK_OVERDUE_H.value:
        reasons.append(
            Reason(
                "look-overdue",
                f"The skin was last looked at {hours:.0f} h ago: look again before the first turn.",
                (
                    plain("time since the last look", hours, "h"),
                    Quantity("overdue after", LOOK_OVERDUE_H.value, "h"),
                ),
            )
        )
    return reasons + _colour(case)


def _colour(case: Case) -> list[Reason]:
    if case.person.has_dark_skin is False:
        return []
    start = "On dark skin" if case.person.has_dark_skin else "The skin's tone is not recorded:"
    return [
        Reason(
            "colour-proves-nothing",
            f"{start} colour alone proves nothing: feel for warmth, firmness and swelling and ask "
            "about pain at every look.",
        )
    ]


def _wishes(case: Case) -> list[Reason]:
    reasons = []
    if not case.person.goals.strip():
        reasons.append(
            Reason(
                "goals-not-asked",
                "The person's own goals are not recorded: ask what matters to them at night and "
                "by day before choosing.",
            )
        )
    if case.person.aim in (Aim.COMFORT, Aim.LAST_DAYS):
        reasons.append(
            Reason(
                "comfort-first",
                f"The aim of care is {case.person.aim.value}: comfort comes before relief, and a "
                "turn that hurts or frightens is left out.",
            )
        )
    return reasons


def _lines(case: Case) -> list[Reason]:
    unknown = [line.what for line in case.person.lines if slack_is_unknown(line)]
    known = [line.what for line in case.person.lines if not slack_is_unknown(line)]
    reasons = []
    if unknown:
        reasons.append(
            Reason(
                "line-slack-unknown",
                f"How far the {listed(unknown)} can follow a turn is not known: the turns below "
                "do not allow for it, so none may be run until its slack is checked by hand.",
            )
        )
    if known:
        reasons.append(
            Reason(
                "lines",
                f"Watch the {listed(known)} over the whole first movement to each side.",
            )
        )
    return reasons


def _concerns(case: Case) -> list[Reason]:
    return [
        Reason(
            "concern",
            f"The team calls this a concern: {one.what} {one.value} ({one.when.isoformat()}). "
            "leeward does not model it.",
        )
        for one in case.person.observations
        if one.is_concern
    ]


def _bends(angles: RestAngles) -> list[Reason]:
    named = {
        "left hip": angles.left_hip_flexion,
        "right hip": angles.right_hip_flexion,
        "left knee": angles.left_knee_flexion,
        "right knee": angles.right_knee_flexion,
        "legs fallen to one side": angles.windswept,
        "forward bend of the spine": angles.trunk_flexion,
        "sideways bend of the spine": angles.trunk_side_bend,
    }
    large = {k: v for k, v in named.items() if abs(deg_from_radians(v)) >= LARGE_BEND_DEG.value}
    if not large:
        return []
    return [
        Reason(
            "fixed-bends",
            f"Fixed bends ({listed(list(large))}) change how the body follows the surface: watch "
            "the first turn to each side from both sides of the bed, and pass a hand under the "
            "bony parts.",
            tuple(degrees(name, abs(angle)) for name, angle in large.items()),
        )
    ]


def _swollen(fluid: Oedema) -> list[Reason]:
    limbs = {
        "left leg": fluid.left_leg,
        "right leg": fluid.right_leg,
        "left arm": fluid.left_arm,
        "right arm": fluid.right_arm,
    }
    swollen = {name: mass for name, mass in limbs.items() if mass > 0.0}
    if not swollen:
        return []
    return [
        Reason(
            "swollen-limbs",
            f"Swollen ({listed(list(swollen))}): the fluid's weight and girth are counted, what "
            "swollen skin bears is not known; look at these limbs first.",
            tuple(Quantity(f"fluid in the {name}", mass, "kg") for name, mass in swollen.items()),
        )
    ]


def _size(case: Case) -> list[Reason]:
    stature = case.person.body.stature
    if stature <= TALL.value:
        return []
    return [
        Reason(
            "tall",
            f"At {cm_from_metres(stature):.0f} cm, see that head and heels lie clear of the bed's "
            "ends.",
            (
                Quantity("stature", round(cm_from_metres(stature), 1), "cm"),
                Quantity("looked at above", cm_from_metres(TALL.value), "cm"),
            ),
        )
    ]


def _bed(case: Case) -> list[Reason]:
    bed = case.bed
    reasons = []
    if bed.layers is None:
        reasons.append(
            Reason(
                "layers-not-looked-at",
                "Nobody looked what lies between body and mattress: pads, a sling or a sheepskin "
                "change the load, so look.",
            )
        )
    elif bed.layers:
        between = listed([layer.kind.value for layer in bed.layers])
        reasons.append(
            Reason(
                "layers", f"Between body and mattress lies: {between}. Fewer layers relieve more."
            )
        )
    if bed.mattress.kind is MattressKind.UNDESCRIBED:
        reasons.append(
            Reason(
                "mattress-not-described",
                "The mattress is not described: every load below carries a wide band, and no "
                "regime counts as seen clear on it.",
            )
        )
    if bed.mattress.kind in (MattressKind.AIR, MattressKind.ALTERNATING_AIR):
        reasons.append(
            Reason(
                "air-mattress",
                "An air mattress over a tilting unit must be allowed by the instructions of both.",
            )
        )
    return reasons


def _unit(case: Case, unit: Equipment) -> list[Reason]:
    reasons = []
    if unit.geometry.kind is SurfaceKind.WHOLE and case.bed.friction is None:
        reasons.append(
            Reason(
                "friction-not-measured",
                "On a surface that tilts as one the body may slide or tip: without a measured "
                "friction or a side support nothing above 15° is offered.",
            )
        )
    if unit.geometry.kind is SurfaceKind.SPLIT and case.placement.line_offset is None:
        reasons.append(
            Reason(
                "line-not-measured",
                "Nobody measured where the surface's line lies under the body: 50 mm change how "
                "far the body rolls by about seven degrees, so measure it.",
            )
        )
    if unit.ability.after_power_loss is not AfterPowerLoss.RESUMES:
        reasons.append(
            Reason(
                "power-loss",
                f"After a power cut {_after_power_loss(unit)}: say who notices and who starts it "
                "again.",
            )
        )
    return reasons


def _after_power_loss(unit: Equipment) -> str:
    behaviour = unit.ability.after_power_loss
    if behaviour is AfterPowerLoss.UNKNOWN:
        return "nobody knows what the unit does"
    return f"the unit {behaviour.value}"


def _always() -> tuple[Reason, ...]:
    return (
        Reason(
            "ask-first",
            "Ask before the first turn about anything the case does not hold: pain or fear on "
            "moving (is pain relief due first?), spasm, agitation, motion sickness, a spinal "
            "injury at T6 or above (pounding headache, flushing or sweating on a turn: level, "
            "head up, call for help), recent surgery, a shoulder or hip that comes out of joint, "
            "a lung, an eye or an ear that is worse on one side, reflux or choking, pregnancy, "
            "loose stools, tubes. What nobody answered is not answered with no.",
        ),
        Reason(
            "feels-less-secure",
            "A powered tilt can feel less secure than a turn by hand: explain it, stay for the "
            "whole first turn to each side, and leave the call bell within reach.",
        ),
        Reason(
            "body-follows-differently",
            "Turning the surface is not turning the body: look how far the body itself rolls, and "
            "pass a hand under the sacrum.",
        ),
    )


def _rails_and_gaps(sheet: FitSheet | None) -> Reason:
    known = (
        "Rails and gaps are not checked here"
        if sheet is None
        else f"Rails and gaps are judged apart, by `leeward fit`, from no more than "
        f"{sheet.measured_by} measured, and no gap as it is when pressed"
    )
    return Reason(
        "rails-and-gaps",
        f"{known}, and published gap limits are for flat beds: look at both at the largest turn.",
    )
