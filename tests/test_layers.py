"""Which module may import which, read from the source; what may never be called; what start-up may not load."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import networkx
import pytest

PACKAGE = Path(__file__).parents[1] / "derive"
INNER = (
    "kernel", "algebra", "answers", "approximate", "proposal", "forms", "derivation", "network", "circuit",
    "expression", "description", "hand", "explain", "noise", "distortion",
    "tolerance", "solving", "bench", "comparing",
)  # fmt: skip
OUTER = ("typeset", "plots", "document", "web", "live")
FORBIDDEN = {"eval", "exec", "sympify", "parse_expr", "compile", "__import__", "literal_eval"}
HEAVY = ("sympy", "lcapy", "matplotlib", "scipy", "flint", "pylatex", "control", "pandas")


def module_name(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


SOURCES = {module_name(path): ast.parse(path.read_text(encoding="utf-8")) for path in sorted(PACKAGE.rglob("*.py"))}


def imports(tree: ast.AST) -> set[str]:
    """The modules of this package that a module imports, wherever in it, type checking excepted."""
    found: set[str] = set()
    guarded = {
        id(inner) for node in ast.walk(tree) if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)
        for inner in ast.walk(node)
    }  # fmt: skip
    for node in ast.walk(tree):
        if id(node) in guarded:
            continue
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "relative imports hide the layer"
            base = node.module or ""
            found |= {name if (name := f"{base}.{alias.name}") in SOURCES else base for alias in node.names}
    return {name for name in found if name.split(".")[0] == "derive"}


def within(name: str, packages: tuple[str, ...]) -> bool:
    parts = name.split(".")
    return len(parts) > 1 and parts[1] in packages


@pytest.mark.parametrize("name", [n for n in SOURCES if within(n, INNER)])
def test_what_derives_knows_nothing_of_the_page(name: str) -> None:
    assert not [other for other in imports(SOURCES[name]) if within(other, OUTER)]


@pytest.mark.parametrize("name", [n for n in SOURCES if within(n, ("typeset", "plots", "drawing", "picture", "web"))])
def test_what_renders_knows_nothing_of_circuits(name: str) -> None:
    assert not [other for other in imports(SOURCES[name]) if within(other, ("kernel", "network", "circuit"))]


@pytest.mark.parametrize("name", [n for n in SOURCES if within(n, ("kernel",))])
def test_the_kernel_knows_only_records_and_errors(name: str) -> None:
    allowed = ("derive.kernel", "derive.network.records", "derive.errors")
    assert not [other for other in imports(SOURCES[name]) if not other.startswith(allowed)]


def test_no_import_cycles() -> None:
    graph = networkx.DiGraph(
        (name, other) for name, tree in SOURCES.items() for other in imports(tree) if other != name
    )
    assert list(networkx.simple_cycles(graph)) == []


def test_layers_have_one_direction() -> None:
    """Packages, taken whole, form no cycle either, but for the reader and the circuit it reads."""
    pairs = {
        (name.split(".")[1], other.split(".")[1])
        for name, tree in SOURCES.items()
        for other in imports(tree)
        if within(name, INNER + OUTER) and within(other, INNER + OUTER)
    }
    graph = networkx.DiGraph((a, b) for a, b in pairs if a != b)
    cycles = [set(cycle) for cycle in networkx.simple_cycles(graph)]
    assert [cycle for cycle in cycles if not cycle <= {"description", "circuit", "expression"}] == []


@pytest.mark.parametrize("name", SOURCES)
def test_no_text_is_run(name: str) -> None:
    """No eval, exec or sympify of anything, by whatever name it is reached; ``re.compile`` is no such thing."""
    for node in ast.walk(SOURCES[name]):
        if isinstance(node, ast.Call):
            called = node.func
            if isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name) and called.value.id == "re":
                continue
            text = (
                called.attr if isinstance(called, ast.Attribute) else called.id if isinstance(called, ast.Name) else ""
            )
            assert text not in FORBIDDEN, f"line {node.lineno}"


@pytest.mark.parametrize("module", ["derive", "derive.command"])
def test_start_up_is_light(module: str) -> None:
    script = f"import sys, {module}; print(*sorted({{name.split('.')[0] for name in sys.modules}}))"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=PACKAGE.parent
    )
    assert not set(done.stdout.split()) & set(HEAVY)


@pytest.mark.parametrize("name", SOURCES)
def test_modules_open_with_their_purpose(name: str) -> None:
    tree = SOURCES[name]
    assert isinstance(tree, ast.Module)
    if tree.body:
        assert ast.get_docstring(tree)
