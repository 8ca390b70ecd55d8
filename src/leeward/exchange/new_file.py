"""Writing files: a new one never over another, a replaced one whole or not at all."""

import errno
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from leeward.terms.errors import InvalidInput

#: How a disk says that a file can have one name only.
_NO_SECOND_NAME = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS)


def write_new(path: Path, text: str) -> None:
    """Write a text file that is not there yet.

    Parameters
    ----------
    path : Path
        Where.
    text : str
        What.

    Raises
    ------
    InvalidInput
        If the file is there already, or its folder is not.
    """
    need_folder(path)
    with _named_for(path):
        try:
            stream = path.open("x", encoding="utf-8")
        except FileExistsError as error:
            raise InvalidInput(
                "the file is there already",
                where=str(path),
                expected="a name that is still free",
                remedy="choose another name, or move the file away",
            ) from error
        is_whole = False
        try:
            with stream:
                stream.write(text)
            is_whole = True
        finally:
            if not is_whole:
                path.unlink(missing_ok=True)


def replace_whole(path: Path, content: bytes) -> None:
    """Write a file so that it holds either what it held or all of the new content.

    Parameters
    ----------
    path : Path
        Where.
    content : bytes
        What.

    Raises
    ------
    InvalidInput
        If its folder is not there.
    """
    need_folder(path)
    with _named_for(path), _written_beside(path, content) as whole:
        whole.replace(path)


def add_file(path: Path, content: bytes) -> bool:
    """Write a file whole and onto the disk, unless its name is taken.

    Parameters
    ----------
    path : Path
        Where.
    content : bytes
        What.

    Returns
    -------
    bool
        False if the name was taken: then nothing was written. True once a loss of power no
        longer loses it.

    Raises
    ------
    InvalidInput
        If its folder is not there, or the disk cannot take a name without replacing a file.
    """
    need_folder(path)
    with _named_for(path), _written_beside(path, content) as whole:
        try:
            path.hardlink_to(whole)  # of two that write at once, one takes the name
        except FileExistsError:
            return False
        except OSError as error:
            if error.errno not in _NO_SECOND_NAME:
                raise
            raise InvalidInput(
                "the disk knows no second name for a file, so no entry could be made safe",
                where=str(path.parent),
                expected="a disk that can: most local ones, few sticks and cameras",
                remedy="keep the record on another disk",
            ) from error
    settle(path.parent)
    return True


def settle(folder: Path) -> None:
    """Wait until the names in a folder are on the disk.

    Parameters
    ----------
    folder : Path
        The folder. Where a system opens no folders it keeps their names itself.
    """
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def check_folder(folder: Path) -> None:
    """Refuse a folder that cannot take files, before the work whose results it is to take.

    Parameters
    ----------
    folder : Path
        Where files are to be written; it may not be there yet.

    Raises
    ------
    InvalidInput
        If it is a file or a link that leads nowhere, or nothing may be written there.
    """
    with suppress(FileNotFoundError, NotADirectoryError):
        folder.lstat()  # a name no disk can bear ends here
    nearest = next(one for one in (folder, *folder.absolute().parents) if os.path.lexists(one))
    if not nearest.is_dir():
        what = "a link that leads nowhere" if nearest.is_symlink() else "a file, not a folder"
    elif not _takes_files(nearest):
        what = "a folder that nothing may be written to"
    else:
        return
    raise InvalidInput(
        f"{'it' if nearest == folder else nearest} is {what}",
        where=str(folder),
        expected="a folder leeward may write to, or a name that is still free",
        remedy="choose another folder",
    )


def _takes_files(folder: Path) -> bool:
    # Tried, not asked: rights say nothing of a disk that is read-only or of a system's folder.
    tried = folder / f".leeward.{secrets.token_hex(6)}"
    try:
        tried.touch(exist_ok=False)
    except OSError:
        return False
    tried.unlink()
    return True


@contextmanager
def _written_beside(path: Path, content: bytes) -> Iterator[Path]:
    """A file with the content under another name, gone at the end unless it was moved."""
    # A file half written by a machine that stops must not be taken for a whole one.
    temporary = path.with_name(f".{path.name[:40]}.{secrets.token_hex(6)}")
    try:
        with temporary.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        yield temporary
    finally:
        temporary.unlink(missing_ok=True)


@contextmanager
def _named_for(path: Path) -> Iterator[None]:
    """Name the file that was wanted: a full disk names none, or the one beside."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(path)) from error


def need_folder(path: Path) -> None:
    """Refuse a file whose folder is not there.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    InvalidInput
        If there is no such folder.
    """
    if not path.parent.is_dir():
        raise InvalidInput(
            f"there is no folder {path.parent}",
            where=str(path),
            expected="a folder that is there",
            remedy="make the folder first",
        )
