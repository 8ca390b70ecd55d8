"""From the evidence to the verdict: doubt first, differences next, and only then as planned."""

from collections.abc import Sequence
from dataclasses import dataclass

from leeward.delivered.delivered import Delivered
from leeward.review.conventions import LEAST_JUDGED
from leeward.review.judged_stays import (
    NO_DIFFERENCE,
    JudgedStay,
    StayOutcome,
    measured_in_words,
)
from leeward.review.judged_time import JudgedTime
from leeward.review.skin_looks import SkinLooks
from leeward.review.sleep_turns import SleepTurns
from leeward.review.surface_findings import SideAgreement
from leeward.terms.posture import turn_in_words
from leeward.terms.units import deg_from_radians, min_from_seconds
from leeward.terms.verdict import Judgement, Quantity, Reason, Verdict

_SAID = {
    Verdict.AS_PLANNED: "surface moved as planned",
    Verdict.DIFFERS: "surface did not move as planned",
    Verdict.CANNOT_TELL: "cannot tell whether the surface moved as planned",
}

_IN_WORDS = {
    StayOutcome.OTHER_SIDE: "turned to the other side than planned",
    StayOutcome.LONG: "went on longer than planned",
    StayOutcome.ANGLE_NOT_REACHED: "did not reach the planned angle",
    StayOutcome.ANGLE_BEYOND: "went beyond the planned angle",
    StayOutcome.SHORT: "ended sooner than planned",
}


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a verdict rests on.

    Parameters
    ----------
    delivered : Delivered
        The log.
    stays : tuple of JudgedStay
        Stays judged.
    sides : SideAgreement
        Sides by the clock.
    time : JudgedTime
        Time judged.
    sleep : SleepTurns
        Turns while the person sleeps.
    looks : SkinLooks
        Looks at the skin.
    """

    delivered: Delivered
    stays: tuple[JudgedStay, ...]
    sides: SideAgreement
    time: JudgedTime
    sleep: SleepTurns
    looks: SkinLooks


def judge(evidence: Evidence) -> tuple[Judgement, str]:
    """Give the verdict.

    Parameters
    ----------
    evidence : Evidence
        What it rests on.

    Returns
    -------
    Judgement
        Verdict, reasons, share of the time judged.
    str
        The sentence that goes with it everywhere.
    """
    doubts = _doubts(evidence)
    differences = _differences(evidence)
    if doubts:
        verdict = Verdict.CANNOT_TELL
    else:
        verdict = Verdict.DIFFERS if differences else Verdict.AS_PLANNED
    reasons = (*_skin(evidence.looks), *doubts, *differences, *_figures(evidence))
    judgement = Judgement(verdict, reasons, evidence.time.assessed_fraction)
    sentence = f"{_SAID[verdict]}; person not measured; {evidence.looks.sentence}"
    if evidence.looks.is_overdue:
        sentence += "; a look at the skin is overdue"
    if evidence.looks.damaged:
        sentence += f"; damage seen at {_listed(evidence.looks)}"
    return judgement, sentence


def _listed(looks: SkinLooks) -> str:
    return ", ".join(site.value for site in looks.damaged)


def _skin(looks: SkinLooks) -> list[Reason]:
    reasons = []
    if looks.is_overdue:
        reasons.append(
            Reason("skin-look-overdue", f"A look at the skin is overdue: {looks.sentence}.")
        )
    if looks.damaged:
        sentence = f"Damage was found that no look since has seen gone: {_listed(looks)}."
        reasons.append(Reason("skin-damage-seen", sentence))
    return reasons


def _doubts(evidence: Evidence) -> list[Reason]:
    doubts = []
    share = evidence.time.assessed_fraction
    if share < LEAST_JUDGED.value:
        doubts.append(
            Reason(
                "too-little-judged",
                f"The posture of the surface is known in {100.0 * share:.0f} % of the time to be "
                f"judged; below {100.0 * LEAST_JUDGED.value:.0f} % nothing can be told.",
                (Quantity("time judged", 100.0 * share, "%"),),
            )
        )
    if not evidence.delivered.side_known:
        doubts.append(
            Reason(
                "side-unknown",
                "Which side is raised at a positive angle is not declared: watch one turn and "
                "declare it in the column map.",
            )
        )
    elif not any(s.outcome is not StayOutcome.OUT_OF_BED for s in evidence.stays):
        doubts.append(Reason("no-stay-seen", "The log shows no stay that could be judged."))
    elif sum(s.duration for s in evidence.stays) < LEAST_JUDGED.value * evidence.time.known:
        sentence = "The angle changes all the time: too little of it belongs to any stay."
        doubts.append(Reason("always-moving", sentence))
    return doubts


def _differences(evidence: Evidence) -> list[Reason]:
    reasons = []
    if evidence.sides.is_other:
        share = 100.0 * evidence.sides.other
        reasons.append(
            Reason(
                "other-side-by-the-clock",
                f"In {share:.0f} % of the time planned turned the surface was turned to the "
                "other side: sides exchanged, or half a cycle out of step.",
                (Quantity("on the other side", share, "%"),),
            )
        )
    for outcome, words in _IN_WORDS.items():
        stays = [s for s in evidence.stays if s.outcome is outcome]
        if stays:
            reasons.append(_of_stays(outcome, words, stays, len(evidence.stays)))
    left_out = sum(s.left_out for s in evidence.stays)
    if left_out:
        reasons.append(
            Reason(
                "stays-missing",
                f"{left_out} planned stays were left out.",
                (Quantity("stays left out", left_out, "-"),),
            )
        )
    return reasons


def _of_stays(outcome: StayOutcome, words: str, stays: Sequence[JudgedStay], total: int) -> Reason:
    worst = max(stays, key=lambda s: abs(s.duration - s.planned_duration))
    return Reason(
        f"stays-{outcome.value.replace(' ', '-')}",
        f"{len(stays)} of {total} stays {words}; the furthest off was "
        f"{measured_in_words(worst.turn)} for {min_from_seconds(worst.duration):.0f} min where "
        f"{turn_in_words(worst.planned.turn)} for "
        f"{min_from_seconds(worst.planned_duration):.0f} min was planned.",
        (
            Quantity("stays", len(stays), "-"),
            Quantity("angle delivered", deg_from_radians(worst.turn), "deg"),
            Quantity("angle planned", deg_from_radians(worst.planned.turn), "deg"),
            Quantity("stay delivered", min_from_seconds(worst.duration), "min"),
            Quantity("stay planned", min_from_seconds(worst.planned_duration), "min"),
        ),
    )


def _figures(evidence: Evidence) -> list[Reason]:
    kept = sum(s.outcome is StayOutcome.KEPT for s in evidence.stays)
    agreed = sum(s.outcome is StayOutcome.AGREED for s in evidence.stays)
    counted = kept + sum(s.outcome not in NO_DIFFERENCE for s in evidence.stays)
    time, sleep = evidence.time, evidence.sleep
    share = 100.0 * time.assessed_fraction
    reasons = [
        Reason(
            "time-judged",
            f"{share:.0f} % of the time was judged; {min_from_seconds(time.unknown):.0f} min are "
            "unknown, neither kept nor missed.",
            (
                Quantity("time judged", share, "%"),
                Quantity("time unknown", min_from_seconds(time.unknown), "min"),
                Quantity("time agreed", min_from_seconds(time.agreed), "min"),
                Quantity("time planned out of bed", min_from_seconds(time.out_of_bed), "min"),
            ),
        ),
        Reason(
            "stays-kept",
            f"{kept} of {counted} stays were kept, compared by their order, length and "
            f"angle; {agreed} fall into agreed departures.",
            (Quantity("stays kept", kept, "-"), Quantity("stays judged", counted, "-")),
        ),
        Reason(
            "turns-in-sleep",
            f"{sleep.seen} turns were seen in the sleep window, {sleep.planned} were planned.",
            (
                Quantity("turns seen in sleep", sleep.seen, "-"),
                Quantity("turns planned in sleep", sleep.planned, "-"),
            ),
        ),
    ]
    props = sorted(frozenset().union(*(s.planned.supports for s in evidence.stays)))
    if props:
        reasons.append(
            Reason(
                "supports-not-seen",
                f"The plan counts on: {', '.join(props)}. A log of the surface does not show "
                "whether they were in place; loads are told as if they were.",
            )
        )
    if evidence.delivered.simulated:
        reasons.append(Reason("simulated", "The log is simulated."))
    return reasons
