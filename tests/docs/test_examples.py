"""Every example in a docstring runs and gives what it shows."""

import doctest
from types import ModuleType

import pytest

from bench.docstrings import core_modules

MODULES = list(core_modules())


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_the_examples_run(module: ModuleType):
    assert doctest.testmod(module).failed == 0


def test_there_are_examples():
    finder = doctest.DocTestFinder()
    found = [test for module in MODULES for test in finder.find(module) if test.examples]
    assert len(found) >= 10
