"""What was found at the bed, as one plain answer for people and programs."""

from dataclasses import dataclass

from leeward.fitting.finding import Finding, Outcome, worst
from leeward.fitting.fit import Fitting
from leeward.fitting.posture_table import PostureRow
from leeward.terms.posture import turn_in_words
from leeward.terms.units import deg_from_radians
from leeward.terms.verdict import Reason


@dataclass(frozen=True, slots=True)
class TurnRow:
    """What may be said of one turn at one backrest, over knee raise and lift.

    Parameters
    ----------
    turn : str
        In words.
    turn_deg, backrest_deg : float
        Signed turn, positive to the person's left, and backrest. [deg]
    outcome : str
        With the knees flat.
    over_knees : str
        The worst over every knee raise and lift.
    code, sentence, remedy : str
        What rules it with the knees flat, and what to do; empty where nothing does.
    """

    turn: str
    turn_deg: float
    backrest_deg: float
    outcome: str
    over_knees: str
    code: str
    sentence: str
    remedy: str


@dataclass(frozen=True, slots=True)
class FitSummary:
    """What was found at the bed.

    Parameters
    ----------
    outcome, words : str
        Outcome, and what it means.
    findings : tuple of (str, Finding)
        Everything found that is not about a single posture, with its heading.
    securing : tuple of str
        What each strap and lead moves with.
    turns : tuple of TurnRow
        The table.
    limits : tuple of str
        What plans keep to.
    by_eye : tuple of str
        What is looked at whatever was measured.
    corrected : tuple of Reason
        By which measured map the body was corrected, or why a correction was left out.
    """

    outcome: str
    words: str
    findings: tuple[tuple[str, Finding], ...]
    securing: tuple[str, ...]
    turns: tuple[TurnRow, ...]
    limits: tuple[str, ...]
    by_eye: tuple[str, ...]
    corrected: tuple[Reason, ...]


def summarise_fit(found: Fitting, corrected: tuple[Reason, ...]) -> FitSummary:
    """Put what was found into one answer.

    Parameters
    ----------
    found : Fitting
        As `leeward.flow.fit` gives it.
    corrected : tuple of Reason
        What is to be said of a correction by a measured map.

    Returns
    -------
    FitSummary
        In the order in which it is read.
    """
    parts = (
        ("bed, unit and masses", found.everywhere),
        ("placement", found.placement),
        ("the line under the body", found.line),
        ("sensing elements", found.sensing),
        ("round the bed", found.around),
    )
    limits = found.limits
    said = (
        ("turned to the left, right side raised", limits.turn_left),
        ("turned to the right, left side raised", limits.turn_right),
        ("backrest", limits.backrest),
    )
    return FitSummary(
        outcome=found.outcome.value,
        words=found.words,
        findings=tuple((name, finding) for name, part in parts for finding in part),
        securing=found.securing,
        turns=_turns(found.rows),
        limits=tuple(
            f"{what}: at most {deg_from_radians(edge.value):.0f}° ({edge.source})"
            for what, edges in said
            for edge in edges
        ),
        by_eye=found.by_eye,
        corrected=corrected,
    )


def _turns(rows: tuple[PostureRow, ...]) -> tuple[TurnRow, ...]:
    grouped: dict[tuple[float, float], list[PostureRow]] = {}
    for row in rows:
        grouped.setdefault((row.setting.turn, row.setting.backrest), []).append(row)
    return tuple(_turn(turn, backrest, same) for (turn, backrest), same in grouped.items())


def _turn(turn: float, backrest: float, same: list[PostureRow]) -> TurnRow:
    least = min(row.setting.knee_raise for row in same)
    flat = [row for row in same if row.setting.knee_raise == least]
    rules = max((row for row in flat), key=lambda row: list(Outcome).index(row.outcome))
    ruling = [one for one in rules.findings if one.outcome is rules.outcome]
    return TurnRow(
        turn=turn_in_words(turn),
        turn_deg=round(deg_from_radians(turn), 1),
        backrest_deg=round(deg_from_radians(backrest), 1),
        outcome=rules.outcome.value,
        over_knees=worst([Finding("row", row.outcome, "") for row in same]).value,
        code=ruling[0].code if ruling else "",
        sentence=ruling[0].sentence if ruling else "",
        remedy=ruling[0].remedy if ruling else "",
    )
