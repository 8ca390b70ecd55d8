"""The time is always given, and nothing that is given can switch a limit off."""

import inspect

from bench.docstrings import public_objects

#: Words an option would carry that lets a person past a check.
RELAXING = ("override", "skip", "bypass", "unsafe", "relax", "no_check", "ignore_limit")


def _parameters():
    for path, value in public_objects():
        if inspect.isfunction(value) or inspect.isclass(value):
            try:
                signature = inspect.signature(value)
            except ValueError:  # an enumeration of the language
                continue
            for parameter in signature.parameters.values():
                yield path, parameter


def test_the_time_has_no_default():
    """A default would be a clock read in secret, or a date that goes stale."""
    given = [(path, p.default) for path, p in _parameters() if p.name == "now"]
    assert given
    assert [path for path, default in given if default is not inspect.Parameter.empty] == []


def test_no_argument_of_the_core_relaxes_a_check():
    names = {(path, p.name) for path, p in _parameters()}
    assert [n for n in names if any(word in n[1].lower() for word in RELAXING)] == []
