"""Equipment, beds and policies that come with leeward, by name."""

import copy
import difflib
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from leeward.exchange.document import Document, parse_document
from leeward.exchange.problems import FileRefused, Problem, shown


def bundled_names(kind: str) -> tuple[str, ...]:
    """Names of what comes with leeward.

    Parameters
    ----------
    kind : str
        ``"equipment"``, ``"beds"`` or ``"policies"``.

    Returns
    -------
    tuple of str
        In alphabetical order.
    """
    return tuple(sorted(entry.name.removesuffix(".yaml") for entry in _folder(kind).iterdir()))


def bundled_text(kind: str, name: str) -> str:
    """Text of one bundled file.

    Parameters
    ----------
    kind : str
        ``"equipment"``, ``"beds"`` or ``"policies"``.
    name : str
        One of `bundled_names`.

    Returns
    -------
    str
        YAML.

    Raises
    ------
    FileRefused
        If nothing of that name comes with leeward.
    """
    known = bundled_names(kind)
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1)
        hint = f"perhaps `{near[0]}`; known: " if near else "one of "
        problem = Problem(
            f"bundled {kind}",
            None,
            "",
            f"nothing called {shown(name)}",
            hint + ", ".join(known),
            "correct the name",
        )
        raise FileRefused([problem])
    return (_folder(kind) / f"{name}.yaml").read_text(encoding="utf-8")


def bundled_document(kind: str, name: str) -> Document:
    """One bundled file, parsed; a copy of its own that may be changed.

    Parameters
    ----------
    kind, name : str
        As for `bundled_text`.

    Returns
    -------
    Document
        Plain values and their lines.

    Raises
    ------
    FileRefused
        If nothing of that name comes with leeward.
    """
    found = _parsed(kind, name)
    return Document(copy.deepcopy(found.plain), found.lines)


@cache
def _parsed(kind: str, name: str) -> Document:
    return parse_document(bundled_text(kind, name), f"{name}.yaml")


def _folder(kind: str) -> Traversable:
    return files("leeward.exchange") / "data" / kind
