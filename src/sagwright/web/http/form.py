"""Forms: what a browser sent, its fields with what is wrong beside each, and its way to a record."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from sagwright.domain.sheet import Sheet
from sagwright.errors import InputError, InputErrors, SagwrightError
from sagwright.units import UnitChoice, worded

UNSAFE: Final = re.compile(r"[^A-Za-z0-9]+")


@dataclass(frozen=True, slots=True)
class Upload:
    """One file: its name as the browser gives it, and its bytes, empty if none was chosen."""

    field: str
    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Form:
    """The fields of a form or a query, in the order they were sent; a name may come more than once."""

    pairs: tuple[tuple[str, str], ...] = ()
    uploads: tuple[Upload, ...] = ()

    def text(self, name: str, default: str = "") -> str:
        """The last text of that name, without blanks around it."""
        return next((text.strip() for key, text in reversed(self.pairs) if key == name), default)

    def raw(self, name: str, default: str = "") -> str:
        """The last text of that name as it was sent, its line ends as \\n."""
        found = next((text for key, text in reversed(self.pairs) if key == name), default)
        return found.replace("\r\n", "\n").replace("\r", "\n")

    def all(self, name: str) -> tuple[str, ...]:
        """Every text of that name."""
        return tuple(text for key, text in self.pairs if key == name)

    def has(self, name: str) -> bool:
        """Whether a field of that name was sent, even empty."""
        return any(key == name for key, _ in self.pairs)

    def upload(self, name: str) -> Upload | None:
        """The file of that name; None if none was chosen."""
        return next((one for one in self.uploads if one.field == name and (one.data or one.name)), None)


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
    not_answered : bool
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
    not_answered: bool = False
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


FieldErrors = Mapping[str, str]
"""What is wrong, by the name of the field; "" is the whole form."""


def field_errors_of(
    error: SagwrightError, choice: UnitChoice, fields: Mapping[str, str] | None = None
) -> dict[str, str]:
    """What an error says, by field; `fields` gives the name in the form for that in the error."""
    told_in = worded(error, choice)
    errors = told_in.errors if isinstance(told_in, InputErrors) else (told_in,)
    told: dict[str, str] = {}
    for one in errors:
        field = one.field if isinstance(one, InputError) else ""
        name = (fields or {}).get(field, field) if field else ""
        text = field_text(one) if name else str(one)
        told[name] = f"{told[name]} {text}" if name in told else text
    return told


def field_text(error: SagwrightError) -> str:
    """An error beside its field, which need not be named again."""
    if not isinstance(error, InputError):
        return str(error)
    return f"{error.rule[:1].upper()}{error.rule[1:]}. {error.remedy}".strip()


def faults_of(wrongs: FieldErrors, boxes: Mapping[str, Box]) -> tuple[Fault, ...]:
    """The list above a form: what is wrong in the order of its fields, then what belongs to none of them."""
    known = [Fault(box.key, f"{box.label}: {wrongs[name]}") for name, box in boxes.items() if name in wrongs]
    return (*known, *(Fault("", text) for name, text in wrongs.items() if name not in boxes))


def pick_buttons(options: Mapping[str, str], value: str) -> tuple[Pick, ...]:
    """A few values to choose from, by what is sent."""
    return tuple(Pick(sent, text, "", sent == value) for sent, text in options.items())


def form_of(typed: Mapping[str, str]) -> Form:
    """A form from what was kept of it."""
    return Form(tuple(typed.items()))


@dataclass
class FormReading:
    """A form on its way to a record.

    Attributes
    ----------
    form : Form
    choice : UnitChoice
        The units that stood beside the fields.
    sheet : Sheet or None
        Of the chosen family.
    wrongs : dict of str to str
        What is wrong so far, by field.
    """

    form: Form
    choice: UnitChoice
    sheet: Sheet | None
    wrongs: dict[str, str] = field(default_factory=dict)

    def wrong(self, name: str, error: InputError) -> None:
        """One more thing that is wrong; a field says the first."""
        self.wrongs.setdefault(name, field_text(error))
