"""Write a sheet: import it, check it line by line as it is typed, and keep it as a new revision."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.errors import InputError, InputErrors, MissingValue, NotThere, OutOfRange, UnreadableFile
from sagwright.formats.sheet.catalogue import SHEET_NAME, shipped_text
from sagwright.formats.source.reader import LARGEST_FILE
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.sheets import sheet_lines
from sagwright.service.sheets import Checked, add_sheet, check_draft, list_revisions
from sagwright.web.http.form import Form
from sagwright.web.http.page import Cell, Page, respond
from sagwright.web.http.request import PageRequest, get, post, to

LONGEST_KEY: Final = 100
SPARE: Final = 3  # empty lines at the end, to write on
_START: Final = """\
shape: sheet/1
extends: air-fork/spacer-stack
maker:
model:
revision: 1
origin: measured

chassis:
  standard: {longest: 150 mm, travels: 120..150 mm, every: 10 mm}
"""


@dataclass(frozen=True, slots=True)
class LineFault:
    """One fault: its line, 0 where it has none or lies in what the sheet extends, and a sentence."""

    line: int
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EditPage(Page):
    """A sheet as text, with what is wrong with it.

    Attributes
    ----------
    key, text : str
    lines : tuple of int
        The number of every line.
    marked : tuple of int
        Lines with a fault.
    faults : tuple of LineFault
    sound : tuple of LabelledLine
        What the sheet says in a few lines, where nothing is wrong with it.
    problem : str
        What else kept it from being kept.
    submission, by : str
    """

    template: ClassVar[str] = "sheets/edit.html"

    key: str
    text: str
    lines: tuple[int, ...]
    marked: tuple[int, ...]
    faults: tuple[LineFault, ...]
    sound: tuple[LabelledLine, ...]
    problem: str
    submission: str
    by: str


def _start(asked: PageRequest) -> Response:
    """An empty sheet, to write or to bring one in."""
    return _edited(asked, "", _START)


def edit(asked: PageRequest) -> Response:
    """A sheet that is there, to change it."""
    key = asked.path["key"]
    kept = list_revisions(asked.shop.records, key)
    text = kept[-1].text if kept else shipped_text(key)
    if text is None:
        raise NotThere(f"There is no sheet {key}.", remedy="Look it up among the sheets.")
    return _edited(asked, key, text)


def check(asked: PageRequest) -> Response:
    """What is wrong with a text; nothing of it is kept."""
    key, text, problem = _sent(asked.form)
    return _edited(asked, key, text, problem)


def _save(asked: PageRequest) -> Response:
    """Keep a text as a sheet's new revision; where that cannot be, the text stays and what is wrong stands beside."""
    key, text, problem = _sent(asked.form)
    problem = problem or _wrong_key(key)
    if problem:
        return _edited(asked, key, text, problem, status=422)
    try:
        made = add_sheet(asked.shop.records, key, text, asked.submission())
    except (InputError, InputErrors) as error:
        found = check_draft(asked.shop.records, key, text)
        return _edited(asked, key, text, "" if found.faults else str(error), status=422)
    return to(f"/sheets/revision/{made.id}?done=Saved.")


def _sent(form: Form) -> tuple[str, str, str]:
    """Key, text and what is wrong with how it was sent; a file comes before what was typed."""
    key, typed, upload = form.text("key")[:LONGEST_KEY], form.raw("text"), form.upload("file")
    if upload is None or not upload.data:
        return key, typed, _too_long(typed.encode())
    if problem := _too_long(upload.data):
        return key, typed, problem
    try:
        return key, upload.data.decode("utf-8-sig").replace("\r\n", "\n"), ""
    except UnicodeDecodeError:
        fault = UnreadableFile("must be UTF-8 text", value=upload.name, remedy="Save it again with the encoding UTF-8.")
        return key, typed, str(fault)


def _too_long(data: bytes) -> str:
    if len(data) <= LARGEST_FILE:
        return ""
    return str(OutOfRange("must not be larger than 1 MB", field="sheet", value=f"{len(data) / 1e6:.1f} MB"))


def _wrong_key(key: str) -> str:
    if not key:
        return str(MissingValue("must be given", field="key", remedy="Write one like maker/model."))
    if not SHEET_NAME.fullmatch(key):
        return str(OutOfRange("must be small letters, digits and dashes, like maker/model", field="key", value=key))
    return ""


def _edited(asked: PageRequest, key: str, text: str, problem: str = "", *, status: int = 200) -> Response:
    found = check_draft(asked.shop.records, key or "new", text)
    faults = tuple(_fault(one, key or "new") for one in found.faults)
    page = EditPage(
        frame=asked.frame("Write a sheet", "Sheets", block=(Cell("sheet", key or "new"), _state(found))),
        key=key,
        text=text,
        lines=tuple(range(1, text.count("\n") + 1 + SPARE)),
        marked=tuple(sorted({fault.line for fault in faults if fault.line})),
        faults=faults,
        sound=() if found.sheet is None else sheet_lines(found.sheet, asked.choice),
        problem=problem,
        submission=asked.form.text("submission") or asked.shop.new_id(),
        by=asked.form.text("by") or asked.by,
    )
    return respond(page, status=status)


def _state(found: Checked) -> Cell:
    return Cell("state", "not kept; no faults" if found.sheet else f"not kept; {len(found.faults)} to put right")


def _fault(error: InputError, key: str) -> LineFault:
    """A fault by its line in this text; one in what it extends says where that is."""
    here = error.file in {None, f"{key}.yaml"}
    said = (
        str(InputError(error.rule, value=error.value, remedy=error.remedy, field=error.field)) if here else str(error)
    )
    return LineFault(error.line or 0 if here else 0, said)


ROUTES = (
    get("/sheets/new", _start),
    get("/sheets/edit/{key:path}", edit),
    post("/sheets/check", check),
    post("/sheets/save", _save),
)
