"""The proof as a PDF: what was read, how it was judged, what ends it."""

from datetime import datetime
from typing import Any

from leeward.exchange.pictures.words import OWN_SIDES, date_text
from leeward.exchange.sheet_paper import typeset
from leeward.exchange.sheet_words import PREVAILS
from leeward.fitting.proof import Judged, Proof
from leeward.fitting.proof_readings import ProofReadings
from leeward.records.canonical import digest
from leeward.terms.case import Case
from leeward.terms.verdict import Verdict

_SIGNS = {Verdict.AS_PLANNED: "as planned", Verdict.CANNOT_TELL: "cannot tell"}


def proof_document(case: Case, readings: ProofReadings, proof: Proof, made_at: datetime) -> bytes:
    """Print a proof.

    Parameters
    ----------
    case : Case
        Whose bed.
    readings : ProofReadings
        What was read.
    proof : Proof
        As judged.
    made_at : datetime
        Aware time of printing.

    Returns
    -------
    bytes
        PDF.
    """
    unit = case.equipment
    rows = (
        ("unit", unit.name if unit is not None else "none"),
        ("serial number", readings.unit_serial or "nobody read it"),
        ("software", readings.software_version or "nobody read it"),
        ("done by", readings.done_by),
        ("second person", readings.second_person or "nobody"),
        ("done on", date_text(readings.done_on)),
        ("angles read with", readings.instrument or "nobody wrote it down"),
        ("hash of the readings", digest(readings)[:16]),
        ("photos (hash)", ", ".join(one[:16] for one in readings.photos) or "none"),
    )
    content: dict[str, Any] = {
        "title": f"Test before leaving, {case.person.label}, {date_text(readings.done_on)}",
        "label": case.person.label,
        "invented": case.invented,
        "outcome": proof.outcome.value,
        "facts": [list(row) for row in rows],
        "judged": [[_sign(one), one.sentence] for one in proof.judged],
        "causes": list(proof.causes),
        "stop": list(proof.stop_at_once),
        "ends": list(proof.ends_with),
        "own_sides": OWN_SIDES,
        "prevails": PREVAILS,
    }
    return typeset("proof.typ", content, made_at)


def _sign(one: Judged) -> str:
    if one.verdict is Verdict.DIFFERS:
        return "DO NOT USE" if one.is_grave else "differs"
    return _SIGNS[one.verdict]
