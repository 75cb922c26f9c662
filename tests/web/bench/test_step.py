"""The second half, in a browser and without: a step at a time, held keys, breaks, tablets, no network, findings."""

from __future__ import annotations

import re
import threading
from datetime import timedelta
from html import unescape
from io import BytesIO
from pathlib import Path

import pytest

from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import ProblemFound, StepDone
from sagwright.domain.records.stages import Stage
from sagwright.domain.step import Step
from sagwright.service.bench import state
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.actions import check_in_comeback
from sagwright.service.jobs.intake import Arrival
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.store.engine import Transaction
from tests.support.web.bench import NUMBER, Bench, bench_on
from tests.support.web.one_job import hidden_of
from tests.support.workshops import Person

AT_HOLD_POINT = {"tag_hung": "yes", "pressure_found": "78", "exposed_found": "150", "damage_found": "yes"}


def test_a_hold_point_wants_every_reading(bench: Bench) -> None:
    assert bench.step == "off:readings"
    assert bench.post("bench/do", step="off:readings") == 422
    assert bench.post("bench/do", step="off:readings", **(AT_HOLD_POINT | {"exposed_found": "much"})) == 422
    assert bench.state() == ()
    assert bench.post("bench/do", step="off:readings", **AT_HOLD_POINT) == 303
    assert bench.state() == ("off:readings",)


def test_a_tap_computes_the_work_once(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    computed: list[bool] = []
    compute = state._computed

    def counted(transaction: Transaction, view: JobView, tried: tuple[str, ...]) -> object:
        computed.append(True)
        return compute(transaction, view, tried)

    monkeypatch.setattr(state, "_computed", counted)
    fields = {"by": "Kim", "step": bench.step, **hidden_of(bench.page), **AT_HOLD_POINT}
    computed.clear()
    answer = bench.client.post(f"/jobs/{NUMBER}/bench/do", data=fields, follow_redirects=True)
    assert (answer.status_code, bench.state()) == (200, ("off:readings",))
    assert len(computed) == 1


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
    assert (
        bench.post("bench/do", step="off:readings", **(AT_HOLD_POINT | {"damage_found": "no dents, one scratch"}))
        == 303
    )
    readings = {one.key: one for one in _last(bench).readings}
    assert readings["damage_found"].as_typed == "no dents, one scratch"
    assert readings["damage_found"].within_limits


def _last(bench: Bench) -> StepDone:
    payload = open_job_numbered(bench.store, NUMBER).view.entries[-1].payload
    assert isinstance(payload, StepDone)
    return payload


def test_a_step_is_recorded_once_in_its_order(bench: Bench) -> None:
    one = {"step": "off:readings", "submission": "first-tap", **AT_HOLD_POINT}
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
    assert "Check pressure and torques again first" in bench.page
    assert bench.post("bench/do", step="off:rebound_knob", by=by) == 409
    assert bench.post("bench/after-break", by=by) == 422
    assert bench.post("bench/after-break", by=by, tick="yes") == 303
    assert bench.step == "measure:again:air_charge"
    again = {f"{name}_again_air_charge_1": said for name, said in (("pressure", "0"), ("state", "yes"))}
    again["step"] = bench.step
    assert bench.post("bench/do", by=by, **again) == 303
    assert bench.step == "off:rebound_knob"
    assert bench.state()[-2:] == ("break:1", "measure:again:air_charge")


@pytest.mark.parametrize("said", ["no, it is drawn in and hisses", "yes it hisses", "unsure"])
def test_words_alone_do_not_prove_a_unit_empty(bench: Bench, said: str) -> None:
    """A hold point of yes or no is passed by a yes; words stand beside it."""
    bench.until("off:air_charge")
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    sights = [one.key for one in work.steps[0].records if one.quantity is None]
    words = {f"{key}.words": said for key in sights}
    assert bench.post("bench/do", step="off:air_charge", pressure_empty="0", **words) == 422
    assert "off:air_charge" not in bench.state()
    both = words | dict.fromkeys(sights, "yes")
    assert bench.post("bench/do", step="off:air_charge", pressure_empty="0", **both) == 303
    assert "off:air_charge" in bench.state()


def test_a_torque_done_before_a_break_is_rechecked(bench: Bench) -> None:
    bench.until("on:rebound_knob")
    bench.clock.at += timedelta(hours=14)
    assert bench.post("bench/after-break", tick="yes") == 303
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    again = [step.item for step in work.steps if step.key.startswith("measure:again")]
    assert {"air_charge", "spring_foot_fastener", "damper_foot_fastener"} <= set(again)
    assert all(step.hold_point for step in work.steps if step.key.startswith("measure:again"))


def test_what_is_found_not_good_is_renewed(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    looked = {"cap_seal": "not good", "cap_thread": "good", "step": "inspect:air_cap"}
    assert bench.post("bench/do", **looked) == 303
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    fitted = next(step for step in work.steps if step.key == "on:air_cap")
    assert "cap seal" in [part.name for part in fitted.renew]
    assert "inspect:air_cap" in bench.state(Stage.BENCH)


def test_a_no_takes_it_back_and_plans_without_it(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    wrong = {"what": "cap_seal", "step": "inspect:air_cap", "then": "hold", "ask": "a new seal", "amount": "12"}
    assert bench.post("bench/problem", **wrong) == 303
    assert "On hold for the customer." in bench.page
    assert "a new seal" in bench.page
    assert bench.post("bench/do", step="inspect:air_cap", cap_seal="good", cap_thread="good") == 409
    assert "Not allowed without: " in bench.client.get(f"/jobs/{NUMBER}/bench/problem").text
    no = {"yes": "no", "who": "Jo", "when": "2026-03-04", "answer": "leave it", "drop": "yes"}
    assert bench.post("bench/resume", **no) == 303
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    fitted = next(step for step in work.steps if step.key == "on:air_cap")
    assert "cap seal" not in [part.name for part in fitted.renew]
    assert bench.step == "inspect:air_cap"


def test_what_is_found_and_does_not_agree_holds_the_work_until_it_is_looked_at_again(bench: Bench) -> None:
    """Five spacers, where 150 mm were measured and the chassis permits no 100: counted wrong, or measured wrong."""
    bench.until("change:travel_spacers")
    assert bench.post("bench/do", step="change:travel_spacers", found_travel_spacers="5") == 303
    page = bench.page
    assert "The values found contradict each other." in page
    assert "Done, next" not in page
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    assert bench.post("bench/do", step=work.steps[0].key, found_port_position="0") == 409
    entries = open_job_numbered(bench.store, NUMBER).view.entries
    counted = next(one.ordinal for one in reversed(entries) if isinstance(one.payload, StepDone))
    assert bench.post(f"log/{counted}", r0="0", corrections="0") == 303  # it was counted wrong
    assert bench.step == "change:transfer_port"
    assert "does not agree" not in bench.page


def test_what_is_found_otherwise_and_is_so_is_said_and_planned_for(bench: Bench) -> None:
    bench.until("change:travel_spacers")
    assert bench.post("bench/do", step="change:travel_spacers", found_travel_spacers="1") == 303
    assert bench.post("bench/so") == 422
    assert bench.post("bench/so", tick="yes") == 303
    page = bench.page
    assert "What was wished is not possible with what was found" in page  # as it rode: nobody knows any more how
    assert bench.step
    assert bench.post("bench/so", tick="yes") == 303  # a second tap


def test_volume_spacers_found_otherwise_change_the_plan_and_say_so(bench: Bench) -> None:
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    step = next(one for one in work.steps if any(record.key == "found_volume_spacers" for record in one.records))
    bench.until(step.key)
    said = {one.key: "3" if one.key == "found_volume_spacers" else "yes" for one in step.records}
    answer = bench.client.post(f"/jobs/{NUMBER}/bench/do", data={"by": "Kim", "step": step.key} | said)
    assert answer.status_code == 303
    page = unescape(bench.client.get(answer.headers["location"]).text)
    assert re.search(r"What was found changed the plan, from .*2 volume spacers.* to .*", page)


def test_a_no_to_something_else_takes_no_finding_back(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    assert bench.post("bench/problem", words="The crown is scratched.", then="replan") == 303
    assert bench.post("do/hold", reason="parts", what="wipers 35 mm") == 303
    page = bench.client.get(f"/jobs/{NUMBER}/bench/problem").text
    assert 'name="drop"' not in page
    no = {"yes": "no", "who": "Jo", "when": "2026-03-04", "answer": "not in stock", "drop": "yes"}
    assert bench.post("bench/resume", **no) == 303
    lines = open_job_numbered(bench.store, NUMBER).view.state.lines
    assert [one.payload.what for one in lines if isinstance(one.payload, ProblemFound)] == ["The crown is scratched."]


def test_what_is_written_of_damage_at_the_stand_is_handed_over(bench: Bench) -> None:
    step = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id).steps[0]
    said = {one.key: "5" if one.quantity else "yes" for one in step.records}
    damage = next(one.key for one in step.records if one.in_words)
    assert bench.post("bench/do", step=step.key, **said | {damage: "dent in the left lower leg"}) == 303
    bench.until("end")
    page = bench.client.get(f"/jobs/{NUMBER}/final-check").text
    told = {f"back_{one}": "yes" for one in re.findall(r'name="back_(\w+)"', page)} | {"then": "passed"}
    assert bench.post("final-check", exposed_change="-20", pressure_before="96", pressure_after="96", **told) == 303
    page = bench.client.get(f"/jobs/{NUMBER}/hand-over").text
    assert "dent in the left lower leg" in page.split('id="found"')[1].split("</section>")[0]
    assert "Not rideable until" not in page


def test_adjusters_are_set_back_to_what_was_counted(bench: Bench) -> None:
    bench.until("on:adjusters")
    assert re.search(r"Rebound, clicks from closed \(found \d+\)", bench.page)
    assert "as planned" in bench.page


def test_a_finding_or_a_correction_that_is_sent_twice_is_recorded_once(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    wrong = {"step": "inspect:air_cap", "words": "two more", "then": "replan", "volume_spacers": "3"}
    for _ in range(2):
        assert bench.post("bench/problem", submission="found-once-only", **wrong) == 303
    lines = open_job_numbered(bench.store, NUMBER).view.state.lines
    found = [one for one in lines if isinstance(one.payload, ProblemFound)]
    assert len(found) == 1
    here = f"log/{found[0].entry.ordinal}"
    for _ in range(2):
        assert bench.post(here, submission="corrected-once", what="three in all", corrections="0") == 303
    assert bench.post(here, what="four in all", corrections="0") == 409  # an older form
    line = next(one for one in open_job_numbered(bench.store, NUMBER).view.state.lines if one.entry == found[0].entry)
    assert [one.payload.what for one in line.corrections if isinstance(one.payload, ProblemFound)] == ["three in all"]


def test_an_extra_waits_for_its_yes_and_is_then_in_the_rest(bench: Bench) -> None:
    bench.until("inspect:air_cap")
    assert 'name="tasks" value="damper"' in bench.client.get(f"/jobs/{NUMBER}/bench/problem").text
    ask = {"what": "extra", "then": "hold", "ask": "the damper is empty", "amount": "60", "tasks": "damper"}
    assert bench.post("bench/problem", **ask | {"tasks": "measure"}) in (400, 422)
    assert bench.post("bench/problem", **ask) == 303
    assert "Extra work after a yes" in bench.client.get(f"/jobs/{NUMBER}/bench/problem").text
    yes = {"yes": "yes", "who": "Jo", "when": "2026-03-04", "answer": "go on"}
    assert bench.post("bench/resume", **yes) == 303
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    assert {"off:damper", "on:damper"} <= {step.key for step in work.steps}
    assert bench.step == work.steps[0].key


def test_a_crack_ends_the_work_and_the_unit_is_refused(bench: Bench) -> None:
    bench.until("inspect:lowers")
    good = dict.fromkeys(("coating", "bushing_play", "wipers_look"), "good")
    assert bench.post("bench/do", step="inspect:lowers", castings="not good", **good) == 303
    assert "Stop work." in bench.page
    assert bench.post("bench/do", step="on:air_shaft") == 409
    away = {"words": "cracked at the arch", "then": "refuse"}
    assert bench.post("bench/problem", **away) == 303
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
    return bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id).steps


def test_a_correction_stands_beside_what_it_corrects(bench: Bench) -> None:
    bench.post("bench/do", step="off:readings", **AT_HOLD_POINT)
    ordinal = open_job_numbered(bench.store, NUMBER).view.card.entries
    name = "r1"
    assert bench.post(f"log/{ordinal}", **{name: "80"}, note="misread") == 303
    page = bench.client.get(f"/jobs/{NUMBER}/log/{ordinal}").text
    assert "78 psi" in page
    assert "80 psi" in page
    assert "misread" in page
    assert bench.post(f"log/{ordinal}", reason="not done yet", submission="withdrawal") == 303
    assert bench.step == "off:readings"


def test_a_step_that_others_stand_on_cannot_be_withdrawn(bench: Bench) -> None:
    bench.until("off:rebound_knob")
    ordinal = next(
        line.entry.ordinal
        for line in open_job_numbered(bench.store, NUMBER).view.state.lines
        if isinstance(line.payload, StepDone)
    )
    assert bench.post(f"log/{ordinal}", reason="mistake") == 422
    assert len(bench.state()) == 3


@pytest.mark.parametrize("name", ["shorten-t35-bike", "lengthen-p34"])
def test_from_the_bench_to_hand_over(kept: dict[str, Path], tmp_path: Path, name: str) -> None:
    with bench_on(kept[name], tmp_path) as bench:
        bench.until("end")
        assert "All steps are done." in bench.page
        assert bench.post("final-check", then="passed") == 422
        page = bench.client.get(f"/jobs/{NUMBER}/final-check").text
        exposed, pressure = ("-20", "96") if name == "shorten-t35-bike" else ("20", "103.1")
        back = {f"back_{one}": "yes" for one in re.findall(r'name="back_(\w+)"', page)}
        assert len(back) == 8
        assert bench.post("final-check", exposed_change=exposed, pressure_before=pressure, pressure_after="70") == 303
        page = bench.client.get(f"/jobs/{NUMBER}/final-check").text
        assert "not cycled through the transfer port" in page
        assert bench.post("final-check", then="passed", **back) == 422
        assert bench.post("final-check", then="passed", pressure_after=pressure, **back) == 303
        bench.state(Stage.HAND_OVER)
        page = bench.client.get(f"/jobs/{NUMBER}/hand-over").text
        assert "Jo Example" in page
        assert bench.post("hand-over", accepted="yes") == 422
        assert bench.post("hand-over", accepted="yes", how="the customer, in person") == 303
        bench.state(Stage.HANDED_OVER)
        assert "Accepted: Jo Example, in person" in bench.client.get(f"/jobs/{NUMBER}/hand-over").text
        unit = open_job_numbered(bench.store, NUMBER).unit.id
        assert "handed over" in bench.client.get(f"/units/{unit}").text


def test_nobody_stands_on_a_bike_that_is_not_back_together(bench: Bench) -> None:
    bench.until("end")
    page = bench.client.get(f"/jobs/{NUMBER}/final-check").text
    sag = re.findall(r'name="(sag_\w+)"', page)
    assert sag
    assert page.index('name="back_brake"') < page.index(f'name="{sag[0]}"')
    assert bench.post("final-check", **{sag[0]: "33"}) == 422
    assert "after the bike is back together" in bench.refused("final-check", **{sag[0]: "33", "back_wheel": "yes"})
    back = {f"back_{one}": "yes" for one in re.findall(r'name="back_(\w+)"', page)}
    assert bench.post("final-check", **{sag[0]: "33"}, **back) == 303
    assert bench.post("final-check", **{sag[0]: "34"}) == 303  # it was ticked before


def test_a_reading_outside_its_band_is_accepted_by_somebody_for_a_reason_and_the_travel_never(bench: Bench) -> None:
    bench.until("end")
    page = bench.client.get(f"/jobs/{NUMBER}/final-check").text
    told = {f"back_{one}": "yes" for one in re.findall(r'name="back_(\w+)"', page)}
    told |= {"then": "passed", "exposed_change": "-20", "pressure_before": "96", "pressure_after": "70"}
    assert bench.post("final-check", **told) == 422
    assert bench.post("final-check", **told, accepted="x") == 422
    why = {"accepted": "it is set anew at home", "accepted_by": "Jo Example"}
    home = told | why | {"exposed_change": "88"}
    assert "let the air out, check that it is empty" in bench.refused("final-check", **home)
    assert bench.post("final-check", **told, **why) == 303
    bench.state(Stage.HAND_OVER)
    assert "Jo Example: it is set anew at home" in bench.client.get(f"/jobs/{NUMBER}/hand-over").text


@pytest.mark.slow
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
    assert bench.post("bench/problem", words="creaks", then="refuse") == 303
    again = Arrival(customer="", sheet="", facts=(("wish.travel", "150 mm"),), symptoms="knocks")
    first = open_job_numbered(bench.store, NUMBER)
    view = check_in_comeback(bench.store, first.view.card.id, again, Person("Kim", said=500)())
    page = bench.client.get(f"/units/{first.unit.id}").text
    assert f"Job {view.card.number}" in page
    assert f"job {NUMBER}" in page
    assert "creaks" in page


def test_scrapped_says_so_on_its_tag(bench: Bench) -> None:
    assert bench.post("bench/problem", words="bent", then="scrap") == 303
    bench.state(Stage.SCRAPPED)
    assert "Scrap: do not use" in bench.client.get(f"/jobs/{NUMBER}/tag").text


def test_a_photo_comes_with_a_reading(bench: Bench) -> None:
    photo = {"photo": ("gauge.png", one_pixel(), "image/png")}
    sent = {"by": "Kim", "step": "off:readings", **AT_HOLD_POINT}
    assert bench.client.post(f"/jobs/{NUMBER}/bench/do", data=sent, files=photo).status_code == 303
    assert len(open_job_numbered(bench.store, NUMBER).view.state.photos) == 1


def one_pixel() -> bytes:
    """A picture."""
    from PIL import Image

    held = BytesIO()
    Image.new("RGB", (8, 8)).save(held, "PNG")
    return held.getvalue()
