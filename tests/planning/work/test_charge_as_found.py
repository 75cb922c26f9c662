"""A charge that comes out as it was found stays that charge, in the target and in the steps."""

from __future__ import annotations

from sagwright.domain.setup import StackSetting
from sagwright.service.plan import plan
from tests.support.finding_cases import as_found, found, wished
from tests.support.intakes import PSI, value


def test_a_pressure_a_hair_from_as_found_is_as_found_and_passes_the_judge() -> None:
    intake = wished(as_found(), pressure_gauge=value(78.0 * PSI + 40.0), volume_spacers=1)
    made = plan(intake)
    assert made.target is not None
    assert made.target.setup.charge == intake.as_found.setup.charge
    assert made.target.pressure_gauge is not None
    assert made.target.pressure_gauge.value == 78.0 * PSI
    final = next(step for step in made.work.steps if step.key == "charge:final:air_charge")
    assert final.pressure_gauge == 78.0 * PSI


def test_nothing_to_change_is_no_work() -> None:
    intake = wished(as_found(travel=0.15), pressure_gauge=value(78.0 * PSI + 40.0), volume_spacers=1)
    made = plan(found(intake, setting=StackSetting(0, 0)))
    assert (made.work.changes, made.work.steps) == ((), ())
    assert "travel.already" in {finding.code for finding in made.findings}
