"""Pressure maps as files: units, cells, and which edge is which."""

from pathlib import Path

import numpy as np
import pytest

from leeward.exchange.pressure_map_file import DECLARED, read_pressure_map
from leeward.exchange.problems import FileRefused

FRAMES = Path(__file__).parents[2] / "data" / "pmatdata_frames"
DECLARATION = {
    "unit": "mmHg",
    "cell_along_mm": "30",
    "cell_across_mm": "20",
    "head_edge": "first row",
    "persons_left_edge": "last column",
}
#: Twelve rows from the head, nine columns from the person's right; every reading its own.
GRID = np.arange(1.0, 109.0).reshape(12, 9)


def csv(folder: Path, grid: np.ndarray, **other: str) -> Path:
    path = folder / "map.csv"
    lines = [f"# {name}: {value}" for name, value in {**DECLARATION, **other}.items()]
    lines += [",".join(f"{value:g}" for value in row) for row in grid]
    path.write_text("\n".join(lines) + "\n")
    return path


def npz(folder: Path, grid: np.ndarray, **other: str) -> Path:
    path = folder / "map.npz"
    np.savez(path, pressure=grid, **{**DECLARATION, **other})
    return path


def refusal(path: Path) -> str:
    with pytest.raises(FileRefused) as refused:
        read_pressure_map(path)
    return " ".join(problem.sentence for problem in refused.value.problems)


def test_a_grid_is_read_in_pascal_and_metres(tmp_path: Path):
    found = read_pressure_map(csv(tmp_path, GRID))
    assert found.value == pytest.approx(GRID * 133.322387415)
    assert (found.pitch_along, found.pitch_across) == (0.030, 0.020)
    assert found.is_calibrated


@pytest.mark.parametrize(
    ("head", "left", "stored"),
    [
        ("first row", "last column", GRID),
        ("first row", "first column", GRID[:, ::-1]),
        ("last row", "last column", GRID[::-1]),
        ("last row", "first column", GRID[::-1, ::-1]),
        ("first column", "last row", GRID.T),
        ("first column", "first row", GRID.T[::-1]),
        ("last column", "last row", GRID.T[:, ::-1]),
        ("last column", "first row", GRID.T[::-1, ::-1]),
    ],
)
def test_however_it_is_stored_the_first_row_is_the_head_and_the_first_column_the_right(
    tmp_path: Path, head: str, left: str, stored: np.ndarray
):
    ways = {"head_edge": head, "persons_left_edge": left, "unit": "uncalibrated"}
    assert np.array_equal(read_pressure_map(csv(tmp_path, stored, **ways)).value, GRID)
    assert np.array_equal(read_pressure_map(npz(tmp_path, stored, **ways)).value, GRID)


def test_frames_of_an_archive_are_averaged(tmp_path: Path):
    frames = np.stack([GRID, 3.0 * GRID])
    assert read_pressure_map(npz(tmp_path, frames, unit="kPa")).value == pytest.approx(2e3 * GRID)


def test_an_uncalibrated_map_stays_uncalibrated(tmp_path: Path):
    assert not read_pressure_map(csv(tmp_path, GRID, unit="uncalibrated")).is_calibrated


@pytest.mark.parametrize("name", DECLARED)
def test_what_is_not_declared_is_asked_for_and_never_guessed(tmp_path: Path, name: str):
    assert f"{name}: not declared" in refusal(csv(tmp_path, GRID, **{name: ""}))
    assert f"{name}: not declared" in refusal(npz(tmp_path, GRID, **{name: ""}))


def test_a_left_edge_opposite_the_head_is_refused(tmp_path: Path):
    assert "beside the head end" in refusal(csv(tmp_path, GRID, persons_left_edge="last row"))


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"unit": "psi"}, "'psi'"),
        ({"head_edge": "top"}, "'top'"),
        ({"cell_along_mm": "0"}, "'0'"),
        ({"cell_across_mm": "an inch"}, "'an inch'"),
        ({"cell_along_mm": "nan"}, "'nan'"),
    ],
)
def test_words_and_sizes_that_mean_nothing_are_refused(
    tmp_path: Path, other: dict[str, str], said: str
):
    assert said in refusal(csv(tmp_path, GRID, **other))


@pytest.mark.parametrize(
    "grid",
    [np.zeros((12, 9)), -GRID, GRID[:3], np.where(GRID > 50, np.nan, GRID), GRID[0]],
    ids=["no load", "below zero", "three rows", "missing", "one row"],
)
def test_a_grid_that_is_no_map_of_a_person_is_refused(tmp_path: Path, grid: np.ndarray):
    assert "expected" in refusal(npz(tmp_path, grid))


def test_ragged_rows_and_words_among_numbers_are_refused(tmp_path: Path):
    path = csv(tmp_path, GRID)
    path.write_text(path.read_text() + "1,2\n")
    assert "rows of numbers" in refusal(path)
    path.write_text("hello\n")
    assert "rows of numbers" in refusal(path)
    path.write_text("# unit: kPa\n")
    assert "no numbers" in refusal(path)


def test_an_archive_that_is_none_is_refused(tmp_path: Path):
    path = tmp_path / "map.npz"
    assert "no such file" in refusal(path)
    path.write_bytes(b"not an archive")
    assert "cannot be read" in refusal(path)


def test_an_archive_of_objects_is_not_unpickled(tmp_path: Path):
    path = tmp_path / "map.npz"
    np.savez(path, pressure=np.array([{"a": 1}], dtype=object), **DECLARATION)
    assert "cannot be read" in refusal(path)


def test_an_archive_without_the_array_is_refused(tmp_path: Path):
    path = tmp_path / "map.npz"
    np.savez(path, map=GRID, **DECLARATION)
    assert "name the array `pressure`" in refusal(path)


def test_a_real_frame_is_read():
    found = read_pressure_map(FRAMES / "S05-p09.csv")
    assert found.value.shape == (64, 32)
    assert not found.is_calibrated
