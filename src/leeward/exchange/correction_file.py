"""A correction by a measured map as a file: dated, signed, of one body on one mattress."""

import hashlib
import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from leeward.contact.correction import Correction
from leeward.exchange.case_schema import CorrectionReferenceFields
from leeward.exchange.correction_schema import CORRECTION_VERSION, CorrectionFields
from leeward.exchange.document import Document, Plain
from leeward.exchange.form_file import checked_form
from leeward.exchange.named_files import Beside, document_beside, written_here
from leeward.exchange.new_file import write_new
from leeward.exchange.problems import FileRefused, Place, Problem
from leeward.records.canonical import digest
from leeward.terms.bed import Layer, Mattress
from leeward.terms.body import Body
from leeward.terms.case import Case
from leeward.terms.correction import MapCorrection
from leeward.terms.errors import InvalidInput
from leeward.terms.units import mm_from_metres


@dataclass(frozen=True, slots=True)
class _MadeFor:
    """What a correction belongs to."""

    body: Body
    mattress: Mattress
    layers: tuple[Layer, ...] | None


def made_for(case: Case) -> str:
    """Digest of the body, mattress and layers of a case."""
    return digest(_MadeFor(case.person.body, case.bed.mattress, case.bed.layers))


def write_correction(
    path: Path, case: Case, found: Correction, frame: Path, signed: tuple[str, date, str]
) -> None:
    """Write a correction as a file that a case may name.

    Parameters
    ----------
    path : Path
        Where; it may not be there yet.
    case : Case
        The case it was made for.
    found : Correction
        What the map changed.
    frame : Path
        The map.
    signed : tuple of (str, date, str)
        Name and role, date, and a note.

    Raises
    ------
    InvalidInput
        If the map corrected nothing, nobody signs, or the file is there.
    """
    if not found.is_made:
        raise InvalidInput(
            "the map corrects nothing",
            where=str(path),
            expected="a map that explains at least a quarter of the differences",
            remedy="leave the model as it is, or measure again",
        )
    if case.correction is not None:
        raise InvalidInput(
            "the case names a correction already",
            where=str(path),
            expected="a correction of the model as it was before any map",
            remedy="take `corrected_by` out of the case, compare again, then name the new file",
        )
    by, made_on, note = signed
    if not any(letter.isalpha() for letter in by):
        raise InvalidInput(
            "a correction that nobody signs",
            where=str(path),
            expected="name and role of who answers for it",
            remedy='add --signed-by "A. Name, therapist"',
        )
    change = {one.name: one.value for one in found.changes}
    numbers = {
        "explained": round(found.explained, 3),
        "mattress_hardness_times": round(change["mattress hardness"], 3),
        "pillow_hardness_times": round(change["pillow hardness"], 3),
        "buttock_depth_more_mm": round(mm_from_metres(change["buttock depth"]), 1),
        "chest_depth_more_mm": round(mm_from_metres(change["chest depth"]), 1),
    }
    words = {
        "signed_by": by,
        "note": note,
        "map_file": frame.name,
        "map_digest": hashlib.sha256(frame.read_bytes()).hexdigest(),
        "made_for": made_for(case),
    }
    lines = [
        "# What a measured pressure map changed in the model of one person on one mattress.",
        "# Name it in the case as `corrected_by: {file: ...}`. It lapses with a new mattress,",
        "# other layers or a change of mass, and is refused for another body or mattress.",
        f"schema_version: {CORRECTION_VERSION}",
        f"made_on: {made_on:%Y-%m-%d}",
        *(
            f"{name}: {json.dumps(value, ensure_ascii=False)}"
            for name, value in words.items()
            if value
        ),
        *(f"{name}: {value}" for name, value in numbers.items()),
    ]
    write_new(path, "\n".join(lines) + "\n")


def correction_of(
    reference: CorrectionReferenceFields | None,
    case: Case,
    document: Document,
    source: str,
    beside: Beside | None,
) -> tuple[MapCorrection | None, Plain]:
    """Find the correction that a case names.

    Parameters
    ----------
    reference : CorrectionReferenceFields or None
        As written in the case.
    case : Case
        The case: a correction of another body or mattress is refused.
    document : Document
        What was written.
    source : str
        Name of the case's file.
    beside : callable or None
        Gives the text of a file beside the case.

    Returns
    -------
    tuple of (MapCorrection or None, plain value)
        The record, and the same written out so that no other file is needed.

    Raises
    ------
    FileRefused
        If anything is wrong with it.
    """
    if reference is None:
        return None, None
    if reference.described is not None:
        form, name = reference.described, source
        plain = written_here(document, "corrected_by")
    else:
        place: Place = ("corrected_by", "file")
        name, found = document_beside(beside, reference.file or "", document, source, place)
        form, plain = _form(found, name), found.plain
    if form.made_for != made_for(case):
        problem = Problem(
            name,
            None,
            "made_for",
            "made for another body, mattress or layers than this case's",
            "a correction of this very person on this mattress",
            "measure again with `leeward measured`, or take `corrected_by` out of the case",
        )
        raise FileRefused([problem])
    return form.record(), plain


def _form(document: Document, file: str) -> CorrectionFields:
    return checked_form(CorrectionFields, document, file=file, version=CORRECTION_VERSION)
