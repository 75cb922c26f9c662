"""Every error a caller can meet, drawn once.

::

    SagwrightError
    ├── InputError            one fault in what a person or a program wrote
    │   ├── UnreadableFile    not there, a folder, too large, not UTF-8, not our YAML
    │   ├── UnknownKey        a key nobody reads
    │   ├── MissingValue      a key that must be given and is not
    │   ├── WrongUnit         not a number with a unit of the quantity asked for
    │   └── OutOfRange        a number or name outside what is possible
    ├── InputErrors           all the faults of one reading, together
    ├── NoSolution            a computation that has no answer, or did not converge
    ├── RecordError           the store could not keep or give back a record
    │   ├── NotThere          nothing is kept under that name
    │   ├── NotNow            where the job stands, this cannot be recorded
    │   ├── Conflict          somebody else was quicker, or one id came with two contents
    │   └── StoreFailed       full, read-only, locked, unreachable, damaged, or of a newer program
    ├── NotAllowed            someone may not do this
    └── Defect                our own fault: the judge refused our own plan

`ANSWERS` maps them to what the command line answers (0 done, 1 answered "refused", 2 unusable input, 3 our defect) and
to what a page answers, the status codes of [rfc-9110] 15.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

Figures: TypeAlias = Mapping[str, tuple[float | tuple[float, ...], str]]
"""Numbers by name, in SI, each with its quantity; several of one quantity are read out as a list."""


class SagwrightError(Exception):
    """Base of every error raised on purpose."""


class InputError(SagwrightError):
    """One fault in what was written, with everything needed to put it right.

    Parameters
    ----------
    rule : str
        What must hold, as a clause: "must be a length, like 31.8 mm".
    value : str or None
        What was written instead, as written; None when nothing was.
    remedy : str
        What to do next, as a sentence.
    file, line, field : str, int, str, or None
        Where: path as given, line counted from 1, and the key's path ("spring.bore").
    figures : mapping of str to (float or tuple of float, str)
        Numbers of the texts above by the name that stands for each in braces, "{travel}": in SI, with their quantity.
        `units.worded` puts them in, in the units of who reads it.
    """

    def __init__(
        self,
        rule: str,
        *,
        value: str | None = None,
        remedy: str = "",
        file: str | None = None,
        line: int | None = None,
        field: str | None = None,
        figures: Figures | None = None,
    ) -> None:
        self.figures: Figures = figures or {}
        self.rule = rule
        self.value = value
        self.remedy = remedy
        self.file = file
        self.line = line
        self.field = field
        super().__init__(rule)

    def at(self, *, file: str | None, line: int | None, field: str | None) -> InputError:
        """The same fault with its place filled in; places it already knows are kept."""
        return type(self)(
            self.rule,
            value=self.value,
            remedy=self.remedy,
            file=self.file or file,
            line=self.line or line,
            field=self.field or field,
            figures=self.figures,
        )

    def filled(self, texts: Mapping[str, str]) -> InputError:
        """The same fault with texts in the place of its figures."""

        def put_in(text: str) -> str:
            for name, shown in texts.items():
                text = text.replace(f"{{{name}}}", shown)
            return text

        value = None if self.value is None else put_in(self.value)
        rule, remedy = put_in(self.rule), put_in(self.remedy)
        return type(self)(rule, value=value, remedy=remedy, file=self.file, line=self.line, field=self.field)

    def __str__(self) -> str:
        if self.figures:
            return str(self.filled({name: str(number) for name, (number, _) in self.figures.items()}))
        place = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        got = f", got {shortened(self.value)!r}" if self.value is not None else ""
        subject = f"{self.field} {self.rule}" if self.field else self.rule
        sentence = f"{subject}{got}."
        head = f"{place}: " if place else ""
        return f"{head}{sentence} {self.remedy}".strip()


class UnreadableFile(InputError):
    """The file cannot be read as what it should be."""


class UnknownKey(InputError):
    """A key that nothing reads."""


class MissingValue(InputError):
    """A value that must be given and is not."""


class WrongUnit(InputError):
    """Not a number with a unit of the quantity asked for."""


class OutOfRange(InputError):
    """A number or name outside what is possible or offered."""


class InputErrors(SagwrightError):
    """All the faults of one reading, in the order of their lines.

    Attributes
    ----------
    errors : tuple of InputError
    """

    def __init__(self, errors: tuple[InputError, ...]) -> None:
        self.errors = tuple(sorted(errors, key=lambda e: (e.file or "", e.line or 0)))
        super().__init__("\n".join(str(e) for e in self.errors))


class NoSolution(SagwrightError):
    """A computation has no answer, or stopped before it was good enough to return."""


class RecordError(SagwrightError):
    """The store could not keep or give back a record: a sentence, and what to do next as another."""

    def __init__(self, sentence: str, *, remedy: str = "") -> None:
        self.sentence = sentence
        self.remedy = remedy
        super().__init__(f"{sentence} {remedy}".strip())


class NotThere(RecordError):
    """There is no record under that name."""


class NotNow(RecordError):
    """Where the job stands, this cannot be recorded."""


class Conflict(RecordError):
    """Somebody else was quicker, or one id came with two contents; nothing was overwritten."""


class StoreFailed(RecordError):
    """The place where records are kept is full, read-only, locked, unreachable, damaged, or of a newer program."""


class NotAllowed(SagwrightError):
    """Someone may not do this."""


class Defect(SagwrightError):
    """Our own fault: the judge refused a plan of our own making.

    Parameters
    ----------
    told : str
        What went wrong.
    rule, step, reason : str or None
        The rule that was broken, the key of the step that breaks it, and what is wrong, where the judge refused.
    """

    def __init__(
        self, told: str = "", *, rule: str | None = None, step: str | None = None, reason: str | None = None
    ) -> None:
        self.rule = rule
        self.step = step
        self.reason = reason
        super().__init__(told)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a kind of error ends in: the exit code of a command, and the status code of a page."""

    exit_code: int
    status: int


ANSWERS: Final[dict[type[SagwrightError], Answer]] = {
    InputError: Answer(2, 422),
    InputErrors: Answer(2, 422),
    NoSolution: Answer(2, 422),
    RecordError: Answer(2, 400),
    NotThere: Answer(2, 404),
    NotNow: Answer(1, 409),
    Conflict: Answer(1, 409),
    StoreFailed: Answer(2, 503),
    NotAllowed: Answer(1, 403),
    Defect: Answer(3, 500),
}


def exit_code(error: SagwrightError) -> int:
    """What the command line answers for an error: the code of its nearest listed kind."""
    return _answer(error).exit_code


def status_code(error: SagwrightError) -> int:
    """What a page answers for an error."""
    return _answer(error).status


def _answer(error: SagwrightError) -> Answer:
    return next(ANSWERS[kind] for kind in type(error).__mro__ if kind in ANSWERS)


def shortened(text: str, most: int = 80) -> str:
    """Text cut to a length that fits a sentence."""
    return text if len(text) <= most else text[: most - 1] + "…"
