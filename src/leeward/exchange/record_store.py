"""A record on disk: one entry a file, none written over, on the disk before it is acknowledged."""

import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from leeward.exchange.new_file import add_file, check_folder, settle
from leeward.exchange.problems import shown
from leeward.records.canonical import canonical_json, from_plain, plain_from_json
from leeward.records.entry import Entry, append, is_sealed, verify
from leeward.records.position import GREATEST_LENGTH
from leeward.terms.errors import InvalidInput
from leeward.terms.verdict import Reason

_NAME = re.compile(r"entry-(\d{6,9})\.json")
#: Others may write at the same time; so often somebody else may be quicker. Convention. [-]
_MOST_TRIES = 100


@dataclass(frozen=True, slots=True)
class StoredRecord:
    """A record as found on disk.

    Parameters
    ----------
    entries : tuple of Entry
        Every entry that could be read, in the order of the names of their files.
    findings : tuple of Reason
        What was altered, is missing, stands elsewhere or could not be read; empty when every
        link holds.
    unfinished : tuple of str
        Files of entries that were begun and never acknowledged: their writer was stopped.
    """

    entries: tuple[Entry, ...]
    findings: tuple[Reason, ...]
    unfinished: tuple[str, ...]


def keep_entry(folder: Path, body: object, *, at: datetime, author: str, kind: str) -> Entry:
    """Add an entry to a record.

    Parameters
    ----------
    folder : Path
        The record; made where there is none yet.
    body : object
        A record or plain data.
    at : datetime
        Now; aware.
    author : str
        Who writes.
    kind : str
        What sort of thing it is.

    Returns
    -------
    Entry
        As it stands on the disk: when this returns, a loss of power no longer loses it.

    Raises
    ------
    InvalidInput
        If the folder takes no files, its last entry is not what was sealed, or the entry has
        no plain form or is too long.
    """
    if not folder.is_dir():
        check_folder(folder)  # tries a file, which a killed writer would leave among the entries
        folder.mkdir(exist_ok=True)
        settle(folder.parent)
    for _ in range(_MOST_TRIES):
        last = _last_entry(folder)
        entry = append(last, body, at=at, author=author, kind=kind)[-1]
        content = canonical_json(entry)
        if len(content) > GREATEST_LENGTH:
            raise InvalidInput(
                f"an entry of {len(content)} bytes",
                where=str(folder),
                expected=f"at most {GREATEST_LENGTH} bytes",
                remedy="keep what is long as a file beside the record, and its digest here",
            )
        if add_file(folder / f"entry-{entry.sequence:06d}.json", content):
            return entry
    raise InvalidInput(
        f"others wrote first {_MOST_TRIES} times",
        where=str(folder),
        expected="a record that is written to now and then",
        remedy="try again",
    )


def read_record(folder: Path, *, last_digest: str | None = None) -> StoredRecord:
    """Read a record and look for what was altered, is missing, or was put elsewhere.

    Parameters
    ----------
    folder : Path
        The record.
    last_digest : str or None
        Digest of the last entry as kept somewhere else.

    Returns
    -------
    StoredRecord
        Its entries, and what was found.

    Raises
    ------
    InvalidInput
        If there is no such folder.
    """
    names = _names(folder)
    read = [_read(folder / name) for name in names if _NAME.fullmatch(name)]
    entries = tuple(entry for entry, _ in read if entry is not None)
    unknown = tuple(
        Reason("file-unknown", f"{shown(name)} is no entry of this record.")
        for name in names
        if not _NAME.fullmatch(name) and not _is_unfinished(name)
    )
    return StoredRecord(
        entries,
        (
            *(finding for _, found in read for finding in found),
            *verify(entries, last_digest=last_digest),
            *unknown,
        ),
        tuple(name for name in names if _is_unfinished(name)),
    )


def _names(folder: Path) -> list[str]:
    if not folder.is_dir():
        raise InvalidInput(
            "no such folder",
            where=str(folder),
            expected="the folder of a record",
            remedy="check the name",
        )
    return sorted((path.name for path in folder.iterdir()), key=lambda name: (len(name), name))


def _is_unfinished(name: str) -> bool:
    return name.startswith(".entry-")


def _last_entry(folder: Path) -> tuple[Entry, ...]:
    numbered = [name for name in _names(folder) if _NAME.fullmatch(name)]
    if not numbered:
        return ()
    entry, findings = _read(folder / numbered[-1])
    if entry is None or findings or not is_sealed(entry):
        raise InvalidInput(
            "the last entry is not what was sealed: nothing can be added to it",
            where=str(folder / numbered[-1]),
            expected="an entry as leeward wrote it",
            remedy="keep this record as it is, run leeward verify-record, and begin a new one",
        )
    return (entry,)


def _read(path: Path) -> tuple[Entry | None, tuple[Reason, ...]]:
    try:
        with path.open("rb") as stream:
            content = stream.read(GREATEST_LENGTH + 1)
        entry = from_plain(Entry, plain_from_json(content))
    except InvalidInput as error:
        return None, (_unreadable(path, error.what),)
    except OSError as error:
        return None, (_unreadable(path, error.strerror or "it cannot be read"),)
    named = _NAME.fullmatch(path.name)
    if named is not None and int(named[1]) != entry.sequence:
        sentence = f"{path.name} holds entry {entry.sequence}: a file was renamed or copied."
        return entry, (Reason("entry-misnamed", sentence),)
    if content != canonical_json(entry):
        # Another spelling of the same values has the same digest: only its bytes tell.
        sentence = f"{path.name} was written anew: it is not in the form leeward writes."
        return entry, (Reason("entry-rewritten", sentence),)
    return entry, ()


def _unreadable(path: Path, what: str) -> Reason:
    return Reason("entry-unreadable", f"{path.name} cannot be read as an entry: {what}.")
