"""Whatever stands in a case file: it becomes a case, or it is refused with a sentence."""

import copy
import json
from datetime import UTC, datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from leeward.exchange.case_file import case_from_document
from leeward.exchange.completeness import check
from leeward.exchange.document import Document, parse_document
from leeward.exchange.problems import FileRefused
from leeward.records.canonical import digest
from leeward.terms.errors import LeewardError, SchemaTooNew
from tests.unit.exchange.case_texts import EXAMPLES

NOW = datetime(2026, 11, 25, tzinfo=UTC)
WHOLE = [
    parse_document((EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8"), name).plain
    for name in ("ordinary", "feed-and-wound", "large")
]
SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-(10**6), 10**6)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.sampled_from(["left", "right", "level", "22:00", "2026-11-20", "sacrum", "foam", "open"])
    | st.text(max_size=12)
)
VALUES = SCALARS | st.lists(SCALARS, max_size=3) | st.dictionaries(st.text(max_size=6), SCALARS)


def _places(plain, place=()):
    yield place
    if isinstance(plain, dict):
        for name, value in plain.items():
            yield from _places(value, (*place, name))
    elif isinstance(plain, list):
        for number, value in enumerate(plain):
            yield from _places(value, (*place, number))


PLACES = [[place for place in _places(plain) if place] for plain in WHOLE]


def _set(plain, place, value, *, drop):
    for step in place[:-1]:
        plain = plain[step]
    if drop:
        del plain[place[-1]]
    else:
        plain[place[-1]] = value


@st.composite
def mangled(draw):
    """One of the examples with up to two fields dropped or replaced by anything."""
    number = draw(st.integers(0, len(WHOLE) - 1))
    plain = copy.deepcopy(WHOLE[number])
    place = draw(st.sampled_from(PLACES[number]))
    _set(plain, place, draw(VALUES), drop=draw(st.booleans()))
    return plain


def _case(plain):
    try:
        return case_from_document(Document(plain, {}), source="case.yaml")
    except (FileRefused, SchemaTooNew) as refused:
        return refused


@settings(max_examples=150)
@given(mangled())
def test_a_document_is_a_case_or_is_refused_and_a_case_can_be_checked_and_sealed(plain):
    document = _case(plain)
    if isinstance(document, LeewardError):
        assert str(document).startswith(("case.yaml", "split-"))
        assert "\n" not in str(document)
        return
    findings = check(document, NOW)
    assert all(finding.sentence for finding in findings)
    assert len(digest(document.case)) == 64
    again = case_from_document(Document(document.resolved, {}), source="again")
    assert again.case == document.case


@settings(max_examples=40)
@given(mangled())
def test_json_and_yaml_text_of_one_document_are_read_alike(plain):
    text = json.dumps(plain)
    assert parse_document(text, "case.json").plain == plain


def _optional_places(plain):
    return [(name,) for name in plain if name not in ("schema_version", "person", "day")] + [
        ("person", name)
        for name in plain["person"]
        if name not in ("label", "sex", "stature_cm", "mass_kg")
    ]


@given(st.data())
def test_leaving_a_fact_out_never_shortens_the_list_of_what_is_missing(data):
    plain = copy.deepcopy(data.draw(st.sampled_from(WHOLE)))
    before = {fact.field for fact in _case(plain).case.missing}
    _set(plain, data.draw(st.sampled_from(_optional_places(plain))), None, drop=True)
    after = {fact.field for fact in _case(plain).case.missing}
    # Asked for only where there is a unit, and only where the mattress is known to be foam.
    assert before - after <= {"placement", "bed.mattress.years_in_use"}
