"""The second half, in a browser and without: a step at a time, held keys, breaks, tablets, no network, findings."""

from __future__ import annotations

import contextlib
import re
import shutil
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page, expect, sync_playwright
from starlette.testclient import TestClient

from sagwright.domain.plan import Step
from sagwright.domain.records.payloads import Recorded
from sagwright.domain.records.stages import Stage
from sagwright.service.looking import open_job, open_job_numbered
from sagwright.service.stand import at_the_stand
from sagwright.service.taking_in import Arrival, come_back
from sagwright.service.workshop import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.shop import Shop
from tests.web.chromium import FLAGS, installed
from tests.web.conftest import Opener, served
from tests.web.shop import NOW, arrival_of, at_the_stand_from, work_until
from tests.workshops import Person

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

    def until(self, step: str) -> None:
        """Work as planned until a step is next."""
        kim = Person("Kim", said=100, start=self.clock.at - timedelta(minutes=145))
        work_until(self.store, open_job_numbered(self.store, NUMBER).view.card.id, kim, step)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Workshops with one job begun, by the name of its intake, to be copied."""
    made = {}
    for name in ("shorten-t35-bike", "lengthen-p34"):
        made[name] = tmp_path_factory.mktemp("kept") / "workshop.sqlite"
        with open_workshop(made[name]) as store:
            at_the_stand_from(store, Person("Kim", start=NOW - timedelta(minutes=30)), arrival_of(name, "Jo Example"))
    return made


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


@pytest.fixture
def bench(kept: dict[str, Path], tmp_path: Path) -> Iterator[Bench]:
    """A bench with a fork on it whose travel is shortened."""
    with bench_on(kept["shorten-t35-bike"], tmp_path) as made:
        yield made


@pytest.fixture
def address(bench: Bench) -> Iterator[str]:
    """The same, served to browsers."""
    with served(create_app(Shop(bench.store, now=bench.clock))) as at:
        yield f"{at}/jobs/{NUMBER}/bench"


AT_GATE = {"tag_hung": "yes", "pressure_found": "78", "exposed_found": "150", "damage_found": "yes"}


def test_a_gate_wants_every_reading(bench: Bench) -> None:
    assert bench.step == "off:readings"
    assert bench.post("bench/do", step="off:readings") == 422
    assert bench.post("bench/do", step="off:readings", **(AT_GATE | {"exposed_found": "much"})) == 422
    assert bench.state() == ()
    assert bench.post("bench/do", step="off:readings", **AT_GATE) == 303
    assert bench.state() == ("off:readings",)


def test_a_reading_outside_its_limits_passes_nothing_and_what_was_typed_stays(bench: Bench) -> None:
    bench.until("off:air_charge")
    sent = {"moves_and_stays": "yes", "silent": "yes", "pressure_empty": "9", "step": "off:air_charge", "by": "Kim"}
    answer = bench.client.post(f"/jobs/{NUMBER}/bench/do", data=sent)
    assert answer.status_code == 422
    assert "outside its limits" in answer.text
    assert 'value="9"' in answer.text
    assert bench.post("bench/do", **(sent | {"pressure_empty": "0", "moves_and_stays": "no"})) == 422
    assert bench.post("bench/do", **(sent | {"pressure_empty": "0"})) == 303


def test_what_is_told_in_words_is_asked_in_words(bench: Bench) -> None:
    field = re.search(r'<input class="in-words"[^>]*name="damage_found"', bench.page)
    assert field
    assert not re.search(r'type="radio" name="damage_found"', bench.page)
    assert bench.post("bench/do", step="off:readings", **(AT_GATE | {"damage_found": "no dents, one scratch"})) == 303
    readings = {one.key: one for one in _last(bench).readings}
    assert readings["damage_found"].said == "no dents, one scratch"
    assert readings["damage_found"].passes


def _last(bench: Bench) -> Recorded:
    payload = open_job_numbered(bench.store, NUMBER).view.entries[-1].payload
    assert isinstance(payload, Recorded)
    return payload


def test_an_extra_that_the_owner_says_yes_to_joins_the_work(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    page = bench.client.get(f"/jobs/{NUMBER}/bench/wrong").text
    assert 'name="tasks" value="wipers"' in page
    before = len(_left(bench))
    asked = {"what": "extra", "then": "wait", "ask": "new wipers", "amount": "40", "tasks": "wipers"}
    assert bench.post("bench/wrong", **asked) == 303
    assert "A yes adds to the work" in bench.client.get(f"/jobs/{NUMBER}/bench/wrong").text
    assert bench.post("bench/resume", yes="yes", who="Jo", when="2026-03-04", submission="their-answer") == 303
    assert len(_left(bench)) > before
    assert any("wipers" in step.key for step in _left(bench))


def test_a_step_is_recorded_once_in_its_order(bench: Bench) -> None:
    one = {"step": "off:readings", "submission": "first-tap", **AT_GATE}
    assert [bench.post("bench/do", **one), bench.post("bench/do", **one)] == [303, 303]
    late = bench.client.post(f"/jobs/{NUMBER}/bench/do", data={"by": "Kim", **one, "submission": "second-tap"})
    assert late.status_code == 409
    assert f'href="/jobs/{NUMBER}/bench">To the bench' in late.text
    assert bench.post("bench/do", step="on:lowers", submission="too-early") == 409
    assert bench.state() == ("off:readings",)


@pytest.mark.parametrize(("hours", "by"), [(14, "Kim"), (0, "Lou")])
def test_after_a_night_or_in_other_hands_charge_and_torques_are_proven_first(bench: Bench, hours: int, by: str) -> None:
    bench.until("off:rebound_knob")
    bench.clock.at += timedelta(hours=hours)
    bench.client.cookies.set("by", by)
    assert "proven again first" in bench.page
    assert bench.post("bench/do", step="off:rebound_knob", by=by) == 409
    assert bench.post("bench/go-on", by=by) == 422
    assert bench.post("bench/go-on", by=by, tick="yes") == 303
    assert bench.step == "measure:again:air_charge"
    again = {f"{name}_again_air_charge_1": said for name, said in (("pressure", "0"), ("state", "yes"))}
    again["step"] = bench.step
    assert bench.post("bench/do", by=by, **again) == 303
    assert bench.step == "off:rebound_knob"
    assert bench.state()[-2:] == ("break:1", "measure:again:air_charge")


def test_a_torque_done_before_a_break_is_proven_again(bench: Bench) -> None:
    bench.until("on:rebound_knob")
    bench.clock.at += timedelta(hours=14)
    assert bench.post("bench/go-on", tick="yes") == 303
    work = at_the_stand(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    again = [step.item for step in work.steps if step.key.startswith("measure:again")]
    assert {"air_charge", "spring_foot_fastener", "damper_foot_fastener"} <= set(again)
    assert all(step.gate for step in work.steps if step.key.startswith("measure:again"))


def test_what_is_found_not_good_is_renewed(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    looked = {"cap_seal": "not good", "cap_thread": "good", "step": "inspect:air_cap"}
    assert bench.post("bench/do", **looked) == 303
    work = at_the_stand(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    fitted = next(step for step in work.steps if step.key == "on:air_cap")
    assert "cap seal" in [part.name for part in fitted.renew]
    assert "inspect:air_cap" in bench.state(Stage.BENCH)


def test_a_no_takes_it_back_and_plans_without_it(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    wrong = {"what": "cap_seal", "step": "inspect:air_cap", "then": "wait", "ask": "a new seal", "amount": "12"}
    assert bench.post("bench/wrong", **wrong) == 303
    assert "The work waits for the owner." in bench.page
    assert "a new seal" in bench.page
    assert bench.post("bench/do", step="inspect:air_cap", cap_seal="good", cap_thread="good") == 409
    no = {"yes": "no", "who": "Jo", "when": "2026-03-04", "answer": "leave it", "drop": "yes"}
    assert bench.post("bench/resume", **no) == 303
    work = at_the_stand(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    fitted = next(step for step in work.steps if step.key == "on:air_cap")
    assert "cap seal" not in [part.name for part in fitted.renew]
    assert bench.step == "inspect:air_cap"


def test_an_extra_waits_for_its_yes_and_is_then_in_the_rest(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    ask = {"what": "extra", "then": "wait", "ask": "the damper is empty", "amount": "60", "tasks": "damper"}
    assert bench.post("bench/wrong", **ask | {"tasks": "measure"}) in (400, 422)
    assert bench.post("bench/wrong", **ask) == 303
    yes = {"yes": "yes", "who": "Jo", "when": "2026-03-04", "answer": "go on"}
    assert bench.post("bench/resume", **yes) == 303
    work = at_the_stand(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    assert {"off:damper", "on:damper"} <= {step.key for step in work.steps}
    assert bench.step == work.steps[0].key


def test_a_crack_ends_the_work_and_the_unit_is_refused(bench: Bench) -> None:
    bench.until("inspect:lowers")
    good = dict.fromkeys(("coating", "bushing_play", "wipers_look"), "good")
    assert bench.post("bench/do", step="inspect:lowers", castings="not good", **good) == 303
    assert "The work ends here" in bench.page
    assert bench.post("bench/do", step="on:air_shaft") == 409
    away = {"words": "cracked at the arch", "then": "refuse"}
    assert bench.post("bench/wrong", **away) == 303
    bench.state(Stage.REFUSED)
    assert "Do not ride" in bench.client.get(f"/jobs/{NUMBER}/tag").text


def test_what_is_inside_plans_the_rest_anew(bench: Bench) -> None:
    bench.until("change:volume_spacers")
    before = [step.key for step in _left(bench)]
    assert bench.post("bench/do", step="change:volume_spacers", found_volume_spacers="0") == 303
    after = _left(bench)
    assert "change:volume_spacers" in before
    assert bench.step == after[0].key
    view = open_job_numbered(bench.store, NUMBER).view
    assert view.state.fact("as_found.volume_spacers") in {"0", "1"}


def _left(bench: Bench) -> tuple[Step, ...]:
    return at_the_stand(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id).steps


def test_a_correction_stands_beside_what_it_corrects(bench: Bench) -> None:
    bench.post("bench/do", step="off:readings", **AT_GATE)
    ordinal = open_job_numbered(bench.store, NUMBER).view.card.entries
    name = "r1"
    assert bench.post(f"entries/{ordinal}", **{name: "80"}, note="misread") == 303
    page = bench.client.get(f"/jobs/{NUMBER}/entries/{ordinal}").text
    assert "78 psi" in page
    assert "80 psi" in page
    assert "misread" in page
    assert bench.post(f"entries/{ordinal}", reason="not done yet", submission="withdrawal") == 303
    assert bench.step == "off:readings"


def test_a_step_that_others_stand_on_cannot_be_withdrawn(bench: Bench) -> None:
    bench.until("off:rebound_knob")
    ordinal = next(
        line.entry.ordinal
        for line in open_job_numbered(bench.store, NUMBER).view.state.lines
        if isinstance(line.payload, Recorded)
    )
    assert bench.post(f"entries/{ordinal}", reason="mistake") == 422
    assert len(bench.state()) == 3


@pytest.mark.parametrize("name", ["shorten-t35-bike", "lengthen-p34"])
def test_from_the_bench_to_hand_over(kept: dict[str, Path], tmp_path: Path, name: str) -> None:
    with bench_on(kept[name], tmp_path) as bench:
        bench.until("end")
        assert "Every step is done" in bench.page
        assert bench.post("prove", then="proven") == 422
        page = bench.client.get(f"/jobs/{NUMBER}/prove").text
        exposed, pressure = ("-20", "96") if name == "shorten-t35-bike" else ("20", "103.1")
        back = {f"back_{one}": "yes" for one in re.findall(r'name="back_(\w+)"', page)}
        assert len(back) == 8
        assert bench.post("prove", exposed_change=exposed, pressure_before=pressure, pressure_after="70") == 303
        page = bench.client.get(f"/jobs/{NUMBER}/prove").text
        assert "not cycled through the equaliser" in page
        assert bench.post("prove", then="proven", **back) == 422
        assert bench.post("prove", then="proven", pressure_after=pressure, **back) == 303
        bench.state(Stage.HAND_OVER)
        page = bench.client.get(f"/jobs/{NUMBER}/hand-over").text
        assert "Jo Example" in page
        assert bench.post("hand-over", accepted="yes") == 422
        assert bench.post("hand-over", accepted="yes", how="the owner, in person") == 303
        bench.state(Stage.HANDED_OVER)
        assert "Accepted: Jo Example, in person" in bench.client.get(f"/jobs/{NUMBER}/hand-over").text
        unit = open_job_numbered(bench.store, NUMBER).unit.id
        assert "handed over" in bench.client.get(f"/units/{unit}").text


def test_eight_benches_on_one_job_lose_double_and_mix_nothing(bench: Bench) -> None:
    bench.until("off:rebound_knob")
    before = len(bench.state())
    statuses: list[int] = []

    def tablet(number: int) -> None:
        for turn in range(6):
            if step := bench.step:
                statuses.append(bench.post("bench/do", step=step, submission=f"tablet-{number}-{turn}"))

    threads = [threading.Thread(target=tablet, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    done = bench.state()
    assert len(done) == len(set(done)) == before + statuses.count(303)
    assert set(statuses) <= {303, 409, 422}
    view = open_job_numbered(bench.store, NUMBER).view
    assert [entry.ordinal for entry in view.entries] == list(range(1, len(view.entries) + 1))


def test_a_comeback_and_its_first_visit_stand_in_one_history(bench: Bench) -> None:
    bench.until("inspect:lowers")
    assert bench.post("bench/wrong", words="creaks", then="refuse") == 303
    again = Arrival(owner="", sheet="", facts=(("wish.travel", "150 mm"),), symptoms="knocks")
    first = open_job_numbered(bench.store, NUMBER)
    view = come_back(bench.store, first.view.card.id, again, Person("Kim", said=500)())
    page = bench.client.get(f"/units/{first.unit.id}").text
    assert f"Job {view.card.number}" in page
    assert f"job {NUMBER}" in page
    assert "creaks" in page


def test_scrapped_says_so_on_its_tag(bench: Bench) -> None:
    assert bench.post("bench/wrong", words="bent", then="scrap") == 303
    bench.state(Stage.SCRAPPED)
    assert "Scrap: do not use" in bench.client.get(f"/jobs/{NUMBER}/tag").text


def test_a_photo_comes_with_a_reading(bench: Bench) -> None:
    photo = {"photo": ("gauge.png", one_pixel(), "image/png")}
    sent = {"by": "Kim", "step": "off:readings", **AT_GATE}
    assert bench.client.post(f"/jobs/{NUMBER}/bench/do", data=sent, files=photo).status_code == 303
    assert len(open_job_numbered(bench.store, NUMBER).view.state.photos) == 1


def one_pixel() -> bytes:
    """A picture."""
    from PIL import Image

    held = BytesIO()
    Image.new("RGB", (8, 8)).save(held, "PNG")
    return held.getvalue()


TOGETHER, SECONDS, SHARED = 8, 120.0, 12


@pytest.mark.long
def test_eight_browsers_for_two_minutes(bench: Bench, address: str) -> None:
    """Each in a browser of its own, two on each job, job after job: nothing lost, doubled or out of order."""
    home = address.removesuffix(f"/jobs/{NUMBER}/bench")
    kim, pairs = Person("Kim", said=1000, start=NOW - timedelta(minutes=20)), TOGETHER // 2
    arrivals = [arrival_of("shorten-t35-bike", f"Owner {number}") for number in range(SHARED * pairs)]
    ids = [at_the_stand_from(bench.store, kim, arrival) for arrival in arrivals]
    benches = [f"{home}/jobs/{open_job(bench.store, one).view.card.number}/bench" for one in ids]
    until = time.monotonic() + SECONDS
    with ThreadPoolExecutor(TOGETHER) as tablets:
        told = [*tablets.map(lambda number: _works(benches[number // 2 :: pairs], until), range(TOGETHER))]
    assert not any(told), "the work ran out"
    assert sum(_require_whole(bench.store, one) for one in ids) > 100


def _works(benches: list[str], until: float) -> bool:
    """Work at one bench after the other for a time; whether the work ran out before."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=installed(), args=list(FLAGS))
        page = opened.new_page()
        page.context.add_cookies([{"name": "by", "value": "Kim", "url": benches[0]}])
        for bench in benches:
            page.goto(bench)
            while time.monotonic() < until and page.locator("[data-next]").count():
                _passed(page)
        opened.close()
    return time.monotonic() < until


def _require_whole(store: Workshop, job: str) -> int:
    """Each step of a job stands once, after what it needs, and no entry is missing; how many steps are done."""
    view = open_job(store, job).view
    assert len(view.state.done) == len(set(view.state.done))
    assert [entry.ordinal for entry in view.entries] == list(range(1, len(view.entries) + 1))
    assert len(at_the_stand(store, job).done) == len(view.state.done)
    return len(view.state.done)


def _passed(page: Page) -> None:
    """One step as a person passes it: what is asked is entered, then the button is pressed."""
    for value in ("good", "yes"):
        for radio in page.locator(f"input[type=radio][value={value}]").all():
            with contextlib.suppress(PlaywrightError):
                radio.evaluate("radio => radio.click()", timeout=500)
    for number in page.locator(".read input[data-label]").all():
        with contextlib.suppress(PlaywrightError):
            low, high = number.get_attribute("data-least"), number.get_attribute("data-most")
            ends = [float(end) for end in (low, high) if end]
            number.fill(f"{sum(ends) / len(ends):g}" if ends else "5", timeout=500)
    with contextlib.suppress(PlaywrightError):
        page.locator("[data-next]").click(timeout=1_000)
    page.wait_for_timeout(400)


# in a browser


def step_of(page: Page) -> str:
    return page.locator("input[name=step]").input_value()


def test_no_gate_is_passed_by_a_key_or_by_holding_one(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address)
    for key in ("PageDown", "Space", "ArrowRight", "Enter"):
        page.keyboard.down(key)
        for _ in range(30):
            page.keyboard.down(key)  # a held key repeats
        expect(page.locator(".count")).not_to_have_text(re.compile("gate"))
        page.wait_for_timeout(250)
        page.keyboard.up(key)
    done = bench.state()
    assert len(done) <= 3 + 4  # one step for each key that was pressed, however long it was held
    assert len(done) > 3


def test_a_held_key_stops_before_a_gate_with_its_readings_empty(bench: Bench, address: str, open_page: Opener) -> None:
    page = open_at(open_page, address)
    for key in ("PageDown", "Space", "Enter", "ArrowRight"):
        for _ in range(20):
            page.keyboard.down(key)
        page.keyboard.up(key)
        page.locator("main").focus()
    assert bench.state() == ()
    assert page.locator("#pressure_found").input_value() == ""


def test_the_other_tablet_sees_it_within_two_seconds(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    one, other = open_at(open_page, address), open_at(open_page, address)
    one.keyboard.press("PageDown")
    expect(other.locator("input[name=step]")).to_have_value("off:spring_foot_fastener", timeout=2_000)
    expect(one.locator("input[name=step]")).to_have_value("off:spring_foot_fastener")


def test_with_the_network_gone_an_entry_waits_and_is_sent_once(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address)
    page.context.set_offline(True)
    page.get_by_role("button", name="Done, next").click()
    expect(page.locator("[data-said]")).to_contain_text("waits in this page")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert len(bench.state()) == 3
    page.context.set_offline(False)
    expect(page.locator("input[name=step]")).to_have_value("off:spring_foot_fastener")
    expect(page.locator("[data-said]")).to_contain_text("sent once")
    assert bench.state()[3:] == ("off:rebound_knob",)


def test_limits_are_said_at_once_and_presets_fill(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:air_charge")
    page = open_at(open_page, address)
    page.locator("#pressure_empty").fill("9")
    expect(page.locator("[data-limit=pressure_empty]")).to_contain_text("Outside its limits")
    page.get_by_role("button", name="zero").click()
    expect(page.locator("#pressure_empty")).to_have_value("0")
    expect(page.locator("[data-limit=pressure_empty]")).to_be_hidden()


def test_it_works_without_script(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address, script=False)
    page.get_by_role("button", name="Done, next").click()
    assert step_of(page) == "off:spring_foot_fastener"
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Entry")


def open_at(open_page: Opener, address: str, *, script: bool = True) -> Page:
    """A tablet of Kim's at a server of its own."""
    page = open_page("/sheets", script=script)
    page.context.unroute("**/*")
    page.context.add_cookies([{"name": "by", "value": "Kim", "url": address}])
    page.goto(address)
    return page
