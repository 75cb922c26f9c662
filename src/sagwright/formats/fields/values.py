"""Values as people write them: "31.8 ± 0.03 mm, measured" → Value."""

from __future__ import annotations

import re
from typing import Final

from sagwright.domain.item import Hand, Part, ThreadState, Tool, Torque
from sagwright.domain.measuring import within
from sagwright.domain.value import Origin, Quantity, Span, Value
from sagwright.errors import InputError, MissingValue, OutOfRange, WrongUnit
from sagwright.formats.source.tree import YamlText
from sagwright.units import nearest, parse, parse_difference, split

FIND_THE_VALUE: Final = "find the value"

_ORIGINS: Final = {origin.value: origin for origin in Origin if origin is not Origin.COMPUTED}
_STATES: Final = {state.value: state for state in ThreadState}
_HANDS: Final = {f"{hand.value} hand": hand for hand in Hand}
_RANGE: Final = re.compile(r"^(.+?)\s*(?:\.\.|…)\s*(.+)$")
_SIZE: Final = re.compile(r"^(?P<name>[^\d,]*[^\d,\s])[,\s]+(?P<size>[A-Za-z]{0,2}\d.*)$")


def read_value(text: str, quantity: Quantity) -> Value:
    """A number with its unit, perhaps its tolerance, perhaps its origin.

    "± a" is the half-width of a rectangular distribution, so u = a/√3 ([jcgm-100] 4.3.7). The unit stands
    after the tolerance, after the number, or after both; a tolerance in % is a share of the number.

    Raises
    ------
    InputError
        If it is not that.
    """
    body, origin = _without_origin(text)
    number, mark, tolerance = (part.strip() for part in body.partition("±" if "±" in body else "+/-"))
    if not mark:
        return Value(parse(body, quantity), None, origin, str(text))
    if not split(number)[1]:
        number = f"{number} {_unit_of(tolerance)}".strip()
    si = parse(number, quantity)
    return Value(si, within(_half_width(tolerance, number, quantity)), origin, str(text))


def _unit_of(tolerance: str) -> str:
    return split(tolerance)[1]


def _half_width(tolerance: str, number: str, quantity: Quantity) -> float:
    digits, unit = split(tolerance)
    if unit == "%" and quantity is not Quantity.FRACTION:
        half = abs(parse_difference(number, quantity)) * parse(tolerance, Quantity.FRACTION)
    else:
        half = parse_difference(f"{digits} {unit or split(number)[1]}", quantity)
    if half < 0.0:
        raise OutOfRange("must have a tolerance above zero", value=tolerance, remedy="Write ± once, without a sign.")
    return half


def read_span(text: str, quantity: Quantity) -> Span:
    """A permitted range: "40..140 psi", low first.

    Raises
    ------
    InputError
        If it is not that.
    """
    body, origin = _without_origin(text)
    ends = _RANGE.match(body)
    if ends is None:
        raise WrongUnit(
            "must be a range, like 40..140 psi",
            value=str(text),
            remedy="Write the lower end, two dots, the upper end.",
        )
    first, second = ends.groups()
    high = parse(second, quantity)
    low = parse(first if split(first)[1] else f"{first} {split(second)[1]}", quantity)
    if low >= high:
        raise OutOfRange("must begin with the lower end", value=str(text), remedy="Swap the two ends.")
    return Span(low, high, origin, str(text))


def read_limits(text: str, quantity: Quantity) -> tuple[float | None, float | None]:
    """Limits of a reading: "0..2 psi", "at least 10 mm", "at most 2 psi"."""
    for words, lower in (("at least ", True), ("at most ", False)):
        if text.startswith(words):
            limit = parse(text.removeprefix(words), quantity)
            return (limit, None) if lower else (None, limit)
    span = read_span(text, quantity)
    return span.low, span.high


def read_torque(text: str) -> Torque:
    """A torque with the thread state it belongs to: "26 ± 2 N·m greased, maker's manual", "find the value, dry".

    Raises
    ------
    MissingValue
        If the thread state is missing.
    InputError
        If it is not a torque.
    """
    body, origin = _without_origin(text)
    first, *rest = (part.strip() for part in body.split(","))
    state, first = _without_state(first)
    hand = Hand.RIGHT
    for word in rest:
        if word in _HANDS:
            hand = _HANDS[word]
        elif word in _STATES and state is None:
            state = _STATES[word]
        else:
            raise _unknown_word(word, text)
    if state is None:
        raise MissingValue(
            "must say the thread state it belongs to, like 8 N·m dry",
            value=str(text),
            remedy=f"Add one of: {', '.join(_STATES)}. A torque means nothing without it.",
        )
    if first == FIND_THE_VALUE:
        return Torque(None, state, hand)
    value = read_value(first, Quantity.TORQUE)
    return Torque(Value(value.si, value.u, origin, str(text)), state, hand)


def _unknown_word(word: str, text: str) -> InputError:
    near = nearest(word, [*_STATES, *_HANDS, *_ORIGINS])
    meant = f"Did you mean {near}? " if near else ""
    known = ", ".join([*_STATES, *_HANDS, *_ORIGINS])
    return OutOfRange(f"must not say {word!r} after the torque", value=str(text), remedy=f"{meant}Known are: {known}.")


def _without_state(text: str) -> tuple[ThreadState | None, str]:
    for words, state in _STATES.items():
        if text.endswith(f" {words}"):
            return state, text.removesuffix(words).strip()
    return None, text


def read_tool(text: str) -> Tool:
    """A tool with its size: "socket 26 mm"; "special: " before what an ordinary workshop may lack."""
    special = text.startswith("special:")
    name, size = _name_and_size(text.removeprefix("special:").strip())
    return Tool(name, size, special)


def read_part(text: str) -> Part:
    """A part with its size: "crush washer 8 × 14 mm"."""
    return Part(*_name_and_size(text.strip()))


def _name_and_size(text: str) -> tuple[str, str]:
    """The size begins at the first word with a digit, or after a comma."""
    name, comma, size = text.partition(",")
    if comma:
        return name.strip(), size.strip()
    found = _SIZE.match(text)
    return (found["name"], found["size"]) if found else (text, "")


def _without_origin(text: str) -> tuple[str, Origin]:
    """The text before a trailing origin, and the origin: as written, else that of the file."""
    body, comma, last = text.rpartition(",")
    word = last.strip()
    if comma and word in _ORIGINS:
        return body.strip(), _ORIGINS[word]
    ours = word in _STATES or word in _HANDS or word[:1].isdigit()
    if comma and not ours and (near := nearest(word, _ORIGINS)):
        raise OutOfRange(
            "must end with an origin we know",
            value=str(text),
            remedy=f"Did you mean {near}? Known are: {_listed()}.",
        )
    return text.strip(), text.source.origin if isinstance(text, YamlText) else Origin.TYPICAL


def _listed() -> str:
    return ", ".join(_ORIGINS)
