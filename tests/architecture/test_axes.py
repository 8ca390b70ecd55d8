"""Budgets of size and shape: what a change may not exceed."""

from pathlib import Path

import pytest

from bench.axes import Source, arguments, branches, function_length, is_typed, read_source


@pytest.fixture(scope="module")
def source(root: Path) -> Source:
    return read_source(root / "src" / "leeward")


def test_no_module_is_longer_than_400_code_lines(source: Source):
    long = {m.name: m.code_lines for m in source.modules if m.code_lines >= 400}
    assert long == {}


def test_no_function_is_longer_than_60_lines(source: Source):
    lengths = {f"{module}.{f.name}": function_length(f) for module, f in source.functions}
    assert {name: length for name, length in lengths.items() if length >= 60} == {}


def test_no_function_branches_more_than_10_ways(source: Source):
    ways = {f"{module}.{f.name}": branches(f) for module, f in source.functions}
    assert {name: count for name, count in ways.items() if count > 10} == {}


def test_no_function_outside_the_command_line_takes_more_than_6_arguments(source: Source):
    taken = {
        f"{module}.{f.name}": len(arguments(f))
        for module, f in source.functions
        if not module.startswith("leeward.cli")
    }
    assert {name: count for name, count in taken.items() if count > 6} == {}


def test_the_whole_job_fits_one_page(source: Source):
    flow = next(module for module in source.modules if module.name == "leeward.flow")
    assert flow.text.count("\n") < 150


def test_no_module_reaches_itself(source: Source):
    assert source.cycles == []


def test_nothing_is_imported_inside_a_function(source: Source):
    late = [f"{m.name}: {i.target}" for m in source.modules for i in m.imports if i.is_late]
    assert late == []


def test_every_public_function_is_typed(source: Source):
    untyped = [
        f"{module}.{f.name}"
        for module, f in source.functions
        if not f.name.startswith("_") and not is_typed(f)
    ]
    assert untyped == []


def test_only_a_border_catches_everything(source: Source):
    broad = [
        module.name
        for module in source.modules
        if not module.name.startswith("leeward.cli")
        and any(mark in module.text for mark in ("except Exception", "except:", "BaseException"))
    ]
    assert broad == []


def test_the_measure_sees_a_cycle_made_by_a_late_import(tmp_path: Path):
    package = tmp_path / "house"
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "first.py").write_text("from house import second\n")
    (package / "second.py").write_text("def ask():\n    from house.first import x\n    return x\n")
    measured = read_source(package)
    assert measured.cycles == [frozenset({"house.first", "house.second"})]


def test_the_measure_leaves_docstrings_and_comments_out(tmp_path: Path):
    package = tmp_path / "house"
    package.mkdir()
    (package / "__init__.py").write_text('"""One.\n\nTwo.\n"""\n# three\n\nx = 1\n')
    assert read_source(package).modules[0].code_lines == 1
