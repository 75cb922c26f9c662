"""Mistakes simulated, read, and found again; readings that tell them apart are common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.diagnosis import BenchReading, Diagnosis, Mistake, MistakeKind, ReadingKind
from sagwright.errors import OutOfRange
from sagwright.planning.diagnosis.explanations import USUAL, diagnosed, good_to, read_of
from sagwright.planning.diagnosis.mistakes import Standing, signs_of
from tests.support.known_fork import LOAD, RIGHT, fork

STANDING = Standing(LOAD)
SETUP = replace(RIGHT, volume_spacers=2)
FIRST = (ReadingKind.EXPOSED, ReadingKind.GAUGE_FALL)


def found(mistake: Mistake | None, *kinds: ReadingKind) -> Diagnosis:
    """The diagnosis of readings that a mistake would give."""
    read = read_of(fork(), signs_of(fork(), SETUP, mistake, standing=STANDING))
    good = good_to(fork())
    readings = [BenchReading(kind, read[kind], good[kind]) for kind in kinds]
    return diagnosed(fork(), SETUP, readings, standing=STANDING)


@pytest.mark.parametrize("mistake", [None, *USUAL], ids=str)
def test_every_mistake_is_found_again_among_what_explains_it(mistake: Mistake | None) -> None:
    diagnosis = found(mistake, *ReadingKind)
    mine = next((one for one in diagnosis.explanations if one.mistake == mistake), None)
    assert mine is not None
    assert mine.explains
    assert mine.mismatch == pytest.approx(0.0, abs=1e-9)
    assert diagnosis.explanations[0].mismatch == pytest.approx(0.0, abs=1e-9)
    assert diagnosis.next_reading is None  # all were taken


def test_a_pressure_that_falls_once_tells_a_charge_that_was_not_cycled() -> None:
    explains = {
        one.mistake for one in found(Mistake(MistakeKind.NOT_CYCLED), *ReadingKind).explanations if one.explains
    }
    assert explains == {Mistake(MistakeKind.NOT_CYCLED)}


def test_a_plugged_transfer_port_and_one_left_behind_look_alike() -> None:
    blocked = found(Mistake(MistakeKind.TRANSFER_PORT_BLOCKED), *ReadingKind)
    explains = {one.mistake.kind for one in blocked.explanations if one.explains and one.mistake}
    assert explains == {MistakeKind.TRANSFER_PORT_BLOCKED, MistakeKind.TRANSFER_PORT_BEHIND}


def test_travel_with_air_out_tells_a_travel_spacer() -> None:
    one_more = found(Mistake(MistakeKind.TRAVEL_SPACERS, 1.0), ReadingKind.TRAVEL)
    assert {one.mistake for one in one_more.explanations if one.explains} == {Mistake(MistakeKind.TRAVEL_SPACERS, 1.0)}


def test_the_next_reading_parts_what_is_left() -> None:
    begun = found(Mistake(MistakeKind.NOT_CYCLED), ReadingKind.BREAKAWAY)
    left = {one.mistake.kind for one in begun.explanations if one.explains and one.mistake}
    assert {MistakeKind.NOT_CYCLED, MistakeKind.TRANSFER_PORT_BLOCKED} <= left
    assert begun.next_reading is not None
    then = found(Mistake(MistakeKind.NOT_CYCLED), ReadingKind.BREAKAWAY, begun.next_reading)
    assert {one.mistake for one in then.explanations if one.explains} == {Mistake(MistakeKind.NOT_CYCLED)}
    assert then.next_reading is None


def test_cycling_alone_tells_a_charge_that_was_not_cycled() -> None:
    fell = found(Mistake(MistakeKind.NOT_CYCLED), ReadingKind.GAUGE_FALL)
    assert {one.mistake for one in fell.explanations if one.explains} == {Mistake(MistakeKind.NOT_CYCLED)}


def test_a_volume_spacer_is_not_told_by_sag_but_by_the_pressure_deep_in_the_travel() -> None:
    more = found(Mistake(MistakeKind.VOLUME_SPACERS, 1.0), ReadingKind.SAG, ReadingKind.TRAVEL, *FIRST)
    assert any(one.mistake is None and one.explains for one in more.explanations)
    assert more.next_reading in {ReadingKind.DEEP_GAUGE, ReadingKind.BREAKAWAY}


def test_a_reading_without_uncertainty_is_refused() -> None:
    with pytest.raises(OutOfRange, match="greater"):
        diagnosed(fork(), SETUP, [BenchReading(ReadingKind.SAG, 0.03, 0.0)], standing=STANDING)
