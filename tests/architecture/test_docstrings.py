"""The unit of every number of the core is written where the number is described."""

import inspect

import numpy as np

from bench import docstrings
from bench.docstrings import Described


def test_every_numeric_entry_ends_with_its_unit():
    assert docstrings.unit_errors() == []


def test_the_check_reads_many_entries():
    assert sum(1 for _ in docstrings.numeric_entries()) > 100


def test_an_entry_without_unit_is_found(monkeypatch):
    def load(force: float, breadth: float) -> np.ndarray:
        """Load a strip.

        Parameters
        ----------
        force : float
            Normal force. [N]
        breadth : float
            Breadth of the strip.

        Returns
        -------
        ndarray, shape (n,)
            Line load [N/m] over the strip
        """
        return np.array([force / breadth])

    monkeypatch.setattr(docstrings, "public_objects", lambda: iter([Described("load", load)]))
    assert inspect.getdoc(load)
    assert [fault.split(" does")[0] for fault in docstrings.unit_errors()] == [
        "load: breadth",
        "load: returns",
    ]
