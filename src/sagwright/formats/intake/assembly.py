"""What is known of a job → an intake as text, and the intake that the text describes; an intake's file → facts."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from sagwright.domain.intake import Intake
from sagwright.domain.records.entities import SheetRevision
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import Answered, Facts
from sagwright.errors import UnreadableFile
from sagwright.formats.bike.load import load_bike
from sagwright.formats.faults import expect_shape
from sagwright.formats.intake.load import load_intake, load_intake_text
from sagwright.formats.intake.shape import INTAKE
from sagwright.formats.json_text import dump_json
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import sheet_of
from sagwright.formats.source.reader import read_file
from sagwright.formats.source.tree import YamlRow, YamlTable, YamlText

_BIKE: Final = "the job's bike"
"""What stands in the intake for the text of its bike."""

_APART: Final = frozenset({"shape", "name", "sheet", "answers", "tasks"})


def intake_text(state: JobState, *, number: int, sheet: str, bike: bool) -> str:
    """The intake of a job as text: the facts as typed, with the makers' answers and the tasks.

    Parameters
    ----------
    state : JobState
    number : int
        The job's short number; the intake's name.
    sheet : str
        The key of its sheet.
    bike : bool
        Whether the text of a bike goes with it.
    """
    tree: dict[str, Any] = {"shape": INTAKE, "name": str(number), "sheet": sheet}
    for path, text in state.facts:
        _put(tree, path.split("."), text)
    if bike:
        tree["bike"] = _BIKE
    if state.answers:
        tree["answers"] = [
            {"about": one.about, "who": one.who, "when": one.when, "answer": one.answer} for one in state.answers
        ]
    if state.tasks:
        tree["tasks"] = list(state.tasks)
    return dump_json(tree)


def read_intake(text: str, revision: SheetRevision, bike: str) -> Intake:
    """The intake that a text says, with its sheet as it was and its bike.

    Raises
    ------
    InputError, InputErrors
        Everything that is missing in it or wrong with it, each with its path as `field`.
    """
    return load_intake_text(text, "the job", texts={_BIKE: bike} if bike else {}, sheet=sheet_of(revision))


def _put(tree: dict[str, Any], path: list[str], text: str) -> None:
    for part in path[:-1]:
        tree = tree.setdefault(part, {})
    tree[path[-1]] = text


@dataclass(frozen=True, slots=True)
class IntakeFile:
    """What the file of an intake says.

    Attributes
    ----------
    sheet : str
        As named in it.
    facts : tuple of (str, str)
    bike_name, bike : str
        Of the bike's file, and its text; "" where there is none.
    answers : tuple of Answered
    tasks : tuple of str
    """

    sheet: str
    facts: Facts
    bike_name: str
    bike: str
    answers: tuple[Answered, ...]
    tasks: tuple[str, ...] = ()


def written_in(path: str | pathlib.Path, *, whole: bool = True) -> IntakeFile:
    """What the file of an intake says; `whole` asks that a plan can be made of it already.

    Raises
    ------
    UnreadableFile, InputError, InputErrors
        Everything that is wrong with it, with file and line.
    """
    path = pathlib.Path(path)
    root = read_file(path)
    expect_shape(root, INTAKE, what="an intake")
    if whole:
        load_intake(path)
    named = _bike_file(root)
    apart = _APART | ({"bike"} if named else frozenset())
    facts = tuple(fact for key, node in root.items() if key not in apart for fact in _facts(key, node))
    name, text = _bike(path.parent / named) if named else ("", "")
    return IntakeFile(str(root.get("sheet", "")), facts, name, text, _answers(root), _tasks(root))


def _facts(path: str, node: object) -> Iterator[tuple[str, str]]:
    if isinstance(node, YamlTable):
        for key, inner in node.items():
            yield from _facts(f"{path}.{key}", inner)
    elif isinstance(node, YamlText):
        yield path, str(node)


def _bike_file(root: YamlTable) -> str:
    bike = root.get("bike")
    named = bike.get("file") if isinstance(bike, YamlTable) else bike
    return str(named) if isinstance(named, YamlText) else ""


def _bike(path: pathlib.Path) -> tuple[str, str]:
    bike = load_bike(path)
    try:
        return bike.name, path.read_text("utf-8")
    except OSError as error:
        raise UnreadableFile("must be readable", file=str(path)) from error


def _answers(root: YamlTable) -> tuple[Answered, ...]:
    said = root.get("answers")
    rows = [one for one in said if isinstance(one, YamlTable)] if isinstance(said, YamlRow) else []
    return tuple(
        Answered(str(one["about"]), str(one["who"]), str(one["when"]), str(one["answer"]))
        for one in rows
        if {"about", "who", "when", "answer"} <= one.keys()
    )


def _tasks(root: YamlTable) -> tuple[str, ...]:
    said = root.get("tasks")
    return tuple(str(one) for one in said if isinstance(one, YamlText)) if isinstance(said, YamlRow) else ()


def is_shipped(sheet: str) -> bool:
    """Whether a sheet of that name comes with the program."""
    return sheet in shipped_sheets()
