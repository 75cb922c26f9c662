"""`sagwright job` and `sagwright unit` as a newcomer types them."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sagwright.domain.value import Quantity
from sagwright.service.bench.state import BenchState, bench_state
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import open_workshop
from sagwright.version import PROGRAM
from tests.support.command_line import EXAMPLES, SHORTEN, Answer, Shell
from tests.support.full_workshop import NASTY, photo_bytes
from tests.support.workshops import Person, as_words, checked, decided_otherwise, done_well

Run = Callable[..., Answer]


@pytest.fixture
def run(shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """A command about a workshop of its own, which is there for each test."""
    monkeypatch.setenv("SAGWRIGHT_WORKSHOP", str(tmp_path / "shop" / "w.sqlite"))
    monkeypatch.setenv("SAGWRIGHT_BY", "Kim")
    return shell


def as_json(answer: Answer) -> Any:  # noqa: ANN401  # whatever JSON says
    assert (answer.code, answer.err) == (0, "")
    return json.loads(answer.out)


def work_of(run: Run) -> BenchState:
    """The work of the job, as the commands have it."""
    del run
    with open_workshop(os.environ["SAGWRIGHT_WORKSHOP"]) as store:
        return bench_state(store, open_job_numbered(store, 1001).view.card.id)


def words_of(run: Run, **other: str) -> tuple[str, ...]:
    """The readings with which the next step passes, some of them as given."""
    readings = done_well(work_of(run).steps[0]).readings
    words = as_words(one for one in readings if one.key not in other)
    return (*words, *(word for key, text in other.items() for word in ("--reading", f"{key}={text}")))


def test_from_new_to_hand_over(run: Run) -> None:
    assert run("job", "check-in", SHORTEN, "--customer", "Jo Example", "--contact", "jo@example.org").out.startswith(
        "job 1001"
    )
    assert "Specimen T35" in run("job", "plan", "1001").out
    assert "Decided: " in run("job", "plan", "1001", "--decide").out
    run("job", "prepare", "1001", "--ready")
    assert "bench" in run("job", "start", "1001").out
    read = words_of(run, pressure_found="78 psi")
    first = as_json(run("job", "record", "1001", "next", *read, "--took", "4 min", "--json"))
    says = first["entries"][-1]["payload"]
    assert (says["step"], says["seconds"]) == ("off:readings", 240.0)
    assert next(one["value"] for one in says["readings"] if one["key"] == "pressure_found") == pytest.approx(
        78 * 6894.757293168
    )
    for step in [step.key for step in work_of(run).steps]:
        assert run("job", "record", "1001", step, *words_of(run)).code == 0
    read = as_words(checked(work_of(run)))
    assert "Final check passed" in run("job", "final-check", "1001", *read, "--passed").out
    assert "Handed over: accepted, in person" in run("job", "hand-over", "1001", "--accepted", "--how", "in person").out
    assert run("job", "list").out == "No job is open.\n"
    assert "handed over" in run("job", "search", "jo").out
    assert "Handed over: accepted" in run("unit", "history", "0417").out
    assert [one["jobs"][0]["number"] for one in as_json(run("unit", "history", "0417", "--json"))["units"]] == [1001]


def test_a_plan_that_would_be_another_one_today_is_said(run: Run) -> None:
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    assert "difference" not in as_json(run("job", "show", "1001", "--json"))
    with open_workshop(os.environ["SAGWRIGHT_WORKSHOP"]) as store:
        decided_otherwise(store, open_job_numbered(store, 1001).view.card.id, Person("Kim"))
    sentence = "computes another plan from what was recorded then (target and steps); what was decided with"
    assert sentence in " ".join(run("job", "show", "1001").out.split())
    assert as_json(run("job", "show", "1001", "--json"))["difference"] == {
        "decided_by": "sagwright 0.0.1",
        "computed_by": PROGRAM,
        "parts": ["target", "steps"],
    }


def test_a_retry_under_one_id_records_once(run: Run) -> None:
    for _ in range(2):
        job = as_json(run("job", "check-in", SHORTEN, "--customer", "Jo", "--id", "first", "--json"))
        assert (job["number"], job["entry_count"]) == (1001, 1)
    for _ in range(2):
        job = as_json(run("job", "note", "1001", "hello", "--id", "second", "--json"))
        assert job["entry_count"] == 2
    answer = run("job", "note", "1001", "other", "--id", "second")
    assert (answer.code, "Nothing was overwritten" in answer.err) == (1, True)
    answer = run("job", "note", "1001", "late", "--expected", "1")
    assert (answer.code, "has gone on" in answer.err) == (1, True)


def test_a_correction_stands_beside_what_it_corrects(run: Run) -> None:
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    run("job", "plan", "1001", "--decide")
    run("job", "start", "1001")
    run("job", "record", "1001", "1", *words_of(run, pressure_found="87 psi", exposed_found="158 mm"))
    job = as_json(
        run("job", "correct", "1001", "4", "--reading", "pressure_found=78 psi", "--note", "misread", "--json")
    )
    before, after = ({one["key"]: one["as_typed"] for one in job["entries"][n]["payload"]["readings"]} for n in (3, -1))
    assert (before["pressure_found"], after["pressure_found"]) == ("87 psi", "78 psi")
    assert before["exposed_found"] == after["exposed_found"] == "158 mm"
    job = as_json(run("job", "correct", "1001", "4", "--set", "seconds=120", "--json"))
    assert job["entries"][-1]["payload"]["seconds"] == 120.0
    assert "Withdrawn: wrong fork" in run("job", "correct", "1001", "4", "--withdraw", "wrong fork").out
    shown = run("job", "show", "1001").out
    assert "↳ Step done: off:readings" in shown
    assert "misread" in shown


@pytest.mark.slow
def test_the_rules_of_the_bench_hold_at_the_command_line(run: Run) -> None:
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    run("job", "plan", "1001", "--decide")
    run("job", "start", "1001")
    steps, refused = [step.key for step in work_of(run).steps], []
    for step in reversed(steps[1:]):
        answer = run("job", "record", "1001", step)
        assert (answer.code, "comes after" in answer.err) == (1, True)
    assert run("job", "record", "1001", "next", *words_of(run)).code == 0
    for step in steps[1:]:
        work = work_of(run)
        if work.steps[0].hold_point and work.steps[0].records:
            answer = run("job", "record", "1001", "next")
            assert (answer.code, "must be read" in answer.err) == (2, True)
        pressures = [one.key for one in work.steps[0].records if one.high and one.quantity is Quantity.PRESSURE]
        for key in pressures:
            answer = run("job", "record", "1001", "next", *words_of(run, **{key: "300 psi"}))
            assert (answer.code, "outside its limits" in answer.err) == (2, True)
            refused.append(key)
        assert run("job", "record", "1001", step, *words_of(run)).code == 0
    assert "pressure_left" in refused
    answer = run("job", "final-check", "1001", "--passed")
    assert (answer.code, "is missing" in answer.err) == (2, True)
    assert as_json(run("job", "show", "1001", "--json"))["stage"] == "final check"


def test_work_that_rested_is_gone_on_with_by_a_command(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    run("job", "plan", "1001", "--decide")
    run("job", "start", "1001")
    run("job", "record", "1001", "next", *words_of(run))
    monkeypatch.setenv("SAGWRIGHT_BY", "Lou")
    answer = run("job", "record", "1001", "next", *words_of(run))
    assert (answer.code, "change of person" in answer.err) == (1, True)
    assert run("job", "after-break", "1001").code == 2
    assert "measure:again:air_charge" in run("job", "after-break", "1001", "--tagged").out
    assert run("job", "record", "1001", "next", *words_of(run)).code == 0


def test_settle_answer_find_wait_and_resume(run: Run) -> None:
    run("job", "check-in", "--customer", "Jo", "--sheet", "specimen/t35", "--fact", "unit.chassis=mid", "--incomplete")
    assert "check in" in run("job", "show", "1001").out
    assert "plan" in run("job", "update", "1001", "--task", "set-pressure=80psi", "--task", "lower-legs").out
    assert "off:lowers" in run("job", "plan", "1001").out or run("job", "plan", "1001").code == 0
    run("job", "plan", "1001", "--decide")
    run("job", "start", "1001")
    job = as_json(run("job", "problem", "1001", "other inside", "--found", "travel_spacers=2", "--json"))
    assert job["entries"][-1]["payload"]["found"] == [["travel_spacers", 2.0]]
    assert (
        "On hold for the customer: new bushings; amount: 140"
        in run("job", "hold", "1001", "customer", "new bushings", "--amount", "140").out
    )
    answer = run("job", "record", "1001", "next")
    assert (answer.code, "Resume it first" in answer.err) == (1, True)
    resumed = run("job", "resume", "1001", "--yes", "--who", "Jo", "--when", "2026-03-03")
    assert "Resumed: yes: Jo, 2026-03-03" in resumed.out
    run("job", "pass-on", "1001", "Lou")
    run("job", "due", "1001", "2026-04-01")
    card = as_json(run("job", "list", "--json"))["jobs"][0]
    assert (card["holder"], card["due"], card["stage"]) == ("Lou", "2026-04-01", "bench")
    answered = run("job", "answer", "1001", "charge.leaked", "--who", "Jo", "--when", "2026-03-03", "--answer", "no")
    assert "Answered: charge.leaked: Jo" in answered.out


def test_photos_and_refusing(run: Run, tmp_path: Path) -> None:
    (tmp_path / "crack.png").write_bytes(photo_bytes())
    run("job", "check-in", SHORTEN, "--customer", "Jo", "--photo", tmp_path / "crack.png")
    assert "Refused: cracked; 1 photo" in run("job", "refuse", "1001", "cracked", "--photo", tmp_path / "crack.png").out
    name = as_json(run("job", "show", "1001", "--json"))["entries"][-1]["payload"]["photos"][0]
    run("job", "photo", name, tmp_path / "out.jpg")
    assert (tmp_path / "out.jpg").read_bytes().startswith(b"\xff\xd8")
    (tmp_path / "text.png").write_text("no picture", "utf-8")
    answer = run("job", "note", "1001", "--photo", tmp_path / "text.png")
    assert (answer.code, "photo must be a picture that can be read" in answer.err) == (2, True)


def test_a_bike_its_answers_and_a_comeback(run: Run) -> None:
    job = as_json(run("job", "check-in", EXAMPLES / "shorten-t35-bike.yaml", "--customer", "Jo", "--id", "a", "--json"))
    assert job["bicycle_name" if "bicycle_name" in job else "bicycle"] == "Specimen trail bike, L"
    assert job["entries"][-1]["payload"]["about"] == "frame.too-short"
    assert "stance" in as_json(run("job", "plan", "1001", "--json"))
    answer = run("job", "check-in", "--comeback-of", "1001")
    assert (answer.code, "still open" in answer.err) == (1, True)
    run("job", "refuse", "1001", "no time")
    assert as_json(run("job", "check-in", "--comeback-of", "1001", "--json"))["comeback_of"] == "a"
    customer = as_json(run("job", "show", "1001", "--json"))["customer"]
    again = run("job", "check-in", EXAMPLES / "lengthen-p34.yaml", "--customer-id", customer, "--json")
    assert as_json(again)["customer_name"] == "Jo"


def test_own_sheets_are_kept_and_named(run: Run, tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").write_text("shape: sheet/1\nextends: specimen/t35\nrevision: 5\n", "utf-8")
    intake = tmp_path / "intake.yaml"
    intake.write_text(SHORTEN.read_text("utf-8").replace("specimen/t35", "mine.yaml"), "utf-8")
    answer = run("job", "check-in", intake, "--customer", "Jo")
    assert (answer.code, "sagwright sheet add" in answer.err) == (2, True)
    assert "revision 5" in run("sheet", "add", tmp_path / "mine.yaml", "--as", "own/mine").out
    job = as_json(run("job", "check-in", intake, "--customer", "Jo", "--sheet", "own/mine", "--json"))
    assert job["number"] == 1001
    assert [one["key"] for one in as_json(run("sheet", "list", "--json"))["sheets"]] == ["own/mine"]
    assert run("job", "plan", "1001").code == 0


def test_customers_are_found_given_out_and_erased(run: Run) -> None:
    key = as_json(run("job", "check-in", SHORTEN, "--customer", "Jo Example", "--contact", "jo@x", "--json"))[
        "customer"
    ]
    assert f"id {key}" in run("customer", "find", "jo").out
    assert as_json(run("customer", "export", key))["customer"]["contact"] == "jo@x"
    assert "Joe" in run("customer", "rename", key, "--name", "Joe").out
    assert as_json(run("customer", "erase", key, "--yes", "--json"))["customers"][0]["name"] == ""
    assert "(erased)" in run("job", "show", "1001").out
    assert run("customer", "find", "joe").out == "No customer has all these words in the name.\n"


def test_instruments_are_named_by_readings(run: Run) -> None:
    assert "pump 2, 1.6 %" in run("instrument", "add", "shock pump", "pump 2", "--accuracy", "1.6 %", "--id", "p2").out
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    run("job", "plan", "1001", "--decide")
    run("job", "start", "1001")
    job = as_json(run("job", "record", "1001", "next", *words_of(run), "--with", "p2", "--json"))
    assert job["entries"][-1]["payload"]["readings"][0]["instrument"] == "p2"
    assert run("doctor").code == 0
    run("instrument", "add", "shock pump", "pump 2", "--id", "p2", "--retired")
    assert [one["retired"] for one in as_json(run("instrument", "list", "--json"))["instruments"]] == [True]


@pytest.mark.parametrize(
    ("command", "code", "says"),
    [
        (("job", "list"), 2, "There are no records at"),
        (("job", "check-in"), 2, "--customer must say whose the unit is"),
        (("job", "check-in", "--customer", "Jo"), 2, "--sheet must say of which family"),
        (("job", "check-in", "none.yaml", "--customer", "Jo"), 2, "none.yaml"),
        (
            ("job", "check-in", "--customer", "Jo", "--sheet", "specimen/t53", "--fact", "unit.chassis=mid"),
            2,
            "specimen/t53",
        ),
        (("job", "check-in", "--customer", "Jo", "--sheet", "specimen/t35"), 2, "unit.chassis must be given"),
        (("job", "check-in", "--customer", "Jo", "--sheet", "specimen/t35", "--fact", "mid"), 2, "PATH=TEXT"),
        (("job", "show"), 2, "Missing argument"),
        (("job", "shwo"), 2, "No such command"),
    ],
)
def test_what_is_missing_is_said_before_there_are_records(
    run: Run, command: tuple[str, ...], code: int, says: str
) -> None:
    answer = run(*command)
    assert (answer.code, answer.out) == (code, "")
    assert says in answer.err


@pytest.mark.parametrize(
    ("command", "code", "says"),
    [
        (("show", "99"), 2, "There is no job 99"),
        (("show", "nothing"), 2, "There is no job nothing"),
        (("record", "1001", "next"), 1, 'stands at "plan"'),
        (("show", "1001", "--plan"), 2, "Choose first"),
        (("start", "1001"), 1, 'stands at "plan"'),
        (("correct", "1001", "1"), 2, "Give --reading, --set or --withdraw"),
        (("correct", "1001", "9", "--withdraw", "x"), 2, "no entry 9"),
        (("correct", "1001", "1", "--set", "colour=red"), 2, "It has: "),
        (("correct", "1001", "1", "--set", "facts=3"), 2, "must fit the entry"),
        (("correct", "1001", "1", "--reading", "a=1 mm"), 2, "an entry with readings"),
        (("hold", "1001", "weather", "x"), 2, "weather"),
        (("plan", "1001", "--fact", "wish.travel=200 mm"), 1, ""),
        (("plan", "1001", "--fact", "wish.travel=200 mm", "--decide"), 1, "is refused"),
        (("plan", "1001", "--fact", "wish.travle=140 mm"), 2, "travle"),
    ],
)
def test_what_cannot_be_is_said(run: Run, command: tuple[str, ...], code: int, says: str) -> None:
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    answer = run("job", *command)
    assert answer.code == code
    assert says in answer.err
    assert "Traceback" not in answer.err
    assert as_json(run("job", "show", "1001", "--json"))["entry_count"] == 1


def test_errors_are_json_where_json_was_asked_for(run: Run) -> None:
    run("job", "check-in", SHORTEN, "--customer", "Jo")
    answer = run("job", "show", "99", "--json")
    assert (answer.code, answer.err) == (2, "")
    assert json.loads(answer.out)["errors"][0]["kind"] == "NotThere"


@pytest.mark.parametrize("text", NASTY)
def test_texts_come_back_as_typed(run: Run, text: str) -> None:
    job = as_json(run("job", "check-in", SHORTEN, f"--customer={text}", f"--symptoms={text}", "--id", text, "--json"))
    assert (job["customer_name"], job["symptoms"], job["id"]) == (text, text, text)
    shown = run("job", "show", "1001")
    assert shown.code == 0
    assert "\x1b" not in shown.out
