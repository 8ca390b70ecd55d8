"""Measures the source of leeward along the axes a reader feels: sizes, branches, cycles, types.

Every figure comes from the syntax tree alone; nothing is imported or run.
"""

import ast
import re
import statistics
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

Function = ast.FunctionDef | ast.AsyncFunctionDef
FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)
BRANCH = (
    ast.If,
    ast.For,
    ast.AsyncFor,
    ast.While,
    ast.ExceptHandler,
    ast.IfExp,
    ast.Assert,
    ast.comprehension,
    ast.match_case,
)
CORE = ("terms", "records", "contact", "tissue", "programme", "delivered", "fitting", "review")
SUPPRESSION = re.compile(r"type:\s*ignore|#\s*noqa|pylint:\s*disable|#\s*fmt:\s*off")


@dataclass(frozen=True)
class Import:
    """One import: the module it asks for, and whether it hides inside a function."""

    target: str
    names: tuple[str, ...]
    is_late: bool


@dataclass(frozen=True)
class Module:
    """One source file and its syntax tree."""

    name: str
    is_package: bool
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        """The syntax tree."""
        return ast.parse(self.text)

    @cached_property
    def functions(self) -> list[Function]:
        """Every function and method, nested ones too."""
        return [node for node in ast.walk(self.tree) if isinstance(node, FUNCTION)]

    @cached_property
    def code_lines(self) -> int:
        """Lines that are neither blank, comment nor docstring."""
        skipped = set()
        for node in ast.walk(self.tree):
            if isinstance(node, (ast.Module, ast.ClassDef, *FUNCTION)):
                skipped |= set(_docstring_lines(node))
        lines = enumerate(self.text.splitlines(), 1)
        return sum(
            bool(line.strip()) and not line.lstrip().startswith("#") and number not in skipped
            for number, line in lines
        )

    @cached_property
    def imports(self) -> list[Import]:
        """What the module imports, except for what only a type checker reads."""
        return list(self._imports_below(self.tree, is_late=False))

    def _imports_below(self, node: ast.AST, *, is_late: bool) -> Iterator[Import]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
                continue
            if isinstance(child, ast.Import):
                for alias in child.names:
                    yield Import(alias.name, (), is_late)
            elif isinstance(child, ast.ImportFrom):
                names = tuple(alias.name for alias in child.names)
                yield Import(self._absolute(child), names, is_late)
            else:
                late = is_late or isinstance(child, FUNCTION)
                yield from self._imports_below(child, is_late=late)

    def _absolute(self, node: ast.ImportFrom) -> str:
        if not node.level:
            return node.module or ""
        parts = self.name.split(".")
        keep = len(parts) - node.level + int(self.is_package)
        return ".".join(parts[:keep] + ([node.module] if node.module else []))


@dataclass(frozen=True)
class Source:
    """The modules of one package."""

    package: str
    modules: tuple[Module, ...]

    @cached_property
    def functions(self) -> list[tuple[str, Function]]:
        """Every function with the module it stands in."""
        return [(module.name, node) for module in self.modules for node in module.functions]

    @cached_property
    def graph(self) -> dict[str, set[str]]:
        """Which module imports which, late imports counted."""
        known = {module.name for module in self.modules}
        edges: dict[str, set[str]] = {name: set() for name in known}
        for module in self.modules:
            for found in module.imports:
                wanted = [f"{found.target}.{name}" for name in found.names] or [found.target]
                for name in wanted:
                    target = name if name in known else found.target
                    if target in known and target not in (module.name, self.package):
                        edges[module.name].add(target)
        return edges

    @cached_property
    def cycles(self) -> list[frozenset[str]]:
        """Groups of modules that reach each other."""
        reach = {name: _reachable(self.graph, name) for name in self.graph}
        groups = {
            frozenset(other for other in reach[name] if name in reach[other])
            for name in reach
            if name in reach[name]
        }
        return sorted(groups, key=sorted)

    def is_core(self, module: str) -> bool:
        """Whether a module belongs to the numerical core."""
        return module.split(".")[1:2] != [] and module.split(".")[1] in CORE


def read_source(package: Path) -> Source:
    """Read the modules below a package folder."""
    modules = []
    for file in sorted(package.rglob("*.py")):
        parts = file.relative_to(package.parent).with_suffix("").parts
        is_package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_package else parts)
        modules.append(Module(name, is_package, file.read_text()))
    return Source(package.name, tuple(modules))


def function_length(node: Function) -> int:
    """Lines from `def` to the end, without the docstring."""
    return (node.end_lineno or node.lineno) - node.lineno + 1 - len(_docstring_lines(node))


def branches(node: Function) -> int:
    """Ways through a function, counted as McCabe does."""
    ways = 1
    for part in ast.walk(node):
        ways += len(part.values) - 1 if isinstance(part, ast.BoolOp) else isinstance(part, BRANCH)
    return ways


def arguments(node: Function) -> list[ast.arg]:
    """Arguments a caller fills in."""
    every = node.args.posonlyargs + node.args.args + node.args.kwonlyargs
    return [argument for argument in every if argument.arg not in ("self", "cls")]


def is_typed(node: Function) -> bool:
    """Whether every argument and the answer carry a type."""
    return node.returns is not None and all(a.annotation for a in arguments(node))


def _docstring_lines(node: ast.AST) -> range:
    body = getattr(node, "body", None)
    if not body or ast.get_docstring(node) is None:  # type: ignore[arg-type]
        return range(0)
    return range(body[0].lineno, body[0].end_lineno + 1)


def _reachable(graph: dict[str, set[str]], start: str) -> set[str]:
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        for target in graph[waiting.pop()] - seen:
            seen.add(target)
            waiting.append(target)
    return seen


def measure(package: Path, tests: Path) -> dict[str, tuple[float, str]]:
    """Every axis as (value, unit)."""
    source = read_source(package)
    text = "\n".join(module.text for module in source.modules)
    sizes = sorted(module.code_lines for module in source.modules)
    lengths = sorted(function_length(node) for _, node in source.functions)
    ways = sorted(branches(node) for _, node in source.functions)
    public = [node for _, node in source.functions if not node.name.startswith("_")]
    imported = sorted(_internal_names(source))
    lines = max(1, text.count("\n"))
    flow = package / "flow.py"
    axes = {
        "rooms": (len(list(_rooms(package))), "rooms"),
        "modules": (len(sizes), "modules"),
        "module_median": (statistics.median(sizes), "code lines"),
        "module_p90": (_at(sizes, 0.9), "code lines"),
        "module_longest": (sizes[-1], "code lines"),
        "function_median": (statistics.median(lengths), "lines"),
        "function_p90": (_at(lengths, 0.9), "lines"),
        "function_longest": (lengths[-1], "lines"),
        "flow": (flow.read_text().count("\n") if flow.exists() else 0, "lines"),
        "branches_p95": (_at(ways, 0.95), "branches"),
        "branches_most": (ways[-1], "branches"),
        "arguments_most": (max(len(arguments(node)) for node in public), "arguments"),
        "typed": (100.0 * statistics.mean(is_typed(node) for node in public), "%"),
        "cycles": (len(source.cycles), "cycles"),
        "late_imports": (sum(i.is_late for m in source.modules for i in m.imports), "imports"),
        "internal_names_median": (statistics.median(imported), "names"),
        "internal_names_p90": (_at(imported, 0.9), "names"),
        "broad_excepts": (len(re.findall(r"except(?: (?:Base)?Exception\b.*)?:", text)), "places"),
        "suppressions": (round(1000 * len(SUPPRESSION.findall(text)) / lines, 2), "per 1000 lines"),
    }
    return axes | _measure_tests(tests, lines)


def _measure_tests(tests: Path, source_lines: int) -> dict[str, tuple[float, str]]:
    texts = [file.read_text() for file in tests.rglob("*.py")]
    sizes = [
        function_length(node)
        for text in texts
        for node in ast.walk(ast.parse(text))
        if isinstance(node, FUNCTION) and node.name.startswith("test_")
    ]
    published = sum(text.count("@pytest.mark.published(") for text in texts)
    return {
        "test_share": (round(sum(t.count("\n") for t in texts) / source_lines, 2), "lines a line"),
        "test_median": (statistics.median(sizes or [0]), "lines"),
        "published": (published, "tests"),
    }


def _internal_names(source: Source) -> Iterator[int]:
    for module in source.modules:
        ours = [i for i in module.imports if i.target.split(".")[0] == source.package]
        yield sum(max(1, len(i.names)) for i in ours)


def _rooms(package: Path) -> Iterator[Path]:
    for place in package.iterdir():
        is_module = place.suffix == ".py" and place.stem != "__init__"
        if is_module or (place / "__init__.py").exists():
            yield place


def _at(ordered: list[int], share: float) -> int:
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def main() -> None:
    """Print the axes of this project, one a line."""
    root = Path(__file__).parent.parent
    for name, (value, unit) in measure(root / "src" / "leeward", root / "tests").items():
        print(f"{name} {value:g} {unit}")


if __name__ == "__main__":
    main()
