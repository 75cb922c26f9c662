"""What is written is read back as it was: every class that is stored, drawn at random and from plans."""

from __future__ import annotations

import json
from dataclasses import dataclass, is_dataclass, replace
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.behaviour import Option
from sagwright.domain.bike import Bike, MakerAnswer
from sagwright.domain.finding import Finding
from sagwright.domain.intake import AsFound, Intake, Rider, Surroundings, UnitIdentity, Wish
from sagwright.domain.item import Caution
from sagwright.domain.plan import Plan
from sagwright.domain.records.payloads import Payload
from sagwright.domain.setup import Change, Setup
from sagwright.domain.step import Sequence, Step, Supply, WorkStop
from sagwright.domain.task import Task
from sagwright.domain.value import Measured, Quantity, Unknown, Value
from sagwright.formats.codec import Codec, Misfit, Row
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.load import load_intake
from sagwright.formats.json_text import Json, compact
from sagwright.formats.output.plan import CODEC
from sagwright.formats.records.entries import payload_from_text, payload_to_text
from sagwright.formats.sheet.load import load_sheet
from sagwright.planning.plan import make_plan
from sagwright.service.plan import sequence
from tests.support.coil_intakes import any_intakes
from tests.support.finding_cases import CASES, plan_with
from tests.support.intakes import trail_bike
from tests.support.selections import selection_of
from tests.support.stored import as_stored

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
WORDS = st.text(st.characters(codec="utf-8"), max_size=6)
PLAIN = {
    str: WORDS,
    float: st.floats(allow_nan=False, allow_infinity=False),
    int: st.integers(),
    bool: st.booleans(),
    type(None): st.none(),
}
PARTS = (  # without views, whose fields must match each other
    *(
        AsFound,
        Setup,
        Caution,
        Change,
        Finding,
        Supply,
        MakerAnswer,
        Rider,
        Sequence,
        Step,
        WorkStop,
        Surroundings,
        Task,
    ),
    *(UnitIdentity, Value, Wish, Option),
)
IN_SELECTION = ("findings", "options", "target", "spring", "stance")
IN_INTAKE = ("unit", "as_found", "rider", "load", "front_scale", "technician", "answers", "wish", "tasks", "workshop")
"""All but the sheet and the bike: a plan has only their names."""
IN_WORK = ("tasks", "changes", "tools_and_parts", "steps", "stops", "sequence", "needed_by", "as_found", "target")


def through_text(shape: Json) -> Json:
    read: Json = json.loads(compact(shape))
    return read


def check_in_comeback(whole: object, names: tuple[str, ...]) -> None:
    """Every part of a plan, a selection, an intake or a work comes back as it was."""
    hints = get_type_hints(type(whole))
    for name in names:
        coder, value = CODEC.coder(hints[name]), getattr(whole, name)
        assert coder.decode(through_text(coder.encode(value))) == as_stored(value), name


def plan_comes_back(plan: Plan) -> None:
    selection = selection_of(plan)
    check_in_comeback(plan, ("cautions",))
    check_in_comeback(plan.work, IN_WORK)
    check_in_comeback(selection, IN_SELECTION)
    check_in_comeback(selection.intake, IN_INTAKE)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_part_of_a_plan_comes_back(path: Path) -> None:
    plan_comes_back(make_plan(load_intake(path), program="test 1"))


@pytest.mark.parametrize("code", CASES)
def test_every_part_of_a_plan_with_a_finding_comes_back(code: str) -> None:
    plan_comes_back(plan_with(code))


@pytest.mark.slow
@pytest.mark.law
@given(any_intakes(), st.sampled_from([None, trail_bike()]))
def test_every_part_of_a_drawn_plan_comes_back(intake: Intake, bike: Bike | None) -> None:
    plan_comes_back(make_plan(replace(intake, bike=bike), program="test 1"))


@pytest.mark.parametrize(
    ("sheet", "chassis", "tasks"),
    [
        ("specimen/t35", "mid", "lower-legs wipers set-pressure=80psi"),
        ("specimen/c38", "standard", "coil-spring set-preload=3"),
        ("specimen/s38", "standard", "set-pressure=80psi second-pressure=120psi damper"),
        ("specimen/v34", "standard", "set-pressure=80psi negative-pressure=70psi air-spring"),
        ("specimen/a55", "standard", "air-spring set-pressure=150psi"),
    ],
)
def test_every_part_of_a_sequence_comes_back(sheet: str, chassis: str, tasks: str) -> None:
    work = sequence(load_sheet(sheet), [read_task(one) for one in tasks.split()], chassis=chassis).work
    assert work.steps
    check_in_comeback(work, IN_WORK)


@cache
def drawn(hint: type) -> st.SearchStrategy[Any]:
    """Any value of a type; names in pairs differ, numbers are finite."""
    origin, args = get_origin(hint), get_args(hint)
    if is_dataclass(hint):
        return st.builds(hint, **{name: drawn(one) for name, one in get_type_hints(hint).items()})
    if origin is Literal:
        return st.sampled_from(args)
    if origin is tuple and args[-1] is not ...:
        return st.tuples(*map(drawn, args))
    if origin is tuple:
        first = (lambda pair: pair[0]) if get_origin(args[0]) is tuple else repr
        return st.lists(drawn(args[0]), max_size=3, unique_by=first).map(tuple)
    if origin is not None:
        return st.one_of(*map(drawn, args))
    return st.sampled_from(hint) if issubclass(hint, Enum) else PLAIN[hint]


@pytest.mark.law
@pytest.mark.parametrize("kind", PARTS, ids=lambda kind: kind.__name__)
@given(data=st.data())
def test_what_was_read_is_written_as_it_was(kind: type, data: st.DataObject) -> None:
    shape = through_text(CODEC.encode(data.draw(drawn(kind))))
    assert CODEC.encode(CODEC.decode(kind, shape)) == shape


@pytest.mark.law
@pytest.mark.parametrize("kind", get_args(Payload), ids=lambda kind: kind.__name__)
@given(data=st.data())
def test_every_entry_comes_back(kind: type, data: st.DataObject) -> None:
    payload = data.draw(drawn(kind))
    assert payload_from_text(payload_to_text(payload)) == payload


@dataclass(frozen=True)
class Bolt:
    size: str
    torque: Measured
    quantity: Quantity | None = None


@dataclass(frozen=True)
class Clamp:
    bolts: tuple[Bolt, ...]
    gap: int | Unknown | str = 0
    names: tuple[tuple[str, int], ...] = ()


CLAMPS = Codec({Bolt: Row("size=thread torque quantity", sparse="quantity")})
CLAMP = Clamp((Bolt("M5", Measured(6.0, 0.5)), Bolt("M6", Measured(8.0))), 2, (("left", 1),))
SHAPE = {
    "bolts": [
        {"thread": "M5", "torque": {"value": 6.0, "u": 0.5}},
        {"thread": "M6", "torque": {"value": 8.0, "u": None}},
    ],
    "gap": 2,
    "names": {"left": 1},
}


def test_a_row_names_keys_and_what_is_left_out() -> None:
    assert CLAMPS.encode(CLAMP) == SHAPE
    assert CLAMPS.decode(Clamp, SHAPE) == CLAMP


def test_bare_numbers_and_pairs() -> None:
    shape = {
        "bolts": [{"size": "M5", "torque": {"value": 6.0, "u": None}, "quantity": "torque"}],
        "gap": "none",
        "names": [["left", 1]],
    }
    clamp = Clamp((Bolt("M5", Measured(6.0), Quantity.TORQUE),), "none", (("left", 1),))
    bare = Codec({}, bare=True)
    assert bare.encode(clamp) == shape
    assert bare.decode(Clamp, shape) == clamp


@pytest.mark.parametrize(
    ("wrong", "place", "sentence"),
    [
        ({"more": 1}, "", "keys or values that this program does not know: more"),
        ({"gap": None}, "gap", "must be"),
        ({"gap": True}, "gap", "must be"),
        ({"bolts": {}}, "bolts", "must be a list"),
        ({"bolts": [{"thread": "M5"}]}, "bolts.0.torque", "must be given"),
        ({"bolts": [{"thread": 5, "torque": {"value": 1.0, "u": None}}]}, "bolts.0.thread", "must be a text"),
        ({"bolts": [{"thread": "M5", "torque": 5.0}]}, "bolts.0.torque", "must be a number with its uncertainty"),
        ({"bolts": [{"thread": "M5", "torque": {"value": "5", "u": None}}]}, "bolts.0.torque", "must be a number"),
        ({"bolts": [{"thread": "M5", "torque": {"value": 5.0, "u": "1"}}]}, "bolts.0.torque", "must be a number"),
        ({"names": {"left": 1.5}}, "names.left", "must be a whole number"),
    ],
)
def test_what_does_not_fit_is_said_with_its_place(wrong: dict[str, Any], place: str, sentence: str) -> None:
    with pytest.raises(Misfit, match=sentence) as caught:
        CLAMPS.decode(Clamp, SHAPE | wrong)
    assert ".".join(caught.value.place) == place


@pytest.mark.law
@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(), lambda one: st.lists(one) | st.dictionaries(WORDS, one)
    )
)
def test_any_json_is_refused(shape: Json) -> None:
    for kind in PARTS:
        with pytest.raises(Misfit):
            CODEC.decode(kind, shape)
