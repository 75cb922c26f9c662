"""What was found makes the wish impossible: the unit is closed again, proven by the judge, at every point."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.intake import Aim, AimKind
from sagwright.domain.item import Act, ChargeStage
from sagwright.domain.setup import Charge, StackSetting
from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.domain.value import Unknown
from sagwright.judge import examine_sequence
from sagwright.service.plan import plan, replan
from tests.support.begun_work import SAID_ONE, accepted, up_to
from tests.support.intakes import PSI
from tests.support.selections import selection_of

AS_IT_RODE = plan(
    replace(
        selection_of(SAID_ONE).intake, wish=replace(selection_of(SAID_ONE).intake.wish, aim=Aim(AimKind.AS_IT_RODE))
    )
)
"""How it rode can be no aim any more once its transfer port was found in another place."""

BEHIND = (("port_position", 0.0),)


def test_wherever_it_shows_the_unit_is_closed_again_and_charged() -> None:
    for count in range(1, len(AS_IT_RODE.work.steps)):
        done = tuple(step.key for step in AS_IT_RODE.work.steps[:count])
        rest = replan(AS_IT_RODE, Progress(done, BEHIND))
        assert rest.refused
        assert rest.target is None
        accepted(rest)
        assert tuple(step.key for step in rest.work.done) == done
        assert rest.work.steps
        assert "impossible" in rest.work.steps[0].cautions[0].text
        opened = {step.item for step in rest.work.done if step.act is Act.OFF}
        new = {step.item for step in rest.work.steps if step.act is Act.OFF} - opened
        covers = {cover for key in opened for cover in rest.work.sheet.item(key).covered_by}
        assert new <= covers | {"air_charge"}, "nothing more is opened than lies over what is open"


def test_before_anything_is_done_there_is_nothing_to_close() -> None:
    rest = replan(AS_IT_RODE, Progress((), BEHIND))
    assert rest.refused
    assert (rest.work.steps, rest.reassembly) == ((), None)


def test_what_lies_in_the_open_and_is_not_permitted_is_set_right_on_the_way() -> None:
    rest = replan(AS_IT_RODE, Progress(up_to(AS_IT_RODE, "change:travel_spacers"), BEHIND))
    assert rest.reassembly is not None
    assert rest.reassembly.setting == StackSetting(1, 1)
    assert "change:transfer_port" in {step.key for step in rest.work.steps}
    assert "change:travel_spacers" not in {step.key for step in rest.work.steps}
    assert not any(record.key == "not_rideable" for step in rest.work.steps for record in step.records)


def test_what_is_closed_in_and_not_permitted_leaves_with_its_tag() -> None:
    rest = replan(AS_IT_RODE, Progress(up_to(AS_IT_RODE, "off:lowers"), BEHIND))
    accepted(rest)
    assert rest.reassembly is not None
    assert rest.reassembly.setting == StackSetting(1, 0)
    assert rest.work.steps[-1].key == "on:readings"
    assert "not_rideable" in {record.key for record in rest.work.steps[-1].records}
    assert rest.work.steps[-1].hold_point


def test_what_was_changed_already_stays_as_decided() -> None:
    done = (*up_to(AS_IT_RODE, "change:transfer_port"), "change:transfer_port")
    rest = replan(AS_IT_RODE, Progress(done, BEHIND))
    accepted(rest)
    assert rest.reassembly is not None
    assert AS_IT_RODE.target is not None
    assert rest.reassembly.setting == AS_IT_RODE.target.setup.setting


def test_it_is_charged_as_found_or_as_decided_once_that_is_in() -> None:
    as_found = replan(AS_IT_RODE, Progress(up_to(AS_IT_RODE, "on:air_cap"), BEHIND))
    decided = replan(AS_IT_RODE, Progress((*up_to(AS_IT_RODE, "cycle:air_charge"),), BEHIND))
    assert AS_IT_RODE.target is not None
    assert AS_IT_RODE.target.pressure_gauge is not None
    for rest, gauge in ((as_found, 80 * PSI), (decided, AS_IT_RODE.target.pressure_gauge.value)):
        accepted(rest)
        final = next(step for step in rest.work.steps if step.stage is ChargeStage.FINAL)
        assert final.pressure_gauge == pytest.approx(gauge)


def test_the_judge_refuses_the_way_back_without_any_of_its_steps() -> None:
    rest = replan(AS_IT_RODE, Progress(up_to(AS_IT_RODE, "on:air_shaft"), BEHIND))
    assert rest.reassembly is not None
    for step in rest.work.steps:
        without = tuple(one for one in (*rest.work.done, *rest.work.steps) if one is not step)
        assert examine_sequence(rest.work.sheet, rest.work.as_found, rest.reassembly, without) is not None, step.key


def test_tasks_that_were_begun_are_closed_and_others_dropped() -> None:
    work = plan(replace(selection_of(AS_IT_RODE).intake, tasks=(Task(TaskKind.WIPERS), Task(TaskKind.DAMPER))))
    rest = replan(work, Progress(up_to(work, "off:foam_rings"), BEHIND))
    accepted(rest)
    left = {step.key for step in rest.work.steps}
    off = {step.item for step in rest.work.done if step.act is Act.OFF}
    assert ("on:wipers" in left) == ("wipers" in off)
    assert ("on:damper" in left) == ("damper" in off)


def test_an_unread_charge_is_set_as_decided() -> None:
    setup = replace(AS_IT_RODE.work.as_found, charge=Unknown.NOT_MEASURED)
    read = selection_of(AS_IT_RODE).intake
    unread = replace(read, as_found=replace(read.as_found, setup=setup))
    work = plan(replace(unread, wish=replace(unread.wish, aim=None)))
    done = up_to(work, "on:air_shaft")
    selection = selection_of(work)
    wished = replace(selection.intake, wish=selection_of(AS_IT_RODE).intake.wish)
    refused = replan(replace(work, selection=replace(selection, intake=wished)), Progress(done, BEHIND))
    accepted(refused)
    assert refused.reassembly is not None
    assert work.target is not None
    assert work.target.pressure_gauge is not None
    assert isinstance(refused.reassembly.charge, Charge)
    assert refused.reassembly.charge.pressure_gauge.si == work.target.pressure_gauge.value
