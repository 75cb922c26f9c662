"""Jobs as JSON: one ("job/1"), lists ("jobs/1"), a unit's history ("history/1"), a customer's data ("customer/1")."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, Final

from sagwright.domain.records.entities import Bicycle, Customer, KnownUnit, Visit
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import Difference, JobCard, JobState, JobView
from sagwright.formats.codec import Codec, Coder, Row
from sagwright.formats.json_text import dump_json
from sagwright.formats.records.entries import payload_to_text

_SHAPE: Final = "customer/1"

_JOB: Final = "job/1"
JOBS: Final = "jobs/1"
HISTORY: Final = "history/1"

ROWS: Final[dict[Any, Row | Coder]] = {
    Entry: Row("id ordinal at by note corrects payload"),
    (Entry, "payload"): Coder(lambda payload: json.loads(payload_to_text(payload))),
    JobCard: Row(
        "id number visit customer customer_name unit serial sheet chassis bicycle stage on_hold on_hold_what holder due"
        " checked_in updated comeback_of entries=entry_count"
    ),
    JobState: Row("facts tasks symptoms steps_left done"),
    (JobState, "facts"): Coder(dict),
    JobView: Row("card state entries", inline="card state"),
}
CODEC: Final = Codec(ROWS, bare=True)
OF_CUSTOMER: Final = Codec(
    ROWS | {JobCard: Row("id number visit unit stage"), JobView: Row("card entries", inline="card")}, bare=True
)


def customer_to_json(
    customer: Customer,
    bicycles: Sequence[Bicycle],
    units: Sequence[KnownUnit],
    visits: Sequence[Visit],
    jobs: Sequence[JobView],
) -> str:
    """A customer with everything recorded, as JSON text with a newline at its end."""
    lists = {"bicycles": bicycles, "units": units, "visits": visits, "jobs": jobs}
    said = {key: [OF_CUSTOMER.encode(one) for one in listed] for key, listed in lists.items()}
    return dump_json({"shape": _SHAPE, "customer": OF_CUSTOMER.encode(customer)} | said)


def job_to_json(view: JobView, difference: Difference | None = None) -> str:
    """A job with where it stands and every entry; with how its plan would be another one today, if it would."""
    note = {} if difference is None else {"difference": CODEC.encode(difference)}
    return dump_json({"shape": _JOB} | CODEC.encode(view) | note)


def jobs_to_json(cards: Sequence[JobCard]) -> str:
    """Jobs as lists show them."""
    return dump_json({"shape": JOBS, "jobs": [CODEC.encode(card) for card in cards]})


def history_to_json(units: Sequence[tuple[KnownUnit, Sequence[JobView]]]) -> str:
    """Units with all their jobs."""
    known = [{"unit": CODEC.encode(unit), "jobs": [CODEC.encode(view) for view in views]} for unit, views in units]
    return dump_json({"shape": HISTORY, "units": known})
