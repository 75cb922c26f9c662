"""Reads the imports of source files without running them."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path


class Place(Enum):
    """When an import is carried out."""

    MODULE = "at module level"
    FUNCTION = "inside a function"
    TYPING = "for types only"


@dataclass(frozen=True, slots=True)
class Import:
    """One import statement's target: a dotted module name, or a sentence in `fault` if it may never stand."""

    target: str
    line: int
    place: Place
    fault: str = ""

    @property
    def root(self) -> str:
        """The first part of the dotted name."""
        return self.target.partition(".")[0]


def modules_under(folder: Path, *, package: str) -> dict[str, Path]:
    """Every module of a package's folder: dotted name → file; a package stands for its `__init__.py`."""
    return {_dotted(path.relative_to(folder), package): path for path in sorted(folder.rglob("*.py"))}


def _dotted(path: Path, package: str) -> str:
    parts = [package, *path.with_suffix("").parts]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def imports_in(source: str, *, modules: frozenset[str]) -> tuple[Import, ...]:
    """Every import of one source text, wherever it stands.

    `modules` are the dotted names that exist in the package: `from a.b import c` means `a.b.c` if that is one
    of them, and `a.b` otherwise.
    """
    return tuple(_walk(ast.parse(source), Place.MODULE, modules))


def _walk(node: ast.AST, place: Place, modules: frozenset[str]) -> Iterator[Import]:
    for child in ast.iter_child_nodes(node):
        yield from _imports_of_statement(child, place, modules)
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            yield from _walk(child, Place.FUNCTION, modules)
        elif isinstance(child, ast.If) and _asks_for_types(child.test):
            yield from _walk(ast.Module(child.body, []), Place.TYPING, modules)
            yield from _walk(ast.Module(child.orelse, []), place, modules)
        else:
            yield from _walk(child, place, modules)


def _asks_for_types(test: ast.expr) -> bool:
    return ast.unparse(test) in {"TYPE_CHECKING", "typing.TYPE_CHECKING"}


def _imports_of_statement(node: ast.AST, place: Place, modules: frozenset[str]) -> Iterator[Import]:
    if isinstance(node, ast.Import):
        for alias in node.names:
            yield Import(alias.name, node.lineno, place)
    elif isinstance(node, ast.ImportFrom):
        yield from _imports_from(node, place, modules)
    elif isinstance(node, ast.Call) and _name_called(node) in {"import_module", "__import__"}:
        yield Import("importlib", node.lineno, place, fault="imports a module by a name that cannot be read")


def _imports_from(node: ast.ImportFrom, place: Place, modules: frozenset[str]) -> Iterator[Import]:
    base = node.module or ""
    if node.level:
        yield Import(base, node.lineno, place, fault="is a relative import; write the module's whole name")
        return
    for alias in node.names:
        fault = "imports *; name what is needed" if alias.name == "*" else ""
        full = f"{base}.{alias.name}"
        yield Import(full if full in modules else base, node.lineno, place, fault)


def _name_called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def clock_reads(source: str) -> tuple[int, ...]:
    """The lines that ask the clock through the datetime module."""
    asked = {"datetime.now", "datetime.today", "datetime.utcnow", "date.today"}
    attributes = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Attribute))
    return tuple(node.lineno for node in attributes if ".".join(ast.unparse(node).split(".")[-2:]) in asked)


def first_cycle(graph: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """Modules that import each other in a ring, the first repeated at the end; empty if there are none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return tuple(reversed(error.args[1]))
    return ()
