"""Every finding has an intake that brings it out, with its severity and its numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Aim, AimKind, Intake
from sagwright.domain.plan import Plan
from sagwright.domain.setup import LegState, StackSetting
from sagwright.domain.value import Measured, Unknown, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.planning.checks.findings import FINDING_CODES
from tests.support.finding_cases import (
    CASES,
    as_found,
    found,
    plan_of,
    plan_with,
)
from tests.support.selections import selection_of


def the(code: str, plan: Plan) -> Finding:
    return next(one for one in plan.findings if one.code == code)


@pytest.mark.parametrize("code", FINDING_CODES)
def test_every_finding_can_be_brought_out(code: str) -> None:
    plan = plan_with(code)
    assert the(code, plan).severity is FINDING_CODES[code]
    if FINDING_CODES[code] is Severity.NOT_ALLOWED:
        assert plan.refused
        assert plan.target is None
        assert plan.work.steps == ()
        assert plan.work.changes == ()


def test_a_plain_intake_brings_only_what_everyone_is_told() -> None:
    assert {one.code for one in plan_of(as_found()).findings} == {"load.share", "length.changes"}


def test_as_found_is_never_refused_however_wrong() -> None:
    for code in (code for code in FINDING_CODES if code.startswith("found.")):
        assert not plan_with(code).refused, code


def test_findings_that_refuse_come_first() -> None:
    order = [list(Severity).index(one.severity) for one in plan_of(CASES["target.pressure-over"]).findings]
    assert order == sorted(order)


def test_a_refused_travel_names_the_nearest_permitted() -> None:
    figures = dict(the("travel.not-permitted", plan_of(as_found(travel=0.145))).figures)
    assert (figures["below"].value, figures["above"].value) == pytest.approx((0.14, 0.15))
    assert (figures["low"].value, figures["high"].value) == pytest.approx((0.11, 0.15))


def test_a_transfer_port_behind_says_what_it_takes_to_start_it() -> None:
    figures = dict(the("found.transfer-port-behind", plan_of(CASES["found.transfer-port-behind"])).figures)
    assert 400 < figures["breakaway"].value < 700
    assert figures["rests"].value == 0.0


def test_a_transfer_port_ahead_says_where_the_unit_rests() -> None:
    figures = dict(the("found.transfer-port-ahead", plan_of(CASES["found.transfer-port-ahead"])).figures)
    assert 0.012 < figures["rests"].value < 0.02


@pytest.mark.parametrize(
    ("intake", "why"),
    [
        (as_found(charge=Unknown.NOT_MEASURED), "pressure-unknown"),
        (replace(as_found(), as_found=replace(as_found().as_found, leaked=True)), "leaked"),
        (CASES["found.transfer-port-behind"], "transfer-port-wrong"),
        (CASES["found.not-cycled"], "not-cycled"),
    ],
)
def test_how_it_rode_is_not_offered_and_says_why(intake: Intake, why: str) -> None:
    plan = plan_of(intake)
    assert dict(the("aim.as-it-rode-not-offered", plan).words)["why"] == why
    assert selection_of(plan).spring.aim == Aim(AimKind.SAG, sag_fraction=0.2)
    assert plan.target is not None
    assert plan.target.behaviour.sag_fraction.value == pytest.approx(0.2, abs=1e-6)


def test_nothing_that_says_what_the_fork_carries_is_an_input_error() -> None:
    nothing = replace(as_found(charge=Unknown.NOT_MEASURED), rider=None)
    with pytest.raises(MissingValue, match="rider must be given when the pressure as found is not known") as caught:
        plan_of(nothing)
    assert "Write rider with mass and gear" in caught.value.remedy


def test_a_setup_that_cannot_exist_is_an_input_error() -> None:
    with pytest.raises(OutOfRange, match="positive chamber must keep a volume"):
        plan_of(as_found(volume_spacers=15))
    with pytest.raises(OutOfRange, match="port_position must be a hole between 0 and 4"):
        plan_of(found(as_found(), setting=StackSetting(0, 9)))


def test_too_much_lower_leg_oil_as_found_is_computed() -> None:
    much = found(as_found(), legs=(LegState("damper", 60e-6),))
    more = selection_of(plan_of(much)).spring.as_found[0].capacity.value
    assert more > selection_of(plan_of(as_found())).spring.as_found[0].capacity.value * 1.02


def test_a_load_that_is_given_is_taken_as_it_is() -> None:
    load = selection_of(plan_of(replace(as_found(), load=Value(300.0, 5.0)))).spring.load
    assert load is not None
    assert load.force == Measured(300.0, 5.0)


def test_a_load_by_share_is_mass_times_share() -> None:
    # 84 kg × 9.80665 m/s² × 0.40, by hand.
    load = selection_of(plan_of(as_found())).spring.load
    assert load is not None
    assert load.force.value == pytest.approx(329.50344)
    assert load.force.u == pytest.approx(84 * 9.80665 * 0.05)
