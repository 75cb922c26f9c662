"""What a browser sent: texts by name, and files."""

from __future__ import annotations

from dataclasses import dataclass


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
