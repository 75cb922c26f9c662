"""Values of the domain as JSON and back, both from one description of each class.

A frozen dataclass is an object with a key for each field, a tuple a list, an enum its value. A float is {"value", "u"},
a tuple of floats the same with lists, and pairs of a name and a value are an object. What can be of several types is
written as what it is, and read as the first type that it fits. A `Row` says where the keys of a class differ from its
fields; a `Coder` takes the place of it all for a class, for a type, or for one field, named as (class, "field").
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Final, TypeAlias, TypeVar, Union, get_args, get_origin, get_type_hints

from sagwright.domain.value import Measured, MeasuredColumn
from sagwright.formats.json_text import Json

T = TypeVar("T")
Object: TypeAlias = dict[str, Any]


class Misfit(ValueError):
    """JSON that is not what a type is written as: what is wrong, and the keys that lead to it."""

    def __init__(self, what: str) -> None:
        super().__init__(what)
        self.what = what
        self.place: list[str] = []


def unread(shape: Json) -> Any:
    """The decoder of what is only written."""
    raise Misfit("is written for other programs, and not read back")


@dataclass(frozen=True, slots=True)
class Coder:
    """How one type is written and read; `keys` are those of its object, where they are fixed."""

    encode: Callable[[Any], Any]
    decode: Callable[[Any], Any] = unread
    keys: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Row:
    """Where the JSON of a class differs from its fields; names stand in one text, with spaces between.

    Attributes
    ----------
    keys : str
        The fields that are written, in their order: "field" or "field=key". Empty for all fields as they stand.
    inline : str
        Fields whose keys stand among those of the class.
    sparse : str
        Fields that are left out while they are at their default.
    to_json, from_json : callable
        What is done to the object once its fields are written, and to a copy of it before they are read.
    """

    keys: str = ""
    inline: str = ""
    sparse: str = ""
    to_json: Callable[[Object], Object] = lambda shape: shape
    from_json: Callable[[Object], Object] = lambda shape: shape


class Codec:
    """Writes and reads the classes of one shape; the hints of a class are read once, when it is first met.

    Parameters
    ----------
    table : mapping
        A Row by its class, or a Coder by its class, its type, or (class, "field").
    bare : bool
        Whether floats are written as they are, and pairs as lists of two.
    """

    def __init__(self, table: Mapping[Any, Row | Coder], *, bare: bool = False) -> None:
        self._table, self._bare = table, bare
        self._coders: dict[Any, Coder] = {}

    def encode(self, value: object) -> Object:
        """A dataclass as plain values, keys in their order."""
        shape: Object = self.coder(type(value)).encode(value)
        return shape

    def decode(self, kind: type[T], shape: Json) -> T:
        """The value that was written so.

        Raises
        ------
        Misfit
            If nothing of this kind is.
        """
        try:
            value: T = self.coder(kind).decode(shape)
        except (KeyError, TypeError, AttributeError) as error:
            raise Misfit("is not whole") from error
        return value

    def coder(self, kind: Any) -> Coder:
        """How a type is written and read."""
        if kind not in self._coders:
            self._coders[kind] = self._made(kind)
        return self._coders[kind]

    def _made(self, kind: Any) -> Coder:
        row = OWN.get(kind) or self._table.get(kind, Row())
        if isinstance(row, Coder):
            return row
        if dataclasses.is_dataclass(kind):
            return _object(kind, row, self._parts(kind, row))
        origin, args = get_origin(kind), get_args(kind)
        if origin is None:
            return self._plain(kind)
        if origin is tuple:
            return self._tuple(args)
        if origin in {Union, UnionType}:
            return self._union(args)
        return BARE[type(args[0])]  # a Literal

    def _plain(self, kind: Any) -> Coder:
        if issubclass(kind, Enum):
            return Coder(lambda value: value.value, _one_of({one.value: one for one in kind}))
        return NUMBER if kind is float and not self._bare else BARE[kind]

    def _union(self, args: tuple[Any, ...]) -> Coder:
        coders = {one: self.coder(one) for one in args if one is not NoneType}
        coder = next(iter(coders.values())) if len(coders) == 1 else _either(coders)
        return coder if len(coders) == len(args) else _optional(coder)

    def _tuple(self, args: tuple[Any, ...]) -> Coder:
        if args == (float, ...) and not self._bare:
            return COLUMN
        if args[-1] is not ...:
            return _row_of([self.coder(one) for one in args])
        pair = get_args(args[0])
        named = get_origin(args[0]) is tuple and pair[0] is str and not self._bare
        return _named(self.coder(pair[1])) if named else _list_of(self.coder(args[0]))

    def _parts(self, kind: Any, row: Row) -> list[_Part]:
        hints = get_type_hints(kind)
        defaults = {one.name: one.default for one in dataclasses.fields(kind)}
        parts = []

        def coder(name: str) -> Coder:
            own = self._table.get((kind, name))
            return own if isinstance(own, Coder) else self.coder(hints[name])

        for word in row.keys.split() or defaults:
            name, _, key = word.partition("=")
            inline, sparse = (name in names.split() for names in (row.inline, row.sparse))
            parts.append(_Part(name, key or name, coder(name), defaults.get(name), inline, sparse))
        return parts


@dataclass(slots=True)
class _Part:
    """One field of a class."""

    name: str
    key: str
    coder: Coder
    default: Any
    inline: bool = False
    sparse: bool = False

    def write(self, value: object, shape: Object) -> None:
        own = getattr(value, self.name)
        if self.sparse and own == self.default:
            return
        written = self.coder.encode(own)
        if self.inline:
            shape.update(written or {})
        else:
            shape[self.key] = written

    def read(self, shape: Object, values: dict[str, Any]) -> None:
        if self.inline:
            own: Json = {key: value for key, value in shape.items() if key in self.coder.keys} or None
        elif self.key in shape:
            own = shape[self.key]
        elif self.sparse:
            return
        else:
            raise Misfit("must be given")
        values[self.name] = self.coder.decode(own)


def _object(kind: Any, row: Row, parts: list[_Part]) -> Coder:
    """A dataclass by its parts."""
    keys = frozenset(key for part in parts for key in (part.coder.keys if part.inline else (part.key,)))

    def encode(value: object) -> Json:
        shape: Object = {}
        for part in parts:
            part.write(value, shape)
        return row.to_json(shape)

    def decode(shape: Json) -> Any:
        values: dict[str, Any] = {}
        read = row.from_json(dict(_object_in(shape)))
        if unknown := read.keys() - keys:
            raise Misfit(f"has keys or values that this program does not know: {', '.join(sorted(unknown))}")
        for part in parts:
            try:
                part.read(read, values)
            except Misfit as error:
                error.place.insert(0, part.key)
                raise
        return kind(**values)

    return Coder(encode, decode, keys)


def _optional(coder: Coder) -> Coder:
    encode, decode = coder.encode, coder.decode
    return Coder(
        lambda value: None if value is None else encode(value),
        lambda shape: None if shape is None else decode(shape),
        coder.keys,
    )


def _either(coders: Mapping[Any, Coder]) -> Coder:
    """One of several types; what fits none is refused with the fault of the type that matched furthest."""
    kinds = [((int, float) if kind is float else get_origin(kind) or kind, coder) for kind, coder in coders.items()]

    def encode(value: object) -> Any:
        return next(coder for kind, coder in kinds if isinstance(value, kind)).encode(value)

    def decode(shape: Json) -> Any:
        faults = []
        for _, coder in kinds:
            try:
                return coder.decode(shape)
            except Misfit as error:
                faults.append(error)
        raise max(faults, key=lambda error: len(error.place))

    return Coder(encode, decode, frozenset[str]().union(*(coder.keys for _, coder in kinds)))


def _list_of(coder: Coder) -> Coder:
    encode, decode = coder.encode, coder.decode
    return Coder(
        lambda value: [encode(one) for one in value],
        lambda shape: tuple(_at(str(n), decode, one) for n, one in enumerate(_listed(shape))),
    )


def _row_of(coders: list[Coder]) -> Coder:
    def decode(shape: Json) -> Any:
        if len(_listed(shape)) != len(coders):
            raise Misfit(f"must be a list of {len(coders)}")
        return tuple(coder.decode(one) for coder, one in zip(coders, _listed(shape), strict=True))

    return Coder(lambda value: [coder.encode(one) for coder, one in zip(coders, value, strict=True)], decode)


def _named(coder: Coder) -> Coder:
    return Coder(
        lambda pairs: {key: coder.encode(value) for key, value in pairs},
        lambda shape: tuple((key, _at(key, coder.decode, one)) for key, one in _object_in(shape).items()),
    )


def _at(place: str, decode: Callable[[Any], T], shape: Json) -> T:
    """Decode a plain value; a fault in it names its place."""
    try:
        return decode(shape)
    except Misfit as error:
        error.place.insert(0, place)
        raise


def _same(value: Any) -> Any:
    return value


def _one_of(known: Mapping[Any, Any]) -> Callable[[Any], Any]:
    def decode(shape: Json) -> Any:
        if not isinstance(shape, str) or shape not in known:
            raise Misfit(f"must be one of {', '.join(known)}")
        return known[shape]

    return decode


def _checked(what: str, *kinds: type) -> Callable[[Any], Any]:
    def decode(shape: Json) -> Any:
        if type(shape) not in kinds:
            raise Misfit(f"must be {what}")
        return shape

    return decode


_listed = _checked("a list", list)
_object_in = _checked("an object", dict)


def _number(value: Json) -> Json:
    return {"value": value, "u": None}


def _value(shape: Any) -> Any:
    if not isinstance(shape, dict) or shape.keys() != {"value", "u"}:
        raise Misfit("must be a number with its uncertainty")
    return shape["value"]


def _numbers(shape: Json) -> tuple[float, ...]:
    return tuple(map(BARE[float].decode, _listed(shape)))


BARE: Final = {
    str: Coder(_same, _checked("a text", str)),
    bool: Coder(_same, _checked("true or false", bool)),
    int: Coder(_same, _checked("a whole number", int)),
    float: Coder(_same, _checked("a number", int, float)),
    datetime: Coder(datetime.isoformat),
}
NUMBER: Final = Coder(_number, lambda shape: BARE[float].decode(_value(shape)))
COLUMN: Final = Coder(lambda value: _number(list(value)), lambda shape: _numbers(_value(shape)))
OPTIONAL: Final = _optional(BARE[float])
OWN: Final[dict[Any, Coder]] = {
    Measured: Coder(
        lambda given: {"value": given.value, "u": given.u},
        lambda shape: Measured(BARE[float].decode(_value(shape)), OPTIONAL.decode(shape["u"])),
    ),
    MeasuredColumn: Coder(
        lambda given: {"value": list(given.value), "u": list(given.u)},
        lambda shape: MeasuredColumn(_numbers(_value(shape)), _numbers(shape["u"])),
    ),
}
"""Classes that every table writes alike."""


def in_two_keys(value: str, u: str) -> Coder:
    """A number and its uncertainty, or neither, under two keys of the object that it stands in."""

    def decode(shape: Json) -> Measured | None:
        number, spread = (OPTIONAL.decode(_object_in(shape)[key]) for key in (value, u))
        return None if number is None else Measured(number, spread)

    return Coder(
        lambda given: {value: None, u: None} if given is None else {value: given.value, u: given.u},
        decode,
        frozenset({value, u}),
    )
