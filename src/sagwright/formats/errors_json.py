"""Errors as JSON, shape "errors/1", for programs that call this one."""

from __future__ import annotations

from typing import Final

from sagwright.errors import Defect, InputError, InputErrors, SagwrightError
from sagwright.formats.json_text import Json, dumped

SHAPE: Final = "errors/1"


def errors_to_json(error: SagwrightError) -> str:
    """An error, or all the faults it collects, as JSON text with a newline at its end."""
    faults = error.errors if isinstance(error, InputErrors) else (error,)
    return dumped({"shape": SHAPE, "errors": [_fault(fault) for fault in faults]})


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
