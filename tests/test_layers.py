"""The layers of the package as a table, held against every import. ARCHITECTURE.md says what they are for."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from graphlib import TopologicalSorter
from itertools import pairwise
from pathlib import Path

import pytest

from tests.support.imports import Import, Place, clock_reads, first_cycle, imports_in, modules_under

ROOT = Path(__file__).parent.parent
SOURCE = ROOT / "src" / "sagwright"


def words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# What can compute but cannot reach a file, the network, the environment, the clock or chance.
PURE = words("""
    __future__ abc bisect cmath collections contextlib copy dataclasses decimal difflib enum fractions
    functools graphlib heapq itertools math numbers operator re statistics string textwrap types typing
    unicodedata
""")
ANY = frozenset(sys.stdlib_module_names)


@dataclass(frozen=True)
class Layer:
    """What the modules of one layer may import."""

    layers: frozenset[str] = frozenset()  # besides itself
    modules: frozenset[str] = frozenset()  # single modules of other layers
    third_party: frozenset[str] = frozenset()
    inside: frozenset[str] = frozenset()  # the same, but only inside a function, because it loads slowly
    standard: frozenset[str] = PURE
    lazy: bool = False  # may import the package inside a function, so that a start does not load all of it


# Units as exact numbers without text: a source prints its figures in them, and SI is made of them in one place.
DEFINITIONS = words("sagwright.units.definitions")
WEB = words("service formats drawing phrases domain units sources errors version")

LAYERS = {
    "version": Layer(),
    "errors": Layer(),
    "sources": Layer(),
    "units": Layer(layers=words("errors")),
    "physics": Layer(layers=words("errors"), modules=DEFINITIONS, third_party=words("numpy"), inside=words("scipy")),
    "domain": Layer(
        layers=words("errors"), modules=DEFINITIONS, standard=PURE | words("datetime")
    ),  # a record has its moment
    "planning": Layer(layers=words("physics domain errors"), third_party=words("numpy"), inside=words("scipy")),
    "judge": Layer(layers=words("domain errors")),
    "formats": Layer(
        layers=words("domain units errors sources"),
        third_party=words("pydantic pydantic_core yaml"),
        standard=PURE | words("codecs csv datetime hashlib importlib io json pathlib"),
    ),
    "phrases": Layer(layers=words("units domain sources errors")),
    "drawing": Layer(
        layers=words("phrases units domain errors"),
        third_party=words("font_source_sans_pro"),
        inside=words("fontTools resvg_py"),
        standard=PURE | words("base64 html io"),
    ),
    "store": Layer(
        layers=words("formats domain errors"),
        third_party=words("sqlalchemy alembic"),
        inside=words("PIL"),
        standard=PURE
        | words("base64 binascii datetime hashlib importlib io json os pathlib shutil sqlite3 tempfile")
        | words("warnings zipfile zlib"),
    ),
    "service": Layer(
        layers=words("planning judge formats store domain errors version"),
        standard=PURE | words("datetime pathlib threading"),  # what was computed is remembered, for every thread
    ),
    "web": Layer(layers=WEB, third_party=words("starlette jinja2 markupsafe"), standard=ANY, lazy=True),
    "cli": Layer(
        layers=WEB | words("web"),
        third_party=words("click rich"),
        inside=words("uvicorn"),
        standard=ANY,
        lazy=True,
    ),
    "__init__": Layer(
        layers=words("version errors sources units physics domain planning judge formats phrases drawing service"),
        standard=PURE | words("importlib"),
        lazy=True,
    ),
    "__main__": Layer(layers=words("cli")),
}


def layer_of(module: str) -> str:
    """The layer a dotted module name belongs to: "sagwright.physics.gas" → "physics"."""
    return module.split(".")[1] if "." in module else "__init__"


def breaches(module: str, source: str, modules: frozenset[str]) -> Iterator[tuple[int, str]]:
    """Line and sentence of everything in one module that the table does not allow."""
    name = layer_of(module)
    if name not in LAYERS:
        yield 1, f"{name} is no layer; the table in tests/test_layers.py has: {listed(frozenset(LAYERS))}"
        return
    for found in imports_in(source, modules=modules):
        if fault := breach_of_import(found, name):
            yield found.line, fault
    if name not in {"cli", "web"}:
        yield from (
            (line, f"{name} may not read the clock; take the time as an argument") for line in clock_reads(source)
        )


def breach_of_import(found: Import, name: str) -> str:
    """What is wrong with one import in the named layer; empty if nothing is."""
    layer = LAYERS[name]
    if found.fault:
        return "" if layer.lazy and found.root == "importlib" else found.fault
    if found.root == "sagwright":
        return breach_of_layer(found, name)
    if found.root in sys.stdlib_module_names:
        return "" if found.root in layer.standard else refusal(name, found, "standard library", layer.standard)
    if found.root in layer.inside and found.place is Place.MODULE:
        return f"{name} may import {found.root} only inside the function that needs it: it loads slowly"
    allowed = layer.third_party | layer.inside
    return "" if found.root in allowed else refusal(name, found, "third party", allowed)


def breach_of_layer(found: Import, name: str) -> str:
    """The same, for an import from the package itself."""
    layer = LAYERS[name]
    if found.target == "sagwright":
        return "the package may not import its own front door; import the module that has the name"
    if found.place is Place.FUNCTION and not layer.lazy:
        return f"{name} may not import {found.target} inside a function; import it at the top"
    allowed = layer.layers | {name}
    return (
        ""
        if layer_of(found.target) in allowed or found.target in layer.modules
        else refusal(name, found, "layers", allowed)
    )


def refusal(name: str, found: Import, kind: str, allowed: frozenset[str]) -> str:
    return f"{name} may not import {found.target} {found.place.value}; its {kind}: {listed(allowed)}"


def listed(names: frozenset[str]) -> str:
    return ", ".join(sorted(names)) or "none"


@cache
def read_package() -> dict[str, str]:
    """The source of every module of the package by its dotted name."""
    return {name: path.read_text("utf-8") for name, path in modules_under(SOURCE, package="sagwright").items()}


def test_every_import_is_in_the_table() -> None:
    files = modules_under(SOURCE, package="sagwright")
    sources = read_package()
    faults = [
        f"{files[module].relative_to(ROOT)}:{line}: {fault}"
        for module, source in sources.items()
        for line, fault in breaches(module, source, frozenset(sources))
    ]
    assert not faults, "\n" + "\n".join(faults)


# The one door: names through which entries come into the records, and the only modules that may import each.
ONLY = {
    "sagwright.store.jobs.add_entry": words("service.log"),
    "sagwright.store.jobs.add_job": words("service.log"),
    "sagwright.service.log.added": words("service.jobs.actions"),
    "sagwright.service.log.begun": words("service.jobs.intake"),
    "sagwright.service.jobs.intake.check_in_unit": words("service.jobs.actions"),
    "sagwright.service.jobs.decision.decided_payload": words("service.jobs.actions"),
    "sagwright.service.bench.steps.replanned": words("service.jobs.actions"),
}


def around_the_door(sources: dict[str, str]) -> list[str]:
    """Every import of such a name elsewhere, and every module that reaches it through its module."""
    faults = []
    for name, allowed in ONLY.items():
        home, _, function = name.rpartition(".")
        for module, source in sources.items():
            own = module.removeprefix("sagwright.")
            if own in allowed or module == home:
                continue
            through = f"{home.rpartition('.')[2]}.{function}("
            imports = f"from {home} import" in source and function in imported_from(home, source)
            if imports or through in source:
                faults.append(f"{own} may not use {name}: what is recorded goes through service/jobs")
    return faults


def imported_from(home: str, source: str) -> set[str]:
    """The names that a source imports from a module."""
    nodes = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom) and node.module == home)
    return {alias.name for node in nodes for alias in node.names}


def test_what_is_recorded_goes_through_one_door() -> None:
    sources = read_package()
    homes = {name.rpartition(".")[0] for name in ONLY}
    assert homes <= set(sources)
    assert all(name.rpartition(".")[2] in sources[name.rpartition(".")[0]] for name in ONLY)
    assert not (faults := around_the_door(sources)), faults


@pytest.mark.parametrize(
    "source", ["from sagwright.store.jobs import add_entry", "from sagwright.store import jobs\njobs.add_entry(x, y)"]
)
def test_a_way_round_the_door_is_seen(source: str) -> None:
    assert len(around_the_door({"sagwright.web.pages.new": source})) == 1


def test_no_modules_import_each_other_in_a_ring() -> None:
    sources = read_package()
    modules = frozenset(sources)
    graph = {
        module: frozenset(found.target for found in imports_in(source, modules=modules)) & modules
        for module, source in sources.items()
    }
    assert not (ring := first_cycle(graph)), " → ".join(ring)


def test_the_table_names_only_layers_and_has_no_ring() -> None:
    assert all(layer.layers <= LAYERS.keys() for layer in LAYERS.values())
    assert not first_cycle({name: layer.layers for name, layer in LAYERS.items()})


def test_independent_computations_do_not_import_the_package() -> None:
    guilty = [
        path.name
        for path in (ROOT / "tests" / "reference").rglob("*.py")
        if any(found.root == "sagwright" for found in imports_in(path.read_text("utf-8"), modules=frozenset()))
    ]
    assert not guilty


@pytest.mark.parametrize(("module", "third_party"), [("sagwright", set()), ("sagwright.cli.main", {"click"})])
def test_a_start_loads_nothing_heavy(module: str, third_party: set[str]) -> None:
    code = (
        "import sys; before = set(sys.modules); "
        f"import {module}; "
        "print(*{name.partition('.')[0] for name in set(sys.modules) - before})"
    )
    answer = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert not answer.stderr
    loaded = set(answer.stdout.split()) - sys.stdlib_module_names - {"sagwright"}
    assert loaded <= third_party


# The checker itself must be able to refuse.

EXIST = frozenset(
    {
        "sagwright",
        "sagwright.physics",
        "sagwright.physics.gas",
        "sagwright.planning.spring.changes",
        "sagwright.units.definitions",
    }
)
REFUSED = [
    ("physics.gas", "import os", "physics may not import os"),
    ("physics.gas", "def f():\n    import time", "physics may not import time"),
    ("physics.gas", "from sagwright.units import parse", "physics may not import sagwright.units"),
    ("domain.setup", "import numpy", "domain may not import numpy"),
    (
        "judge.rules",
        "from sagwright.planning.spring.changes import x",
        "judge may not import sagwright.planning.spring.changes",
    ),
    ("physics.gas", "import scipy.optimize", "only inside the function"),
    ("physics.gas", "from . import chambers", "relative import"),
    ("physics.gas", "from sagwright.errors import *", "imports *"),
    ("physics.gas", "import sagwright", "front door"),
    ("physics.gas", "from sagwright import errors", "front door"),
    ("planning.tools_and_parts", "def f():\n    import sagwright.domain.items", "inside a function"),
    (
        "planning.tools_and_parts",
        "if TYPE_CHECKING:\n    import sagwright.formats",
        "planning may not import sagwright.formats",
    ),
    (
        "planning.tools_and_parts",
        "try:\n    import yaml\nexcept ImportError:\n    pass",
        "planning may not import yaml",
    ),
    ("formats.sheet", "__import__(name)", "by a name that cannot be read"),
    ("formats.sheet", "importlib.import_module(name)", "by a name that cannot be read"),
    ("service.plan", "x = datetime.datetime.now(zone)", "may not read the clock"),
    ("version", "from sagwright.errors import x", "version may not import sagwright.errors"),
    ("helpers", "", "helpers is no layer"),
    ("helpers.more", "", "helpers is no layer"),
]
ACCEPTED = [
    ("physics.gas", "from sagwright.units.definitions import PSI"),
    ("physics.gas", "import math\nimport numpy as np\nfrom sagwright.errors import OutOfRange"),
    ("physics.gas", "def f():\n    from scipy.optimize import brentq"),
    ("physics.gas", "if TYPE_CHECKING:\n    import scipy"),
    ("planning.tools_and_parts", "from sagwright.physics import gas\nfrom sagwright.planning.spring.changes import x"),
    ("cli.main", "def f():\n    from sagwright.service.plan import plan"),
    ("formats.sheet", "import yaml\nfrom importlib import resources"),
    ("service.plan", "from datetime import date\nthe_day = date(2020, 2, 29)"),
]


@pytest.mark.parametrize(("module", "source", "sentence"), REFUSED)
def test_the_checker_refuses(module: str, source: str, sentence: str) -> None:
    faults = [fault for _, fault in breaches(f"sagwright.{module}", source, EXIST)]
    assert len(faults) == 1
    assert sentence in faults[0]


@pytest.mark.parametrize(("module", "source"), ACCEPTED)
def test_the_checker_accepts(module: str, source: str) -> None:
    assert not list(breaches(f"sagwright.{module}", source, EXIST))


def test_from_a_package_means_the_module_where_there_is_one() -> None:
    found = imports_in("from sagwright.physics import gas, GAMMA", modules=EXIST)
    assert [each.target for each in found] == ["sagwright.physics.gas", "sagwright.physics"]


def test_a_ring_is_found() -> None:
    graph = {"a": frozenset("b"), "b": frozenset("c"), "c": frozenset("a"), "d": frozenset("a")}
    ring = first_cycle(graph)
    assert ring[0] == ring[-1]
    assert set(ring) == {"a", "b", "c"}
    assert all(after in graph[before] for before, after in pairwise(ring))
    assert first_cycle({"a": frozenset("a")}) == ("a", "a")
    assert not first_cycle({"a": frozenset("b"), "b": frozenset()})


# Inside a layer the folders have an order too: a folder may import what stands before it, never what stands after. A
# module that stands in the layer's own folder counts like a folder; `*` is all of those without a place of their own.

FOLDERS = {
    "domain": "* records",
    "planning": "spring gauge_reading diagnosis checks bike matching search work plan progress",
    "formats": "json_text codec source fields faults sheet bike intake output records schema demo",
    "drawing": "svg font bike_lines force_plot curve_chart cutaway side_view precedence",
    "store": "tables migrations *",
    "service": "plan calculators sheets log bench jobs workshop demo",
    "web": "http files job_frame drawings counter plan bench jobs sheets settings routes app",
    "cli": "terminal views commands failures main",
}
MOST_MODULES = 25
"""In one folder."""
MOST_LEVELS = 8
"""Of modules of one folder that import each other in a row."""


def place_of(module: str) -> int | None:
    """Place of a module's folder in the row of its layer; None where it has none."""
    parts = module.split(".")
    row = FOLDERS[parts[1]].split()
    if len(parts) > 2 and parts[2] in row:
        return row.index(parts[2])
    return row.index("*") if "*" in row else None


def folder_breaches(module: str, source: str, modules: frozenset[str]) -> Iterator[tuple[int, str]]:
    """Line and sentence of every import against the order of the folders of a layer."""
    layer = layer_of(module)
    if layer not in FOLDERS or module == f"sagwright.{layer}":
        return
    own = place_of(module)
    if own is None:
        yield 1, f"{module} is in no folder of {layer}; the table in tests/test_layers.py has: {FOLDERS[layer]}"
        return
    for found in imports_in(source, modules=modules):
        if found.root == "sagwright" and layer_of(found.target) == layer and found.target != f"sagwright.{layer}":
            other = place_of(found.target)
            if other is not None and other > own:
                yield found.line, f"{module} may not import {found.target}; the order in {layer}: {FOLDERS[layer]}"


def folders_of(modules: frozenset[str], packages: frozenset[str]) -> dict[str, frozenset[str]]:
    """The modules that stand directly in each package."""
    return {
        package: frozenset(each for each in modules - packages if each.rpartition(".")[0] == package)
        for package in packages
    }


def levels(graph: dict[str, frozenset[str]], modules: frozenset[str]) -> int:
    """How many of these modules import each other in a row, at most; the graph has no ring."""
    known: dict[str, int] = {}
    for module in TopologicalSorter({each: graph[each] & modules for each in modules}).static_order():
        known[module] = 1 + max((known[each] for each in graph[module] & modules), default=0)
    return max(known.values(), default=0)


def read_folders() -> dict[str, frozenset[str]]:
    files = modules_under(SOURCE, package="sagwright")
    packages = frozenset(name for name, path in files.items() if path.name == "__init__.py")
    return folders_of(frozenset(files), packages)


def test_every_import_follows_the_order_of_the_folders() -> None:
    files = modules_under(SOURCE, package="sagwright")
    sources = read_package()
    faults = [
        f"{files[module].relative_to(ROOT)}:{line}: {fault}"
        for module, source in sources.items()
        for line, fault in folder_breaches(module, source, frozenset(sources))
    ]
    assert not faults, "\n" + "\n".join(faults)


def test_the_order_of_folders_names_what_is_there() -> None:
    modules = frozenset(read_package())
    divided = {package.split(".")[1] for package in read_folders() if package.count(".") > 1}
    assert divided == FOLDERS.keys()
    for layer, row in FOLDERS.items():
        assert layer in LAYERS
        assert all(name == "*" or f"sagwright.{layer}.{name}" in modules for name in row.split()), row


def test_no_folder_holds_too_many_modules() -> None:
    crowded = {package: len(modules) for package, modules in read_folders().items() if len(modules) > MOST_MODULES}
    assert not crowded


def test_no_folder_has_too_many_levels() -> None:
    sources = read_package()
    names = frozenset(sources)
    graph = {
        module: (frozenset(found.target for found in imports_in(source, modules=names)) & names) - {module}
        for module, source in sources.items()
    }
    deep = {package: levels(graph, modules) for package, modules in read_folders().items()}
    assert not {package: depth for package, depth in deep.items() if depth > MOST_LEVELS}


FOLDER_CASES = frozenset(
    f"sagwright.{name}"
    for name in words("""
        planning planning.plan planning.spring planning.spring.air planning.work planning.work.steps
        domain.value domain.records domain.records.fold
    """)
)
FOLDERS_REFUSED = [
    ("planning.spring.air", "from sagwright.planning.work.steps import x", "import sagwright.planning.work.steps"),
    ("planning.spring.air", "from sagwright.planning.work import steps", "import sagwright.planning.work.steps"),
    ("planning.work.steps", "def f():\n    from sagwright.planning.plan import x", "may not import"),
    ("planning.work.steps", "if TYPE_CHECKING:\n    from sagwright.planning.plan import x", "may not import"),
    ("domain.value", "from sagwright.domain.records.fold import x", "may not import sagwright.domain.records.fold"),
    ("planning.helpers", "", "is in no folder of planning"),
    ("planning.helpers.more", "", "is in no folder of planning"),
]
FOLDERS_ACCEPTED = [
    ("planning.work.steps", "from sagwright.planning.spring.air import x"),
    ("planning.work.steps", "from sagwright.planning.work import tasks"),
    ("planning.plan", "from sagwright.planning.work import steps\nfrom sagwright.domain.value import x"),
    ("domain.records.fold", "from sagwright.domain.value import x"),
    ("domain.value", "from sagwright.domain.sheet import x"),
    ("physics.gas", "from sagwright.physics.spring import x"),
]


@pytest.mark.parametrize(("module", "source", "sentence"), FOLDERS_REFUSED)
def test_the_order_refuses(module: str, source: str, sentence: str) -> None:
    faults = [fault for _, fault in folder_breaches(f"sagwright.{module}", source, FOLDER_CASES)]
    assert len(faults) == 1
    assert sentence in faults[0]


@pytest.mark.parametrize(("module", "source"), FOLDERS_ACCEPTED)
def test_the_order_accepts(module: str, source: str) -> None:
    assert not list(folder_breaches(f"sagwright.{module}", source, FOLDER_CASES))


def test_levels_are_counted() -> None:
    graph = {"a": frozenset("bc"), "b": frozenset("c"), "c": frozenset("d"), "d": frozenset[str]()}
    assert levels(graph, frozenset("abcd")) == 4
    assert levels(graph, frozenset("abd")) == 2
    assert levels(graph, frozenset()) == 0


def test_a_folder_holds_its_own_modules_alone() -> None:
    found = folders_of(frozenset({"a", "a.b", "a.c", "a.c.d"}), frozenset({"a", "a.c"}))
    assert found == {"a": frozenset({"a.b"}), "a.c": frozenset({"a.c.d"})}
