"""Fit sheets and bed sheets as files, alone or named in a case."""

import copy
from pathlib import Path

from leeward.exchange.bed_sheet_schema import BedSheetFields
from leeward.exchange.bundled import bundled_document
from leeward.exchange.case_schema import FitReferenceFields
from leeward.exchange.document import LARGEST_FILE, Document, Plain, parse_document
from leeward.exchange.fit_sheet_schema import FitSheetFields
from leeward.exchange.form_file import checked_form, read_form
from leeward.exchange.named_files import Beside, document_beside, named_bundled, written_here
from leeward.exchange.plain_file import read_text
from leeward.terms.bed_sheet import BedSheet
from leeward.terms.fit_sheet import FitSheet

#: Version of the forms that this leeward writes and reads.
FIT_VERSION = 1


def read_bed_sheet(path: Path) -> BedSheet:
    """Read a bed sheet.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    BedSheet
        The bed.

    Raises
    ------
    FileRefused
        If anything is wrong with it.
    """
    return read_form(BedSheetFields, path, "a bed sheet", version=FIT_VERSION).record()


def bundled_bed(name: str) -> BedSheet:
    """An example bed that comes with leeward.

    Parameters
    ----------
    name : str
        Its name, see `leeward.exchange.bundled.bundled_names`.

    Returns
    -------
    BedSheet
        The bed.

    Raises
    ------
    FileRefused
        If there is none of that name.
    """
    return _bed_form(bundled_document("beds", name), f"{name}.yaml").record()


def read_fit_sheet(path: Path) -> FitSheet:
    """Read a fit sheet.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    FitSheet
        What was measured.

    Raises
    ------
    FileRefused
        If anything is wrong with it.
    """
    document = parse_document(read_text(path, LARGEST_FILE, "a fit sheet"), path.name)
    return _sheet(_fit_form(document, path.name), document, path.name)[0]


def fit_sheet_of(
    reference: FitReferenceFields | None,
    document: Document,
    source: str,
    beside: Beside | None,
) -> tuple[FitSheet | None, Plain]:
    """Find the fit sheet that a case names.

    Parameters
    ----------
    reference : FitReferenceFields or None
        As written in the case.
    document : Document
        The case.
    source : str
        Name of its file.
    beside : callable or None
        Gives the text of a file beside the case.

    Returns
    -------
    tuple of (FitSheet or None, plain value)
        The record, and the same written out so that no other file is needed.

    Raises
    ------
    FileRefused
        If anything is wrong with it.
    """
    if reference is None:
        return None, None
    if reference.file is not None:
        place = ("fitting", "file")
        name, found = document_beside(beside, reference.file, document, source, place)
        return _sheet(_fit_form(found, name), found, name)
    assert reference.described is not None
    plain = written_here(document, "fitting")
    assert isinstance(plain, dict)
    return _sheet(reference.described, Document(plain, document.lines), source)


def _sheet(form: FitSheetFields, document: Document, source: str) -> tuple[FitSheet, Plain]:
    bed = form.bed_sheet
    plain = copy.deepcopy(document.plain)
    if bed.described is not None:
        return form.record(bed.described.record()), plain
    found = named_bundled("beds", bed.use or "", document, source, ("bed_sheet", "use"))
    plain["bed_sheet"] = {"described": found.plain}
    return form.record(_bed_form(found, f"{bed.use}.yaml").record()), plain


def _bed_form(document: Document, file: str) -> BedSheetFields:
    return checked_form(BedSheetFields, document, file=file, version=FIT_VERSION)


def _fit_form(document: Document, file: str) -> FitSheetFields:
    return checked_form(FitSheetFields, document, file=file, version=FIT_VERSION)
