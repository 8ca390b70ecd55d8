"""The units written in docstrings are executed: other base units, the same physics.

A formula is a public function of the core with a `.. math::` in its docstring. Its inputs are
expressed in base units of odd size; if code and bracketed units agree, the answer follows. A wrong
unit in the docstring, a lost exponent or a constant with a hidden dimension breaks it. Angles are
dimensionless, so a degree passed for a radian is not found here but by published values.
"""

import inspect
import re
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import numpy as np
import pytest
from numpydoc.docscrape import NumpyDocString

from bench import docstrings

#: Sizes of the odd base units, in the SI's. Kilogram, metre, second.
BASE = np.array([1.7, 3.1, 0.6])
POWERS = {
    "kg": (1, 0, 0),
    "m": (0, 1, 0),
    "s": (0, 0, 1),
    "N": (1, 1, -2),
    "Pa": (1, -1, -2),
    "J": (1, 2, -2),
    "W": (1, 2, -3),
    "rad": (0, 0, 0),
    "-": (0, 0, 0),
    "1": (0, 0, 0),
}
#: Magnitudes at which formulas of this field are inside their range of validity.
TYPICAL = {"Pa": 4e3, "m": 0.04, "N": 40.0, "s": 1800.0, "kg": 60.0, "rad": 0.3, "-": 0.3}


class Formula(NamedTuple):
    """A function with the units of what goes in and what comes out."""

    function: Callable[..., Any]
    inputs: dict[str, str]
    outputs: list[str]
    axes: dict[str, int]


def dimension(unit: str) -> np.ndarray:
    """Powers of kilogram, metre and second in a unit such as 'N/m^2'."""
    total = np.zeros(3)
    for place, part in enumerate(unit.split("/")):
        for symbol, power in re.findall(r"([A-Za-z]+|-|1)(?:\^(\d+))?", part):
            sign = -1 if place else 1
            total += sign * np.array(POWERS[symbol]) * int(power or 1)
    return total


def factor(unit: str) -> float:
    """How many SI units one odd unit is."""
    return float(np.prod(BASE ** dimension(unit)))


def as_formula(function: Callable[..., Any]) -> Formula | None:
    """Units of a function whose entries are all plain numbers; None for any other."""
    doc = NumpyDocString(inspect.getdoc(function) or "")
    units: dict[str, str] = {}
    axes: dict[str, int] = {}
    for entry in doc["Parameters"]:
        unit = docstrings.unit_of(entry)
        is_number = docstrings.is_numeric(entry.type) and "sequence" not in entry.type
        if unit in (None, "carried", "one each") or not is_number:
            return None
        names = entry.name.split(", ")
        units |= dict.fromkeys(names, unit)
        axes |= dict.fromkeys(names, axis_count(entry.type))
    outputs = [docstrings.unit_of(entry) for entry in doc["Returns"]]
    return Formula(function, units, outputs, axes) if all(outputs) else None


def axis_count(kind: str) -> int:
    """How many axes an entry must have; none where a plain number stands for one axis as well."""
    several = re.search(r"shape \((\w+(?:, \w+)+)\)", kind)
    return len(several[1].split(", ")) if several else 0


def as_typed(value: float, axes: int) -> Any:
    """The number itself, or an array of it with one element."""
    return np.full((1,) * axes, value) if axes else value


def formulas() -> Iterator[Any]:
    """Every formula of the core that can be called with numbers alone, or arrays of one."""
    for path, value in docstrings.public_objects():
        if inspect.isfunction(value) and ".. math::" in (value.__doc__ or ""):
            formula = as_formula(value)
            if formula is not None:
                yield pytest.param(formula, id=path.removeprefix("leeward."))


def check(formula: Formula) -> None:
    """Compute in SI and in odd units and compare."""
    plain = {
        name: TYPICAL.get(unit, 0.5) * (1.0 + 0.5 * place)
        for place, (name, unit) in enumerate(formula.inputs.items())
    }
    odd = {name: value / factor(formula.inputs[name]) for name, value in plain.items()}
    expected, found = (
        formula.function(
            **{name: as_typed(value, formula.axes[name]) for name, value in of.items()}
        )
        for of in (plain, odd)
    )
    if len(formula.outputs) == 1:
        expected, found = (expected,), (found,)
    for unit, here, there in zip(formula.outputs, expected, found, strict=True):
        assert np.all(np.isfinite(here))
        np.testing.assert_allclose(np.asarray(there) * factor(unit), here, rtol=1e-9)


@pytest.mark.parametrize("formula", list(formulas()))
def test_the_answer_follows_the_units(formula: Formula):
    check(formula)


def line_load(force, breadth):
    """Spread a force over a breadth.

    Parameters
    ----------
    force : float
        Force. [N]
    breadth : float
        Breadth. [m]

    Returns
    -------
    float
        Line load. [N/m]
    """
    return force / breadth


def test_a_wrong_unit_in_a_docstring_is_found():
    sound = as_formula(line_load)
    assert sound is not None
    check(sound)
    with pytest.raises(AssertionError):
        check(sound._replace(outputs=["Pa"]))


def test_a_lost_exponent_is_found():
    sound = as_formula(line_load)
    assert sound is not None
    with pytest.raises(AssertionError):
        check(sound._replace(function=lambda force, breadth: force / breadth**2))


def test_there_are_formulas_to_execute():
    assert len(list(formulas())) >= 2
