"""Pages of reference that are written from the code before the others are read: commands, shapes, physics, Python."""

from __future__ import annotations

import json
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import click
from pydantic import BaseModel
from sphinx.application import Sphinx

import sagwright
from docs.extensions.shapes import fields_table, markdown_of
from docs.extensions.workplace import Command, Workplace
from sagwright import errors, physics
from sagwright.cli.main import cli
from sagwright.formats.bike.shape import BikeShape
from sagwright.formats.intake.setup_text import SetupShape
from sagwright.formats.intake.shape import IntakeShape
from sagwright.formats.sheet.coil import CoilShape
from sagwright.formats.sheet.shape import SheetShape

FOLDER: Final = "generated"

WRITTEN: Final[dict[str, tuple[str, type[BaseModel], str]]] = {
    "sheet": ("Spec sheets: `sheet/1`", SheetShape, "A YAML file that describes a family of units."),
    "intake": ("Intakes: `intake/1`", IntakeShape, "A YAML file that says what came in, and what the customer wants."),
    "bike": ("Bikes: `bike/1`", BikeShape, "A YAML file with a bike's geometry, wheels, limits and clearances."),
    "setup": ("A setup on the command line", SetupShape, "One line of keys and values, as `sagwright curve` takes it."),
    "coil": ("A coil on the command line", CoilShape, "One line of keys and values, as `sagwright coil` takes it."),
}
"""Shapes that people write: the page's title, the model that reads it, and a sentence about it."""

PRINTED: Final[dict[str, tuple[str, ...]]] = {
    "plan": tuple(
        f"plan examples/{name}.yaml --json"
        for name in ("shorten-t35", "shorten-t35-bike", "shorten-and-serve-t35", "shorten-c38", "two-stage-s38")
    ),
    "steps": ("steps specimen/t35 --chassis mid --task set-pressure=80psi --task wipers --json",),
    "curve": ("curve specimen/t35 --setup 'chassis: mid, travel: 140 mm, pressure: 88 psi' --load '330 N' --json",),
    "coil": ("coil --load '330 N' --travel '140 mm' --sag '20 %' --coil 'rate: 9 N/mm' --json",),
    "mistakes": (
        "mistakes specimen/t35 --setup 'chassis: mid, travel: 130 mm, pressure: 78 psi' --load '330 N' --json",
    ),
    "pressure": ("pressure '78 psi' --hose '3 ml' --chamber '190 ml' --there '5 °C' --json",),
    "stance": ("stance examples/bikes/trail.yaml --axle-to-crown 531,541 --sag-front 20% --sag-rear 28% --json",),
    "errors": ("plan examples/missing.yaml --json",),
    "filled": ("demo fill --start 2026-03-02 --json",),
    "jobs": ("job list --json",),
    "job": tuple(f"job show {number} --json" for number in (1006, 1007, 1009)),
    "history": ("unit history T35-0417 --json",),
    "customers": ("customer find --json",),
    "customer": ("customer export demo-lengthened",),
    "sheets": ("sheet list --json",),
    "instruments": ("instrument list --json",),
    "doctor": ("doctor --json",),
    "backup": ("backup workshop.backup --json",),
    "workshop": ("export -",),
}
"""Shapes that the program prints: the command lines whose answers are read, in the order in which they run."""

_OPTION: Final = re.compile(r"(?<![\w`-])(--[a-z][a-z-]*)(?![`\w])")
REFUSED: Final = {"errors": 2}


def pages() -> Iterator[tuple[str, str]]:
    """Every generated page: its path below the folder, and its text."""
    names = sorted(cli.commands)
    yield "commands/index.rst", _index("Commands", "Every command and option, from the program.", names)
    yield from ((f"commands/{name}.rst", _command_page(name, cli.commands[name])) for name in names)
    yield "shapes/index.md", _written_index()
    yield from ((f"shapes/{name}.md", _written_page(*about)) for name, about in WRITTEN.items())
    yield "printed/index.md", _printed_index()
    yield from ((f"printed/{name}.md", text) for name, text in _printed_pages())
    modules = sorted(one.name for one in pkgutil.iter_modules(physics.__path__))
    about = "Every module of the physics, function by function, from the code."
    yield "physics/index.rst", _index("Physics, function by function", about, modules)
    yield from ((f"physics/{name}.rst", _module_page(f"{physics.__name__}.{name}")) for name in modules)
    yield "python.rst", _python_page()
    yield "errors.rst", _module_page(errors.__name__)


def _titled(title: str, *, mark: str = "=") -> str:
    return f"{title}\n{mark * len(title)}\n"


def _index(title: str, about: str, names: list[str]) -> str:
    entries = "\n".join(f"   {name}" for name in names)
    return f"{_titled(title)}\n{about}\n\n.. toctree::\n   :maxdepth: 1\n\n{entries}\n"


def _command_page(name: str, command: click.Command) -> str:
    nested = "full" if isinstance(command, click.Group) else "none"
    return f".. click:: {__name__}:command_{name.replace('-', '_')}\n   :prog: sagwright {name}\n   :nested: {nested}\n"


def __getattr__(name: str) -> click.Command:
    """`command_plan` and its like: the commands, where sphinx-click can find them."""
    wanted = name.removeprefix("command_").replace("_", "-")
    if name.startswith("command_") and wanted in cli.commands:
        return cli.commands[wanted]
    raise AttributeError(name)


def _written_page(title: str, model: type[BaseModel], about: str) -> str:
    return f"# {title}\n\n{about} What is not marked may not be left out.\n\n{markdown_of(model)}"


def _written_index() -> str:
    entries = "\n".join(WRITTEN)
    about = "Files and lines that people write, field by field, from the models that read them."
    return f"# What people write\n\n{about}\n\n```{{toctree}}\n:maxdepth: 1\n\n{entries}\n```\n"


def _printed_pages() -> Iterator[tuple[str, str]]:
    place = Workplace()
    try:
        for name, lines in PRINTED.items():
            code = REFUSED.get(name, 0)
            documents = [json.loads(place.run(Command(line, exit_code=code))) for line in lines]
            yield name, _printed_page(str(documents[0]["shape"]), lines, documents)
    finally:
        place.close()


def _printed_index() -> str:
    entries = "\n".join(PRINTED)
    about = "What the program prints with `--json`, and what it writes: SI units, angles in rad, temperatures in K."
    note = "`number ± u` is an object with `value` and `u`, its standard uncertainty, null while unknown."
    return f"# What the program prints\n\n{about} {note}\n\n```{{toctree}}\n:maxdepth: 1\n\n{entries}\n```\n"


def _printed_page(shape: str, lines: tuple[str, ...], documents: list[object]) -> str:
    commands = "\n".join(f"$ sagwright {line}" for line in lines)
    intro = "Every field that these commands print, with the kind of value seen there; `[]` stands for each of a list."
    return f"# `{shape}`\n\n{intro}\n\n```console\n{commands}\n```\n\n{fields_table(documents)}"


def _module_page(name: str) -> str:
    title = name.rpartition(".")[2].replace("_", " ").capitalize()
    return f"{_titled(title)}\n.. automodule:: {name}\n   :members:\n"


def _python_page() -> str:
    names = (name for name in sagwright.__all__ if not name.startswith("_"))
    members = "\n".join(f".. autofunction:: sagwright.{name}\n" for name in names)
    about = "What `import sagwright` gives. Nothing heavy is loaded until a name is used."
    return f"{_titled('Python')}\n{about.replace('`', '``')}\n\n{members}"


def _write(app: Sphinx) -> None:
    """Write what has changed; take away what is no longer written."""
    folder = Path(app.srcdir) / FOLDER
    wanted = {folder / path: text for path, text in pages()}
    for path, text in wanted.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.is_file() or path.read_text("utf-8") != text:
            path.write_text(text, "utf-8")
    for path in [*folder.rglob("*.md"), *folder.rglob("*.rst")]:
        if path not in wanted:
            path.unlink()


def literal_options(_app: Sphinx, _context: click.Context, lines: list[str]) -> None:
    """Options named in a command's help as code, so that their two dashes stay two."""
    lines[:] = [line if line.lstrip().startswith("..") else _OPTION.sub(r"``\1``", line) for line in lines]


def setup(app: Sphinx) -> dict[str, bool]:
    """Write the pages before the others are read."""
    app.setup_extension("sphinx_click")
    app.connect("builder-inited", _write, priority=100)
    for part in ("description", "options", "arguments"):
        app.connect(f"sphinx-click-process-{part}", literal_options)
    return {"parallel_read_safe": True}
