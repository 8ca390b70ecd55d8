"""Pressure maps as files: a grid of readings, and which of its edges is which.

Two kinds are read. A CSV grid says what it is in lines ``# name: value`` above the numbers; an
NPZ file carries the same names beside its array ``pressure``. Nothing is guessed: a file that
does not say which edge is the head end and which is the person's left is refused.
"""

import io
import zipfile
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any, Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from leeward.contact.measured_map import MeasuredMap
from leeward.exchange.plain_file import read_text
from leeward.exchange.problems import FileRefused, Problem
from leeward.terms.errors import InvalidInput
from leeward.terms.units import metres_from_mm, pascal_from_kpa, pascal_from_mmhg

Array = NDArray[np.float64]

#: Largest file read: some thousand frames of a usual mat. [byte]
LARGEST_MAP: Final = 32 * 1024 * 1024
_LARGEST_SIDE: Final = 1000
_LARGEST_CELL_MM: Final = 100.0


class MapUnit(StrEnum):
    """Unit of the readings."""

    MMHG = "mmHg"
    KPA = "kPa"
    UNCALIBRATED = "uncalibrated"


class Edge(StrEnum):
    """An edge of the grid as it stands in the file."""

    FIRST_ROW = "first row"
    LAST_ROW = "last row"
    FIRST_COLUMN = "first column"
    LAST_COLUMN = "last column"

    @property
    def axis(self) -> int:
        """0 for an end of the rows, 1 for an end of the columns. [-]"""
        return 0 if self in (Edge.FIRST_ROW, Edge.LAST_ROW) else 1

    @property
    def is_first(self) -> bool:
        """Whether it is where counting begins. [-]"""
        return self in (Edge.FIRST_ROW, Edge.FIRST_COLUMN)


_Word = TypeVar("_Word", bound=StrEnum)

#: Names every file must declare, with what is expected of each.
DECLARED: Final = {
    "unit": "mmHg, kPa or uncalibrated",
    "cell_along_mm": f"distance between cells along the body, above 0 to {_LARGEST_CELL_MM:.0f} mm",
    "cell_across_mm": f"distance between cells across, above 0 to {_LARGEST_CELL_MM:.0f} mm",
    "head_edge": "first row, last row, first column or last column",
    "persons_left_edge": "first row, last row, first column or last column",
}


def _refused(path: Path, field: str, what: str, expected: str, remedy: str) -> FileRefused:
    return FileRefused([Problem(path.name, None, field, what, expected, remedy)])


def _undeclared(path: Path, declared: Mapping[str, str]) -> None:
    problems = [
        Problem(
            path.name,
            None,
            name,
            "not declared",
            expected,
            f"write `# {name}: ...` above a CSV grid, or `{name}` beside the array of an NPZ file",
        )
        for name, expected in DECLARED.items()
        if not declared.get(name, "").strip()
    ]
    if problems:
        raise FileRefused(problems)


def _word(path: Path, name: str, value: str, kind: type[_Word]) -> _Word:
    try:
        return kind(value.strip())
    except ValueError:
        raise _refused(path, name, repr(value), DECLARED[name], "use one of these words") from None


def _cell(path: Path, name: str, value: str) -> float:
    """Cell size from the file. [m]"""
    try:
        size = float(value)
    except ValueError:
        size = float("nan")
    if not 0.0 < size <= _LARGEST_CELL_MM:
        raise _refused(path, name, repr(value), DECLARED[name], "take it from the mat's data sheet")
    return metres_from_mm(size)


def _grid_of_text(path: Path, text: str) -> tuple[dict[str, str], Array]:
    """Declarations and grid of a CSV file."""
    declared: dict[str, str] = {}
    numbers = []
    for line in text.splitlines():
        if line.lstrip().startswith("#"):
            name, _, value = line.lstrip("# \t").partition(":")
            declared[name.strip()] = value.strip()
        elif line.strip():
            numbers.append(line)
    if not numbers:
        expected = "rows of numbers below the lines that begin with #"
        raise _refused(path, "", "no numbers", expected, "export the grid again")
    try:
        grid = np.loadtxt(io.StringIO("\n".join(numbers)), delimiter=",", ndmin=2, dtype=float)
    except ValueError as error:
        expected = "rows of numbers, all of one length, separated by commas"
        raise _refused(path, "", str(error), expected, "export the grid again") from error
    return declared, grid


def _grid_of_archive(path: Path) -> tuple[dict[str, str], Array]:
    """Declarations and grid of an NPZ file; several frames are averaged."""
    expected = f"an NPZ file of at most {LARGEST_MAP // 1024} kB with an array `pressure`"
    if not path.is_file():
        raise _refused(path, "", "no such file", expected, "check the name")
    try:
        arrays = _unpacked(path)
    except (zipfile.BadZipFile, ValueError, OSError, EOFError) as error:
        raise _refused(
            path, "", f"cannot be read ({error})", expected, "export it again"
        ) from error
    if "pressure" not in arrays:
        raise _refused(path, "pressure", "not there", expected, "name the array `pressure`")
    declared = {name: str(one) for name, one in arrays.items() if name in DECLARED and not one.ndim}
    grid = arrays["pressure"]
    return declared, grid.mean(axis=0) if grid.ndim == 3 and len(grid) else grid


def _unpacked(path: Path) -> dict[str, NDArray[Any]]:
    """The arrays that are wanted, the readings as numbers."""
    with path.open("rb") as stream, zipfile.ZipFile(stream) as archive:
        # unpacked size: a small archive may hold very much
        if sum(entry.file_size for entry in archive.infolist()) > LARGEST_MAP:
            raise ValueError("too large")
    with np.load(path, allow_pickle=False) as found:
        arrays = {name: found[name] for name in ("pressure", *DECLARED) if name in found}
    if "pressure" in arrays:
        arrays["pressure"] = np.asarray(arrays["pressure"], dtype=float)
    return arrays


def _oriented(path: Path, grid: Array, head: Edge, left: Edge) -> Array:
    """Turn a grid so that its first row is the head end and its first column the right."""
    if head.axis == left.axis:
        raise _refused(
            path,
            "persons_left_edge",
            f"{left.value!r} with the head at the {head.value!r}",
            "an edge beside the head end, not opposite to it or the same",
            "look at how the mat lay: which edge was under the head, which on the person's left",
        )
    turned = grid if head.axis == 0 else grid.T
    if not head.is_first:
        turned = turned[::-1]
    return np.ascontiguousarray(turned[:, ::-1] if left.is_first else turned)


def read_pressure_map(path: Path) -> MeasuredMap:
    """Read one frame of a pressure mat.

    Parameters
    ----------
    path : Path
        A CSV grid, or an NPZ file where the name ends in .npz.

    Returns
    -------
    MeasuredMap
        The frame, turned as the file declares; several frames of an NPZ file averaged.

    Raises
    ------
    FileRefused
        If it cannot be read, or does not declare its unit, its cell size, which edge is the
        head end and which is the person's left.
    """
    if path.suffix.lower() == ".npz":
        declared, grid = _grid_of_archive(path)
    else:
        declared, grid = _grid_of_text(path, read_text(path, LARGEST_MAP, "a pressure map"))
    _undeclared(path, declared)
    unit = _word(path, "unit", declared["unit"], MapUnit)
    edges = [_word(path, name, declared[name], Edge) for name in ("head_edge", "persons_left_edge")]
    if grid.ndim != 2 or max(grid.shape, default=0) > _LARGEST_SIDE:
        raise _refused(
            path,
            "pressure",
            f"an array of shape {grid.shape}",
            f"rows by columns, at most {_LARGEST_SIDE} each, or frames by rows by columns",
            "export the frames as a grid",
        )
    value = _oriented(path, grid, *edges)
    if unit is MapUnit.MMHG:
        value = value * pascal_from_mmhg(1.0)
    elif unit is MapUnit.KPA:
        value = value * pascal_from_kpa(1.0)
    try:
        return MeasuredMap(
            value=value,
            pitch_along=_cell(path, "cell_along_mm", declared["cell_along_mm"]),
            pitch_across=_cell(path, "cell_across_mm", declared["cell_across_mm"]),
            is_calibrated=unit is not MapUnit.UNCALIBRATED,
        )
    except InvalidInput as error:
        raise _refused(path, "pressure", error.what, error.expected, error.remedy) from error
