"""Facts of a job one by one: a path in the format intake/1, and the text that stands there."""

from __future__ import annotations

import re
from typing import Any, Final, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from sagwright.domain.value import Quantity
from sagwright.errors import OutOfRange, WrongUnit
from sagwright.formats.bike.fields import Radius, Steep
from sagwright.formats.fields.kinds import Count, Field, OrUnknown, QuantityField, Word, Words
from sagwright.formats.intake.shape import IntakeShape, ShareOrLength
from sagwright.units import UnitChoice

_QUANTITIES: Final = ((Count, Quantity.COUNT), (Radius, Quantity.LENGTH), (Steep, Quantity.ANGLE))
_BARE: Final = re.compile(r"[\d\s.,±+/−-]+")
_POINT: Final = re.compile(r"(?<=\d)\.(?=\d)")
_COMMA: Final = re.compile(r"(?<=\d),(?=\d)")


def fact_field(path: str) -> Field:
    """What may be written at a path.

    Raises
    ------
    OutOfRange
        If there is no such path, or it holds no single text.
    """
    shape: type[BaseModel] | None = IntakeShape
    *tables, last = path.split(".")
    for name in tables:
        info = shape.model_fields.get(name) if shape else None
        shape = _model(info.annotation) if info else None
    info = shape.model_fields.get(last) if shape else None
    field = None if info is None else _scalar(info)
    if field is None:
        raise OutOfRange("must be the path of a value in an intake", field="fact", value=path)
    return field


def _model(annotation: Any) -> type[BaseModel] | None:
    """The table that an annotation holds, optional or not."""
    for one in (annotation, *get_args(annotation)):
        if isinstance(one, type) and issubclass(one, BaseModel):
            return one
        if inner := [each for each in get_args(one) if isinstance(each, type) and issubclass(each, BaseModel)]:
            return inner[0]
    return None


def _scalar(info: FieldInfo) -> Field | None:
    """The kind of scalar that a field of a table holds, optional or not."""
    inner = (each for one in get_args(info.annotation) for each in get_args(one))
    return next((one for one in (*info.metadata, *inner) if isinstance(one, Field)), None)


def quantity_of_fact(path: str) -> Quantity | None:
    """What kind of number stands at a path; None for words, and for what may be a share or a length.

    Raises
    ------
    OutOfRange
        As `fact_field`.
    """
    field = fact_field(path)
    inner = field.field if isinstance(field, OrUnknown) else field
    if isinstance(inner, QuantityField):
        return inner.quantity
    return next((quantity for kind, quantity in _QUANTITIES if isinstance(inner, kind)), None)


def read_fact(path: str, text: str) -> object:
    """What the text at a path means.

    Raises
    ------
    InputError
        If it cannot stand there; `field` is not set.
    """
    return fact_field(path).read(text)


def as_written(path: str, typed: str, choice: UnitChoice, *, unit: str = "") -> str:
    """What was typed as the format has it: a point for the decimal mark, and the chosen unit where none was typed.

    Parameters
    ----------
    path, typed : str
    choice : UnitChoice
        The units and the decimal mark that stood beside the field.
    unit : str
        Another unit that stood there.

    Raises
    ------
    WrongUnit
        If it has the other decimal mark.
    OutOfRange
        If there is no such path.
    """
    field = fact_field(path)
    if isinstance(field, Words | Word):
        return typed
    text = _with_point(typed, choice)
    quantity = quantity_of_fact(path)
    bare = _BARE.fullmatch(text) is not None
    if isinstance(field, ShareOrLength) or quantity is None:
        return f"{text} {unit}".strip() if bare else text
    return f"{text} {unit or choice.unit(quantity)}".strip() if bare else text


def _with_point(typed: str, choice: UnitChoice) -> str:
    if choice.decimal == ".":
        return typed
    if _POINT.search(typed):
        meant = _POINT.sub(choice.decimal, typed)
        raise WrongUnit(f'must be written with "{choice.decimal}"', value=typed, remedy=f"Write {meant}.")
    return _COMMA.sub(".", typed)


def as_typed(text: str, choice: UnitChoice) -> str:
    """What is recorded as it would be typed here: with the decimal mark of the reader."""
    return text if choice.decimal == "." else _POINT.sub(choice.decimal, text)


def with_unit(typed: str, quantity: Quantity, choice: UnitChoice) -> str:
    """A number as the formats have it, with the chosen unit where none was typed; errors as `as_written`."""
    text = _with_point(typed, choice)
    return f"{text} {choice.unit(quantity)}".strip() if _BARE.fullmatch(text) else text
