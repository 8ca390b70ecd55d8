"""A chain of entries shows what was altered, left out, moved or exchanged."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from leeward.records.canonical import canonical_json, from_plain, plain_from_json, to_plain
from leeward.records.entry import NOTHING_BEFORE, Entry, append, entry_digest, verify
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput

START = datetime(2030, 1, 31, 22, tzinfo=UTC)


def chain_of(count: int) -> tuple[Entry, ...]:
    chain: tuple[Entry, ...] = ()
    for number in range(count):
        at = START + timedelta(hours=number)
        chain = append(chain, {"turn": number / 10}, at=at, author="A. Nurse", kind="skin check")
    return chain


def codes(chain: tuple[Entry, ...], last_digest: str | None = None) -> list[str]:
    return [finding.code for finding in verify(chain, last_digest=last_digest)]


def resealed(entry: Entry, body: object) -> Entry:
    changed = replace(entry, body=to_plain(body))
    return replace(changed, digest=entry_digest(changed))


def test_a_whole_chain_holds():
    chain = chain_of(5)
    assert verify(chain) == ()
    assert verify((), last_digest=None) == ()
    assert [entry.sequence for entry in chain] == [1, 2, 3, 4, 5]
    assert chain[0].previous == NOTHING_BEFORE


def test_a_chain_read_from_its_json_holds():
    chain = append(chain_of(2), DaySpan(0.0, 3600.5), at=START, author="B", kind="day")
    stored = [canonical_json(entry) for entry in chain]
    assert verify(tuple(from_plain(Entry, plain_from_json(text)) for text in stored)) == ()


@pytest.mark.parametrize(
    "change",
    [
        {"body": {"turn": 0.11}},
        {"author": "B. Nurse"},
        {"kind": "decision"},
        {"at": START},
        {"body": float("nan")},
        {"body": object()},
    ],
)
def test_an_altered_entry_is_named(change: dict[str, object]):
    chain = list(chain_of(4))
    chain[1] = replace(chain[1], **change)  # type: ignore[arg-type]
    (finding,) = verify(tuple(chain))
    assert finding.code == "entry-altered"
    assert finding.numbers[0].value == 2.0


def test_an_entry_altered_and_sealed_anew_breaks_the_link_after_it():
    chain = list(chain_of(4))
    chain[1] = resealed(chain[1], {"turn": 0.3})
    (finding,) = verify(tuple(chain))
    assert finding.code == "link-broken"
    assert "Entry 3" in finding.sentence


def test_a_missing_entry_is_named():
    chain = chain_of(6)
    (finding,) = verify(chain[:2] + chain[4:])
    assert finding.code == "entries-missing"
    assert finding.sentence == "Entries 3 to 4 are missing."
    assert codes(chain[1:]) == ["entries-missing"]


def test_an_end_cut_off_shows_only_against_a_digest_kept_elsewhere():
    chain = chain_of(4)
    assert codes(chain[:3]) == []
    assert codes(chain[:3], chain[3].digest) == ["chain-end-differs"]
    assert codes((), chain[3].digest) == ["chain-end-differs"]
    assert codes(chain, chain[3].digest) == []


def test_an_end_written_anew_shows_only_against_a_digest_kept_elsewhere():
    chain = chain_of(3)
    other = append(chain[:2], {"turn": 9.0}, at=START, author="A. Nurse", kind="skin check")
    assert codes(other) == []
    assert codes(other, chain[2].digest) == ["chain-end-differs"]


def test_moved_entries_are_named():
    one, two, three = chain_of(3)
    assert codes((one, three, two)) == ["entry-moved"]


def test_a_repeated_entry_is_named():
    one, two = chain_of(2)
    assert codes((one, two, two)) == ["entry-repeated"]


def test_a_number_from_nowhere_costs_no_time():
    one, two = chain_of(2)
    far = replace(two, sequence=10**15)
    assert "entries-missing" in codes((one, replace(far, digest=entry_digest(far))))


def test_a_first_entry_that_names_one_before_it_is_found():
    (one,) = chain_of(1)
    changed = replace(one, previous="f" * 64)
    assert codes((replace(changed, digest=entry_digest(changed)),)) == ["link-broken"]


def test_the_words_of_one_field_cannot_pass_for_another():
    one = append((), {}, at=START, author="ab", kind="c")[0]
    other = append((), {}, at=START, author="a", kind="bc")[0]
    assert one.digest != other.digest


def test_what_changes_later_is_not_in_the_entry():
    body = {"sites": ["sacrum"]}
    chain = append((), body, at=START, author="A", kind="case")
    body["sites"].append("left heel")
    assert chain[0].body == {"sites": ["sacrum"]}
    assert verify(chain) == ()


@pytest.mark.parametrize("change", [{"author": " "}, {"kind": ""}])
def test_an_entry_by_nobody_is_refused(change: dict[str, str]):
    with pytest.raises(InvalidInput, match="name"):
        append((), {}, **({"at": START, "author": "A", "kind": "case"} | change))  # type: ignore[arg-type]


def test_an_entry_without_offset_is_refused():
    naive = START.replace(tzinfo=None)
    with pytest.raises(InvalidInput, match="offset"):
        append((), {}, at=naive, author="A", kind="case")
