"""A job at the stand, for tests: its workshop, a client, and a clock that a test moves."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from starlette.testclient import TestClient

from sagwright.domain.records.stages import Stage
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.web.example_workshop import NOW, work_until
from tests.support.workshops import Person

NUMBER = 1001


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.at = NOW + timedelta(minutes=10)

    def __call__(self) -> datetime:
        return self.at


class Bench:
    """A workshop with one job at the stand, and a client of its own."""

    def __init__(self, store: Workshop, client: TestClient, clock: Clock) -> None:
        self.store, self.client, self.clock = store, client, clock

    @property
    def page(self) -> str:
        """The bench as it is shown."""
        return self.client.get(f"/jobs/{NUMBER}/bench").text

    @property
    def step(self) -> str:
        """The step that the bench asks for."""
        found = re.search(r'name="step" value="([^"]*)"', self.page)
        return found[1] if found else ""

    def state(self, stage: Stage | None = None) -> tuple[str, ...]:
        """The steps done, in their order; the job stands at `stage` if one is given."""
        view = open_job_numbered(self.store, NUMBER).view
        assert stage is None or view.card.stage is stage
        return view.state.done

    def post(self, page: str, **fields: str) -> int:
        """The status of the answer to a form."""
        sent = {"by": "Kim", **{name.replace("__", "."): text for name, text in fields.items()}}
        return self.client.post(f"/jobs/{NUMBER}/{page}", data=sent).status_code

    def refused(self, page: str, **fields: str) -> str:
        """What the answer to a form says that is not taken."""
        answer = self.client.post(f"/jobs/{NUMBER}/{page}", data={"by": "Kim", **fields})
        assert answer.status_code == 422
        return answer.text

    def until(self, step: str) -> None:
        """Work as planned until a step is next."""
        kim = Person("Kim", said=100, start=self.clock.at - timedelta(minutes=145))
        work_until(self.store, open_job_numbered(self.store, NUMBER).view.card.id, kim, step)


@contextmanager
def bench_on(kept: Path, folder: Path) -> Iterator[Bench]:
    """A bench over a copy of a workshop."""
    clock = Clock()
    shutil.copy(kept, folder / "workshop.sqlite")
    with open_workshop(folder / "workshop.sqlite") as store:
        site = create_app(Shop(store, now=clock))
        headers = {"sec-fetch-site": "same-origin"}
        with TestClient(site, base_url="http://127.0.0.1", headers=headers, follow_redirects=False) as client:
            client.cookies.set("by", "Kim")
            yield Bench(store, client, clock)
