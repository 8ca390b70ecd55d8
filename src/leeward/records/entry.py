"""Entries that name the one before them: what was kept cannot be changed unseen."""

import hashlib
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from leeward.records.canonical import canonical_json, to_plain
from leeward.records.shape import Plain
from leeward.terms.errors import InvalidInput
from leeward.terms.verdict import Quantity, Reason

#: What the first entry names in place of a digest before it.
NOTHING_BEFORE = "0" * 64


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing kept: who wrote what, when, after which other entry.

    Parameters
    ----------
    sequence : int
        Place in the chain, from 1. [-]
    at : datetime
        When, by the author's clock; aware.
    author : str
        Who.
    kind : str
        What sort of thing it is: case, decision, skin check, acceptance.
    body : Plain
        What is kept, as plain data.
    previous : str
        Digest of the entry before; `NOTHING_BEFORE` for the first.
    digest : str
        SHA-256 over the canonical JSON of all the fields above.
    """

    sequence: int
    at: datetime
    author: str
    kind: str
    body: Plain
    previous: str
    digest: str


def append(
    chain: tuple[Entry, ...], body: object, *, at: datetime, author: str, kind: str
) -> tuple[Entry, ...]:
    """Add an entry to a chain.

    Parameters
    ----------
    chain : tuple of Entry
        The chain so far; it is not verified here.
    body : object
        A record or plain data; copied, so that what changes later is not the entry.
    at : datetime
        Now; aware.
    author : str
        Who writes.
    kind : str
        What sort of thing it is.

    Returns
    -------
    tuple of Entry
        The longer chain.

    Raises
    ------
    InvalidInput
        If nobody is named, the time has no offset, or the body has no plain form.
    """
    for name, text in (("author", author), ("kind", kind)):
        if not text.strip():
            raise InvalidInput(
                "nothing there", where=f"entry {name}", expected="a name", remedy="give one"
            )
    sequence = chain[-1].sequence + 1 if chain else 1
    previous = chain[-1].digest if chain else NOTHING_BEFORE
    made = Entry(sequence, at, author, kind, to_plain(body), previous, "")
    sealed = Entry(sequence, at, author, kind, made.body, previous, entry_digest(made))
    return (*chain, sealed)


def entry_digest(entry: Entry) -> str:
    """Compute what an entry's digest should be.

    Parameters
    ----------
    entry : Entry
        The entry; its own digest is not looked at.

    Returns
    -------
    str
        64 hexadecimal digits.
    """
    # The fields are sealed inside a list of names, never joined as text: no author can be
    # chosen so that two different entries read the same.
    sealed = {
        "sequence": entry.sequence,
        "at": entry.at,
        "author": entry.author,
        "kind": entry.kind,
        "body": entry.body,
        "previous": entry.previous,
    }
    return hashlib.sha256(canonical_json(sealed)).hexdigest()


def is_sealed(entry: Entry) -> bool:
    """Tell whether an entry is what was sealed.

    Parameters
    ----------
    entry : Entry
        The entry.

    Returns
    -------
    bool
        Whether its digest is that of its fields.
    """
    try:
        return entry_digest(entry) == entry.digest
    except InvalidInput:
        return False  # what cannot even be written was not what was sealed


def verify(chain: tuple[Entry, ...], *, last_digest: str | None = None) -> tuple[Reason, ...]:
    """Look for entries altered, missing, repeated, moved or put in another's place.

    Parameters
    ----------
    chain : tuple of Entry
        The whole chain as stored.
    last_digest : str or None
        Digest of the last entry as kept somewhere else, for example on a printed sheet.

    Returns
    -------
    tuple of Reason
        What was found; empty when every link holds.

    Notes
    -----
    Whoever can rewrite every entry from some place to the end, or cut the end off, leaves
    links that hold; only `last_digest`, kept elsewhere, shows that.
    """
    findings = [
        *_altered(chain),
        *_repeated(chain),
        *_missing(chain),
        *_moved(chain),
        *_broken_links(chain),
    ]
    if last_digest is not None and (not chain or chain[-1].digest != last_digest):
        findings.append(
            Reason(
                "chain-end-differs",
                "The chain does not end with the entry whose digest was kept elsewhere: its end "
                "is missing or was written anew.",
                (Quantity("entries", float(len(chain)), "-"),),
            )
        )
    return tuple(findings)


def _finding(code: str, sentence: str, *numbers: int) -> Reason:
    return Reason(code, sentence, tuple(Quantity("entry", float(n), "-") for n in numbers))


def _altered(chain: tuple[Entry, ...]) -> list[Reason]:
    return [
        _finding(
            "entry-altered",
            f"Entry {entry.sequence} ({entry.kind}) is not what was sealed: its content and its "
            "digest disagree.",
            entry.sequence,
        )
        for entry in chain
        if not is_sealed(entry)
    ]


def _repeated(chain: tuple[Entry, ...]) -> list[Reason]:
    counts = Counter(entry.sequence for entry in chain)
    return [
        _finding("entry-repeated", f"Entry {number} stands {count} times in the chain.", number)
        for number, count in sorted(counts.items())
        if count > 1
    ]


def _missing(chain: tuple[Entry, ...]) -> list[Reason]:
    numbers = sorted({0, *(entry.sequence for entry in chain)})
    gaps = [(low + 1, high - 1) for low, high in pairwise(numbers) if high - low > 1]
    return [
        _finding(
            "entries-missing",
            f"Entry {first} is missing."
            if first == last
            else f"Entries {first} to {last} are missing.",
            first,
            last,
        )
        for first, last in gaps
    ]


def _moved(chain: tuple[Entry, ...]) -> list[Reason]:
    return [
        _finding(
            "entry-moved",
            f"Entry {after.sequence} stands after entry {before.sequence}: entries were reordered.",
            before.sequence,
            after.sequence,
        )
        for before, after in pairwise(chain)
        if after.sequence < before.sequence
    ]


def _broken_links(chain: tuple[Entry, ...]) -> list[Reason]:
    """Links between neighbours by number; a missing neighbour has its own finding."""
    ordered = sorted(chain, key=lambda entry: entry.sequence)
    first = [e for e in ordered[:1] if e.sequence == 1 and e.previous != NOTHING_BEFORE]
    later = [
        entry
        for before, entry in pairwise(ordered)
        if entry.sequence == before.sequence + 1 and entry.previous != before.digest
    ]
    return [_broken_link(entry) for entry in (*first, *later)]


def _broken_link(entry: Entry) -> Reason:
    return _finding(
        "link-broken",
        f"Entry {entry.sequence} does not follow the entry that stands before it: one of the two "
        "was put in another's place.",
        entry.sequence,
    )
