"""Reading a file as text, however hostile: bounded, UTF-8, one sentence when it is not."""

from pathlib import Path

from leeward.exchange.problems import FileRefused, Problem

#: What people call it, where the system's own words are those of its makers.
_REASONS: dict[type[OSError], str] = {
    FileNotFoundError: "no such file",
    IsADirectoryError: "a folder, not a file",
    PermissionError: "a file that you may not read",
}


def read_text(path: Path, largest: int, kind: str) -> str:
    """Read a text file that may be anything.

    Parameters
    ----------
    path : Path
        The file.
    largest : int
        Largest size accepted. [byte]
    kind : str
        What the file should be, for the message: "a case file", "a column map".

    Returns
    -------
    str
        Its text, without a byte order mark.

    Raises
    ------
    FileRefused
        If there is no such file, it is a folder or a pipe, or it is too large, empty,
        binary or not UTF-8.
    """
    _refuse_what_waits(path, kind)
    try:
        with path.open("rb") as stream:
            raw = stream.read(largest + 1)
    except OSError as error:
        reason = _REASONS.get(type(error), str(error.strerror))
        raise _refused(path, reason, f"{kind} that can be read", "check the name") from error
    if len(raw) > largest:
        raise _refused(
            path,
            f"larger than {largest // 1024} kB",
            f"{kind} of at most {largest // 1024} kB",
            "check that this is the file you mean",
        )
    if not raw.strip():
        raise _refused(path, "empty", kind, "check that this is the file you mean")
    if b"\0" in raw:
        raise _refused(
            path, "binary data, not text", f"{kind} as text in UTF-8", "pick the text file"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        what = f"byte {error.start + 1} is not UTF-8 text"
        remedy = "save the file again as UTF-8"
        problem = Problem(path.name, line, "", what, "text in UTF-8", remedy)
        raise FileRefused([problem]) from error


def _refuse_what_waits(path: Path, kind: str) -> None:
    # Opening one would wait for whoever writes into it, perhaps for ever.
    if path.is_fifo() or path.is_socket():
        raise _refused(path, "a pipe, not a file", f"{kind} as a file", "save it as a file")
    if path.is_char_device() or path.is_block_device():
        raise _refused(path, "a device, not a file", f"{kind} as a file", "save it as a file")


def _refused(path: Path, what: str, expected: str, remedy: str) -> FileRefused:
    return FileRefused([Problem(path.name, None, "", what, expected, remedy)])
