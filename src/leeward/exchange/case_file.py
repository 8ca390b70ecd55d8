"""Reading a case file: the case, what was written, and on which line."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from leeward.exchange.bundled import bundled_document
from leeward.exchange.case_schema import SCHEMA_VERSION, CaseFields
from leeward.exchange.correction_file import correction_of
from leeward.exchange.document import LARGEST_FILE, Document, Plain, line_of, parse_document
from leeward.exchange.equipment_schema import EquipmentFields
from leeward.exchange.fit_file import fit_sheet_of
from leeward.exchange.form_file import checked_form, read_form
from leeward.exchange.missing_facts import missing_facts
from leeward.exchange.named_files import Beside, document_beside, named_bundled, written_here
from leeward.exchange.plain_file import read_text
from leeward.exchange.policy_schema import PolicyFields
from leeward.exchange.problems import FileRefused, Place, Problem, shown
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment
from leeward.terms.regime import Policy

#: What a case may name, by the field that names it.
_KINDS = {
    "equipment": "an equipment file",
    "fitting": "a fit sheet",
    "corrected_by": "a correction by a measured map",
}


@dataclass(frozen=True, slots=True)
class CaseDocument:
    """A case together with the file it was written in.

    Parameters
    ----------
    case : Case
        The case the other rooms use, with its missing facts.
    plain : dict
        What was written, as plain values.
    resolved : dict
        The same with equipment and policy written out: nothing else is needed to read
        the case again.
    lines : mapping of place to int
        Line of every field, counted from 1.
    source : str
        Name of the file.
    """

    case: Case
    plain: dict[str, Plain]
    resolved: dict[str, Plain]
    lines: Mapping[Place, int]
    source: str

    def line(self, place: Place) -> int | None:
        """Line of a field, or of the nearest group around it.

        Parameters
        ----------
        place : tuple of str or int
            Where.

        Returns
        -------
        int or None
            Line counted from 1.
        """
        return line_of(self.lines, place)


def read_case(path: Path) -> CaseDocument:
    """Read a case file in YAML 1.2 or JSON.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    CaseDocument
        The case and what was written.

    Raises
    ------
    FileRefused
        If anything is wrong with it, with every problem found.
    SchemaTooNew
        If it was written for a newer leeward.
    """
    document = parse_document(read_text(path, LARGEST_FILE, "a case file"), path.name)

    def beside(name: str, place: Place) -> str:
        folder = path.parent.resolve()
        # Not Path.resolve, which raises no OSError for links that lead round in a circle;
        # opening one is refused like any file that cannot be read.
        if Path(os.path.realpath(folder / name)).parent != folder:
            problem = Problem(
                path.name,
                document.lines.get(place),
                ".".join(str(step) for step in place),
                f"{shown(name)} leads out of the case's own folder",
                "a file that lies there itself",
                "copy the file beside the case",
            )
            raise FileRefused([problem])
        return read_text(path.parent / name, LARGEST_FILE, _KINDS[str(place[0])])

    return case_from_document(document, source=path.name, beside=beside)


def case_from_document(
    document: Document, *, source: str, beside: Beside | None = None
) -> CaseDocument:
    """Make a case from plain values.

    Parameters
    ----------
    document : Document
        Plain values and their lines.
    source : str
        Name of the file they came from.
    beside : callable or None
        Gives the text of a file that the case names; None where there is no folder.

    Returns
    -------
    CaseDocument
        The case and what was written.

    Raises
    ------
    FileRefused
        If anything is wrong, with every problem found.
    SchemaTooNew
        If it was written for a newer leeward.
    """
    form = checked_form(CaseFields, document, file=source, version=SCHEMA_VERSION)
    equipment, equipment_plain = _equipment(form, document, source, beside)
    policy, policy_plain = _policy(form, document, source)
    fit_sheet, fit_plain = fit_sheet_of(form.fitting, document, source, beside)
    case = form.record(None if equipment is None else equipment.record(), policy)
    correction, correction_plain = correction_of(form.corrected_by, case, document, source, beside)
    case = replace(case, fit_sheet=fit_sheet, correction=correction)
    resolved = dict(document.plain)
    if equipment_plain is not None:
        resolved["equipment"] = {"described": equipment_plain}
    if fit_plain is not None:
        resolved["fitting"] = {"described": fit_plain}
    if correction_plain is not None:
        resolved["corrected_by"] = {"described": correction_plain}
    if policy_plain is not None and form.policy is not None:
        by = form.policy.assumed_by
        resolved["policy"] = {"described": policy_plain, "assumed_by": by}
    missing = missing_facts(case, written=_written(form))
    return CaseDocument(
        case=replace(case, missing=missing),
        plain=document.plain,
        resolved=resolved,
        lines=document.lines,
        source=source,
    )


def _written(form: CaseFields) -> frozenset[str]:
    written = {f"day.{name}" for name in form.day.model_fields_set}
    if form.person.rest_angles is not None:
        written.add("person.rest_angles")
    return frozenset(written)


def read_equipment(path: Path) -> Equipment:
    """Read an equipment file.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    Equipment
        The unit.

    Raises
    ------
    FileRefused
        If anything is wrong with it.
    """
    version = SCHEMA_VERSION
    return read_form(EquipmentFields, path, "an equipment file", version=version).record()


def bundled_equipment(name: str) -> Equipment:
    """An example unit that comes with leeward.

    Parameters
    ----------
    name : str
        Its name, see `leeward.exchange.bundled.bundled_names`.

    Returns
    -------
    Equipment
        The unit.

    Raises
    ------
    FileRefused
        If there is none of that name.
    """
    return _equipment_form(bundled_document("equipment", name), f"{name}.yaml").record()


def bundled_policy(name: str) -> Policy:
    """A policy that comes with leeward.

    Parameters
    ----------
    name : str
        Its name, see `leeward.exchange.bundled.bundled_names`.

    Returns
    -------
    Policy
        The policy.

    Raises
    ------
    FileRefused
        If there is none of that name.
    """
    return _policy_form(bundled_document("policies", name), f"{name}.yaml").record()


def _equipment_form(document: Document, file: str) -> EquipmentFields:
    return checked_form(EquipmentFields, document, file=file, version=SCHEMA_VERSION)


def _policy_form(document: Document, file: str) -> PolicyFields:
    return checked_form(PolicyFields, document, file=file, version=SCHEMA_VERSION)


def _equipment(
    form: CaseFields, document: Document, source: str, beside: Beside | None
) -> tuple[EquipmentFields | None, Plain]:
    reference = form.equipment
    if reference is None:
        return None, None
    if reference.described is not None:
        return reference.described, written_here(document, "equipment")
    if reference.unit is not None:
        file = f"{reference.unit}.yaml"
        place: Place = ("equipment", "unit")
        found = named_bundled("equipment", reference.unit, document, source, place)
    else:
        place = ("equipment", "file")
        file, found = document_beside(beside, reference.file or "", document, source, place)
    return _equipment_form(found, file), found.plain


def _policy(form: CaseFields, document: Document, source: str) -> tuple[PolicyFields | None, Plain]:
    reference = form.policy
    if reference is None:
        return None, None
    if reference.use is None:
        return reference.described, written_here(document, "policy")
    found = named_bundled("policies", reference.use, document, source, ("policy", "use"))
    return _policy_form(found, f"{reference.use}.yaml"), found.plain
