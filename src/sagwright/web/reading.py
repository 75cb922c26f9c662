"""A form on its way to a record."""

from __future__ import annotations

from dataclasses import dataclass, field

from sagwright.domain.sheet import Sheet
from sagwright.errors import InputError
from sagwright.units import Choice
from sagwright.web.boxes import said
from sagwright.web.form import Form


@dataclass
class Reading:
    """A form on its way to a record.

    Attributes
    ----------
    form : Form
    choice : Choice
        The units that stood beside the fields.
    sheet : Sheet or None
        Of the chosen family.
    wrongs : dict of str to str
        What is wrong so far, by field.
    """

    form: Form
    choice: Choice
    sheet: Sheet | None
    wrongs: dict[str, str] = field(default_factory=dict)

    def wrong(self, name: str, error: InputError) -> None:
        """One more thing that is wrong; a field says the first."""
        self.wrongs.setdefault(name, said(error))
