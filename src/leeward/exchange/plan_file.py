"""A plan as a file: the decision, the whole case it was made from, and a digest of each."""

from dataclasses import dataclass
from pathlib import Path

from leeward.exchange.case_file import CaseDocument, case_from_document
from leeward.exchange.document import Document, Plain
from leeward.exchange.new_file import replace_whole
from leeward.exchange.plain_file import read_text
from leeward.exchange.plan_domain import check_domain
from leeward.exchange.problems import FileRefused, Problem, shown
from leeward.programme.decision import Decision
from leeward.records.canonical import canonical_json, digest, from_plain, plain_from_json, to_plain
from leeward.terms.case import Case
from leeward.terms.errors import InvalidInput, SchemaTooNew

#: Version of the plan file's form that this leeward writes; older ones it reads.
#: 1 proved the case by its record alone, so a record that had grown since could prove nothing;
#: 2 held the choices alone. What 3 adds is left empty where an older plan is read: what people do
#: beside the choices, relief against sleep, how many people a task takes, what the choices hang on.
PLAN_VERSION = 3

_FORM = "leeward plan"
_LARGEST = 8 * 1024 * 1024
_REMEDY = "plan again from the case file, or use a copy that nobody changed"


@dataclass(frozen=True, slots=True)
class StoredPlan:
    """A plan as read back.

    Parameters
    ----------
    decision : Decision
        What was decided.
    case : Case
        What it was decided from.
    case_plain : dict
        The case as written, with equipment and policy written out.
    case_source : str
        Name of the case file it came from.
    case_digest, decision_digest : str
        SHA-256 of either in canonical form, as it was when the plan was made.
    written : dict
        The whole file as written.
    """

    decision: Decision
    case: Case
    case_plain: dict[str, Plain]
    case_source: str
    case_digest: str
    decision_digest: str
    written: dict[str, Plain]


def write_plan(path: Path, document: CaseDocument, decision: Decision) -> None:
    """Write a decision and its case to a file, whole or not at all.

    Parameters
    ----------
    path : Path
        Where; a plan that is there is replaced.
    document : CaseDocument
        The case as read.
    decision : Decision
        What was decided from it.

    Raises
    ------
    InvalidInput
        If the decision was made from another case, or the folder is not there.
    """
    case_digest = digest(document.case)
    if decision.case_digest != case_digest:
        raise InvalidInput(
            f"a decision made from case {shown(decision.case_digest[:12])}, "
            f"where this case is {shown(case_digest[:12])}",
            where=str(path),
            expected="a decision together with the case it was made from",
            remedy="plan this case again",
        )
    content = {
        "form": _FORM,
        "schema_version": PLAN_VERSION,
        "case_source": document.source,
        "case": document.resolved,
        "case_written_digest": digest(document.resolved),
        "case_digest": case_digest,
        "decision": to_plain(decision),
        "decision_digest": digest(decision),
    }
    replace_whole(path, canonical_json(content))


def read_plan(path: Path) -> StoredPlan:
    """Read a plan file back and prove that nobody changed it.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    StoredPlan
        The decision and its case, exactly as they were written; what an older leeward did not
        know yet is as if nobody had said it.

    Raises
    ------
    FileRefused
        If it is no plan file, is damaged, or was changed after it was written.
    SchemaTooNew
        If it was written by a newer leeward.
    """
    text = read_text(path, _LARGEST, "a plan file")
    try:
        plain = plain_from_json(text.encode("utf-8"))
    except InvalidInput as error:
        raise _refused(path, "", error.what, "the JSON that leeward wrote") from error
    if not isinstance(plain, dict) or plain.get("form") != _FORM:
        raise _refused(path, "form", "not a plan file", f"`form: {_FORM}`")
    _check_version(path, plain.get("schema_version"))
    try:
        decision = from_plain(Decision, plain.get("decision"))
        check_domain(decision)
    except InvalidInput as error:
        raise _refused(path, f"decision, {error.where}", error.what, error.expected) from error
    case_plain, source = plain.get("case"), plain.get("case_source")
    if not isinstance(case_plain, dict) or not isinstance(source, str):
        raise _refused(path, "case", "no case", "the case the plan was made from")
    case = case_from_document(Document(case_plain, {}), source=path.name).case
    if plain.get("decision_digest") != (decision_digest := digest(plain.get("decision"))):
        raise _refused(path, "decision_digest", "the decision was changed", "what leeward wrote")
    if not plain.get("case_digest") == decision.case_digest or not _is_as_written(plain, case):
        raise _refused(path, "case_digest", "the case was changed", "what leeward wrote")
    return StoredPlan(
        decision, case, case_plain, source, decision.case_digest, decision_digest, plain
    )


def _is_as_written(plain: dict[str, Plain], case: Case) -> bool:
    if plain.get("schema_version") == 1:
        return plain.get("case_digest") == digest(case)
    return plain.get("case_written_digest") == digest(plain.get("case"))


def _check_version(path: Path, version: Plain) -> None:
    if isinstance(version, int) and not isinstance(version, bool) and version > PLAN_VERSION:
        raise SchemaTooNew(
            f"plan version {version}, written by a newer leeward",
            where=f"{path.name}, schema_version",
            expected=f"version {PLAN_VERSION} or an older one",
            remedy="install the newer leeward, or plan again with this one",
        )
    if type(version) is not int or version < 1:
        what = f"plan version {shown(version)}"
        raise _refused(path, "schema_version", what, f"a version from 1 to {PLAN_VERSION}")


def _refused(path: Path, field: str, what: str, expected: str) -> FileRefused:
    return FileRefused([Problem(path.name, None, field, what, expected, _REMEDY)])
