"""What may be wished, and what would be refused: the same as a plan that wishes it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sagwright.domain.finding import Severity
from sagwright.domain.value import Value
from sagwright.formats.intake.load import load_intake
from sagwright.service.jobs.options import offers
from sagwright.service.plan import plan

EXAMPLES = Path(__file__).parents[3] / "examples"
NAMES = ("shorten-t35", "shorten-t35-bike", "lengthen-p34", "unknown-until-open-t35")


@pytest.mark.parametrize("name", NAMES)
def test_what_is_offered_is_what_a_plan_does_not_refuse(name: str) -> None:
    intake = load_intake(EXAMPLES / f"{name}.yaml")
    offered = offers(intake).travels
    assert any(not one.refusals for one in offered)
    for one in offered:
        wish = replace(intake.wish, travel=Value(one.travel), volume_spacers=None, pressure_gauge=None)
        made = plan(replace(intake, wish=wish))
        refused = {finding.code for finding in made.findings if finding.severity is Severity.NOT_ALLOWED}
        assert {finding.code for finding in one.refusals} == refused


def test_every_travel_stands_once_and_rising() -> None:
    travels = [one.travel for one in offers(load_intake(EXAMPLES / "shorten-t35.yaml")).travels]
    assert travels == sorted(set(travels))
    assert travels == pytest.approx([0.09 + 0.01 * n for n in range(9)])


def test_a_long_shaft_leaves_room_for_fewer_spacers() -> None:
    offered = offers(load_intake(EXAMPLES / "lengthen-p34.yaml"))
    assert (offered.volume_spacers_fit, offered.most_volume_spacers) == (2, 4)
    assert offered.found == pytest.approx(0.120)


def test_where_nothing_gives_the_travel_nothing_fits() -> None:
    assert offers(load_intake(EXAMPLES / "refused-t35.yaml")).volume_spacers_fit == -1
    assert offers(load_intake(EXAMPLES / "unknown-until-open-t35.yaml")).found is None
