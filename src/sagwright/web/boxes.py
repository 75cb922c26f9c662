"""Fields of a form as a page shows them: what was typed, and what is wrong with it, beside the field."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sagwright.errors import InputError, InputErrors, SagwrightError
from sagwright.web.form import Form

UNSAFE: Final = re.compile(r"[^A-Za-z0-9]+")


@dataclass(frozen=True, slots=True)
class Pick:
    """One of a few values: what is sent, what is shown, a word more, and whether it is chosen."""

    value: str
    text: str
    more: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Box:
    """One field.

    Attributes
    ----------
    name, label : str
    kind : str
        "text", "lines", "day", "picks" (one touch each), "list" (a long choice), "tick".
    value : str
        As typed; empty until somebody types.
    hint : str
        Unit, or an example.
    wrong : str
        What is wrong with it, and what to do.
    picks : tuple of Pick
    unknown : str
        The words that may stand instead of a value: "not measured". Empty if none may.
    untold : bool
        Whether they do.
    first : bool
        Whether a reader begins here: the first that is wrong.
    scope : str
        Which form of its page it stands in, where several have a field of that name.
    """

    name: str
    label: str
    kind: str = "text"
    value: str = ""
    hint: str = ""
    wrong: str = ""
    picks: tuple[Pick, ...] = ()
    unknown: str = ""
    untold: bool = False
    first: bool = False
    scope: str = ""

    @property
    def key(self) -> str:
        """What it is called in the page."""
        return UNSAFE.sub("-", f"f-{self.scope}-{self.name}" if self.scope else f"f-{self.name}")


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong with a form, and the field it is about; empty for the whole."""

    key: str
    text: str


Wrongs = Mapping[str, str]
"""What is wrong, by the name of the field; "" is the whole form."""


def wrongs_of(error: SagwrightError, fields: Mapping[str, str] | None = None) -> dict[str, str]:
    """What an error says, by field; `fields` gives the name in the form for that in the error."""
    errors = error.errors if isinstance(error, InputErrors) else (error,)
    told: dict[str, str] = {}
    for one in errors:
        field = one.field if isinstance(one, InputError) else ""
        name = (fields or {}).get(field, field) if field else ""
        text = said(one) if name else str(one)
        told[name] = f"{told[name]} {text}" if name in told else text
    return told


def said(error: SagwrightError) -> str:
    """An error beside its field, which need not be named again."""
    if not isinstance(error, InputError):
        return str(error)
    return f"{error.rule[:1].upper()}{error.rule[1:]}. {error.remedy}".strip()


def faults_of(wrongs: Wrongs, boxes: Mapping[str, Box]) -> tuple[Fault, ...]:
    """The list above a form: what is wrong in the order of its fields, then what belongs to none of them."""
    known = [Fault(box.key, f"{box.label}: {wrongs[name]}") for name, box in boxes.items() if name in wrongs]
    return (*known, *(Fault("", text) for name, text in wrongs.items() if name not in boxes))


def picks(options: Mapping[str, str], value: str) -> tuple[Pick, ...]:
    """A few values to choose from, by what is sent."""
    return tuple(Pick(sent, text, "", sent == value) for sent, text in options.items())


def form_of(typed: Mapping[str, str]) -> Form:
    """A form from what was kept of it."""
    return Form(tuple(typed.items()))
