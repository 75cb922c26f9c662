"""What pydantic finds wrong → our own faults, each with file, line, field, rule, value and remedy."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from sagwright.domain.value import Value
from sagwright.errors import InputError, InputErrors, MissingValue, OutOfRange, UnknownKey, WrongUnit
from sagwright.formats.fields.kinds import FAULT
from sagwright.formats.source.tree import FieldPath, YamlTable, located
from sagwright.units import nearest

ShapeT = TypeVar("ShapeT", bound=BaseModel)

FoundFault = Iterator[tuple[FieldPath, InputError]]
"""What a check yields: faults, each with the path it stands at."""


def unfit(rule: str, value: Value) -> OutOfRange:
    """A measure that does not fit to another one."""
    return OutOfRange(rule, value=value.as_written, remedy="Measure it again.")


_STRUCTURE: Final = {
    "model_type": ("must be keys with values", "Write its keys below it, each indented by two spaces."),
    "dict_type": ("must be keys with values", "Write its keys below it, each indented by two spaces."),
    "list_type": ("must be a list", "Write each entry below it after a dash, or all in [ ] with commas."),
}


MOST_REPORTED: Final = 100
"""The most faults reported of one file. A file with more is most likely not the file that was meant."""


class Faults:
    """Collects the faults of one tree."""

    def __init__(self, root: YamlTable, known: Iterable[InputError] = ()) -> None:
        self.root = root
        self._found = list(known)
        self._places = {_place_of(fault) for fault in self._found}

    def add(self, path: FieldPath, fault: InputError) -> None:
        """One more fault, placed where its path was written; a second one at the same place is dropped."""
        found = located(fault, self.root, path)
        if _place_of(found) not in self._places:
            self._places.add(_place_of(found))
            self._found.append(found)

    def raise_any(self) -> None:
        """Raises what was found: one fault as itself, several together.

        Raises
        ------
        InputError, InputErrors
        """
        if len(self._found) == 1:
            raise self._found[0]
        if self._found:
            raise InputErrors(self._told())

    def _told(self) -> tuple[InputError, ...]:
        """The faults in the order of their lines; of very many the first, and that there are more."""
        found = InputErrors(tuple(self._found)).errors
        if len(found) <= MOST_REPORTED:
            return found
        last = found[MOST_REPORTED - 1]
        more = InputError("has more faults than are told", remedy="Put these right, then look again.")
        return (*found[:MOST_REPORTED], more.at(file=last.file, line=last.line, field=None))


def _place_of(fault: InputError) -> tuple[str | None, int | None, str | None]:
    return fault.file, fault.line, fault.field


def expect_shape(root: YamlTable, expected: str, *, what: str) -> None:
    """Refuse, with one fault instead of many, a file that says it is something else.

    Raises
    ------
    OutOfRange
    """
    said = root.get("shape")
    if isinstance(said, str) and said != expected:
        other = "That is another kind of file; " if "/" in said else ""
        fault = OutOfRange(f"must be {expected}", value=str(said), remedy=f"{other}name {what}.")
        raise located(fault, root, ("shape",))


def shaped(root: YamlTable, shape: type[ShapeT], faults: Faults) -> ShapeT:
    """The tree read as a shape.

    Raises
    ------
    InputError, InputErrors
        Everything that is wrong with it, and what was wrong before.
    """
    found: ShapeT | None = None
    try:
        found = shape.model_validate(root)
    except ValidationError as error:
        for details in error.errors(include_url=False)[: MOST_REPORTED + 1]:
            path = tuple(part for part in details["loc"] if part != "[key]")
            faults.add(path, _fault(details, path, shape).at(file=None, line=None, field=None))
    faults.raise_any()
    return typing.cast(ShapeT, found)


def _fault(details: ErrorDetails, path: FieldPath, shape: type[BaseModel]) -> InputError:
    kind = details["type"]
    if kind == FAULT:
        return typing.cast(InputError, details["ctx"][FAULT])
    if kind == "missing":
        return MissingValue("must be given", remedy=_write_it(path, shape))
    if kind == "extra_forbidden":
        return UnknownKey("is a key that nothing reads", remedy=_meant(path, shape))
    rule, remedy = _STRUCTURE.get(kind, ("is not what is read here", f"It says: {details['msg']}."))
    raw = details["input"]
    return WrongUnit(rule, value=str(raw) if isinstance(raw, str) else None, remedy=remedy)


def _write_it(path: FieldPath, shape: type[BaseModel]) -> str:
    field = fields_at(shape, path[:-1]).get(str(path[-1]))
    where = f" under {path[-2]}" if len(path) > 1 else ""
    examples = field.examples if field else None
    if examples and isinstance(examples[0], str):
        return f"Write it{where}, like {path[-1]}: {examples[0]}."
    return f"Write it{where}."


def _meant(path: FieldPath, shape: type[BaseModel]) -> str:
    known = list(fields_at(shape, path[:-1]))
    near = nearest(str(path[-1]), known)
    meant = f"Did you mean {near}? " if near else ""
    return f"{meant}Known here are: {', '.join(known)}."


def fields_at(shape: type[BaseModel], path: FieldPath) -> Mapping[str, FieldInfo]:
    """The fields a shape takes at a path."""
    here: Any = shape
    for part in path:
        here = _inside(here, part)
    model = _model(here)
    return model.model_fields if model else {}


def _inside(kind: Any, part: str | int) -> Any:
    model = _model(kind)
    if model is not None:
        return model.model_fields[str(part)].annotation if part in model.model_fields else None
    return next((args[-1] for args in _containers(kind)), None)


def _bare(kind: Any) -> Any:
    """What is annotated, without its annotations."""
    return typing.get_args(kind)[0] if typing.get_origin(kind) is typing.Annotated else kind


def _model(kind: Any) -> type[BaseModel] | None:
    options = (kind, *map(_bare, typing.get_args(kind))) if typing.get_origin(kind) not in (dict, list) else ()
    return next((each for each in options if isinstance(each, type) and issubclass(each, BaseModel)), None)


def _containers(kind: Any) -> list[tuple[Any, ...]]:
    options = (kind, *typing.get_args(kind))
    return [typing.get_args(each) for each in options if typing.get_origin(each) in (dict, list)]
