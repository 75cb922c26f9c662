"""A workshop with something in every table, and texts that are hard to keep."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Final

from PIL import Image

from sagwright.domain.records.entities import Instrument
from sagwright.domain.records.payloads import Noted, WorkRefused
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.intake import NewBicycle, NewCustomer
from sagwright.service.workshop.customers import erase_customer_of
from sagwright.service.workshop.records import save_draft, save_instrument, save_photo
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, MORNING, Person, on_the_bench, worked_through

NASTY: Final = (
    "'; DROP TABLE jobs; --",
    "<script>alert(1)</script>",
    "=1+1",
    "+49 30 123",
    "\\N",
    "\\\\=x",
    "مرحبا \u202e שלום",
    "🚲🔧",
    'a "quoted", comma\nnew line\r\nand\rreturn\ttab',
    "  blanks  ",
    "é e\u0301",
    "a\u2028b\u0085c",
    "null",
    "\x1b[31mred\x07",
    "x" * 300,
)
"""None of them may change on its way."""


def photo_bytes(colour: str = "red") -> bytes:
    """A small picture."""
    file = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(file, "PNG")
    return file.getvalue()


def fill(store: Store) -> None:
    """Put something into every table."""
    kim = Person("Max")
    save_photo(store, photo_bytes(), kim("../photo"))
    save_instrument(store, Instrument("pump", "shock pump", "Number 1", "1.6 %", "2026-01-10"))
    first = on_the_bench(store, kim, replace(ARRIVAL, bicycle=NewBicycle("Trail bike")))
    worked_through(store, first, kim)
    view = actions.record(store, first.card.id, kim(), what=Noted("crown", ("../photo",)))
    said = view.entries[-1].id
    actions.record(store, first.card.id, kim(note="lowers"), corrects=said, what=Noted("lowers", ("../photo",)))
    for text in NASTY:
        view = check_in(store, replace(ARRIVAL, customer=NewCustomer(text, text), symptoms=text), kim(f"id {text}"))
        save_draft(store, "bench", {"note": text}, kim(f"draft {text}"), job=view.card.id)
    actions.record(store, view.card.id, kim(), what=WorkRefused(NASTY[0]))
    erase_customer_of(store, view.state.customer, at=MORNING, by="Kim")
