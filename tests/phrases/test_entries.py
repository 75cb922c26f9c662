"""Entries of a record in words."""

from __future__ import annotations

from sagwright.domain.records.payloads import FinalChecked, ProblemFound, Reading, StepDone
from sagwright.domain.value import Measured, Quantity
from sagwright.phrases.entries import EntryWording, entry_sentence, entry_text
from sagwright.phrases.intake_labels import fact_label, group
from sagwright.units import UnitChoice

READ = Reading(
    "pressure_left",
    "Gauge pressure as left.",
    "80 psi",
    Quantity.PRESSURE,
    551_581.0,
    predicted=Measured(537_792.0),
    within_limits=True,
)
TOLD = EntryWording(UnitChoice(), {"inspect:seal_head": "Inspect the seal head"})


def test_a_step_is_told_by_its_title_and_without_one_by_its_key() -> None:
    done, elsewhere = StepDone("inspect:seal_head", (READ,)), ProblemFound("scratch", "inspect:seal_head")
    assert entry_text(done, TOLD).title == "Step done: Inspect the seal head"
    assert entry_text(elsewhere, TOLD).lines == ("scratch", "at: Inspect the seal head")
    assert entry_sentence(done).startswith("Step done: inspect:seal_head: Gauge pressure as left: 80 psi")
    assert entry_text(StepDone("off:unheard_of"), TOLD).title == "Step done: off:unheard_of"


def test_a_reading_stands_beside_its_prediction_in_the_units_asked_for() -> None:
    assert entry_text(FinalChecked((READ,), passed=True), TOLD).lines == (
        "Gauge pressure as left: 80 psi, predicted 78 psi: within tolerance",
    )
    in_bar = EntryWording(UnitChoice(pressure="bar"), {})
    assert "5.52 bar, predicted 5.38 bar" in entry_text(FinalChecked((READ,), passed=True), in_bar).lines[0]


def test_what_is_known_of_the_technician_stands_under_a_heading_of_its_own() -> None:
    assert {group(f"technician.{name}") for name in ("mass", "gear", "height")} == {
        "technician, as a known mass for the final check"
    }
    assert fact_label("technician.mass") == "technician"
