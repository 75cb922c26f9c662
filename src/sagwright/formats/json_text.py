"""Plain values as JSON text, in lines or compact; errors as JSON, shape "errors/1", for programs that call this one."""

from __future__ import annotations

import json
from typing import Any, Final, TypeAlias

from sagwright.domain.value import Measured
from sagwright.errors import Defect, InputError, InputErrors, SagwrightError
from sagwright.units import worded

Json: TypeAlias = dict[str, Any] | list[Any] | str | float | int | bool | None

_SHAPE: Final = "errors/1"


def dump_json(shape: Json) -> str:
    """Plain values as JSON text: two spaces, no escapes, no minus zero, no NaN."""
    return json.dumps(_tidy(shape), ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def number(given: float | Measured | None) -> Json:
    """A number with its uncertainty; null where it is not known."""
    if isinstance(given, Measured):
        return {"value": given.value, "u": given.u}
    return None if given is None else {"value": given, "u": None}


def _tidy(shape: Json) -> Json:
    if isinstance(shape, dict):
        return {key: _tidy(value) for key, value in shape.items()}
    if isinstance(shape, list):
        return [_tidy(value) for value in shape]
    return shape + 0.0 if isinstance(shape, float) else shape


def errors_to_json(error: SagwrightError) -> str:
    """An error, or all the faults it collects, as JSON text with a newline at its end."""
    told = worded(error)
    faults = told.errors if isinstance(told, InputErrors) else (told,)
    return dump_json({"shape": _SHAPE, "errors": [_fault(fault) for fault in faults]})


def _fault(error: SagwrightError) -> Json:
    if isinstance(error, Defect):
        place = {"rule": error.rule, "step": error.step, "reason": error.reason}
        return {"kind": type(error).__name__, "message": str(error), **place}
    if not isinstance(error, InputError):
        return {"kind": type(error).__name__, "message": str(error)}
    return {
        "kind": type(error).__name__,
        "message": str(error),
        "file": error.file,
        "line": error.line,
        "field": error.field,
        "rule": error.rule,
        "value": error.value,
        "remedy": error.remedy,
    }


def compact(value: Json) -> str:
    """JSON on one line, keys in their order, no escapes."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
