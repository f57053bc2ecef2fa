"""The modules of the package as a graph: who imports whom, and what of it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import plateline

ROOT = Path(plateline.__file__).parent


def modules(root: Path) -> dict[str, ast.Module]:
    """Return every module below a package's folder, by its dotted name."""
    found = {}
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root.parent).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = ast.parse(path.read_text("utf-8"))
    return found


def loaded_with(tree: ast.AST) -> Iterator[ast.Import | ast.ImportFrom]:
    """Give the imports that run when a module is loaded: not those in functions, nor for types."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Import | ast.ImportFrom):
            yield node
        elif isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            for other in node.orelse:
                yield from loaded_with(other)
        elif not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            yield from loaded_with(node)


def listed_in(tree: ast.Module) -> set[str]:
    """Return the names in a module's `__all__`."""
    return {
        name
        for node in tree.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"
        for name in ast.literal_eval(node.value)
    }


def packages_of(name: str) -> set[str]:
    """Return the packages in which a module stands: loading it loads them first."""
    parts = name.split(".")
    return {".".join(parts[:end]) for end in range(1, len(parts))}


def graph(trees: dict[str, ast.Module]) -> dict[str, set[str]]:
    """Return module -> modules that loading it loads, but for the packages it stands in."""
    found: dict[str, set[str]] = {}
    for name, tree in trees.items():
        named: set[str] = set()
        for node in loaded_with(tree):
            if isinstance(node, ast.Import):
                named |= {alias.name for alias in node.names}
            else:
                assert not node.level, f"{name} imports relatively"
                parts = {f"{node.module}.{alias.name}" for alias in node.names}
                # A name of a package that is no module of it is the package's own.
                named |= {part if part in trees else str(node.module) for part in parts}
        own = named & trees.keys()
        around = {package for each in own for package in packages_of(each)}
        found[name] = own | (around - packages_of(name) - {name})
    return found


def test_any_module_can_be_loaded_first() -> None:
    """Without a cycle, no module is ever asked for a name that it has not defined yet."""
    imports = graph(modules(ROOT))
    assert len(imports) > 300
    assert sum(map(len, imports.values())) > 1000
    TopologicalSorter(imports).prepare()


def test_modules_take_from_each_other_only_what_is_listed() -> None:
    """What another module imports is in `__all__`, and nothing private is imported."""
    trees = modules(ROOT)
    listed = {name: names for name, tree in trees.items() if (names := listed_in(tree))}
    assert len(listed) > 300
    missing = {
        f"{node.module}.{alias.name}, imported by {name}"
        for name, tree in trees.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module in listed
        for alias in node.names
        if alias.name not in listed[node.module] and f"{node.module}.{alias.name}" not in trees
    }
    assert not missing


@pytest.mark.parametrize(
    ("files", "cycle"),
    [
        ({"a": "import kit.b", "b": "from kit.a import x"}, {"kit.a", "kit.b"}),
        ({"__init__": "from kit.a import x", "a": "from kit import y"}, {"kit", "kit.a"}),
        ({"a": "try:\n    from kit import b\nexcept ImportError:\n    b = None", "b": "import kit.a"},
         {"kit.a", "kit.b"}),
        ({"__init__": "from kit.a import x", "a": "def f():\n    from kit import y"}, None),
        ({"a": "from kit.b import x", "b": "if TYPE_CHECKING:\n    from kit.a import T"}, None),
    ],
)  # fmt: skip
def test_a_cycle_is_seen_where_there_is_one(
    tmp_path: Path, files: dict[str, str], cycle: set[str] | None
) -> None:
    kit = tmp_path / "kit"
    kit.mkdir()
    for name, text in {"__init__": "", **files}.items():
        (kit / f"{name}.py").write_text(text, encoding="utf-8")
    imports = TopologicalSorter(graph(modules(kit)))
    if cycle is None:
        imports.prepare()
    else:
        with pytest.raises(CycleError) as found:
            imports.prepare()
        assert set(found.value.args[1]) == cycle
