"""Entries of a record in words."""

from __future__ import annotations

from sagwright.domain.records.payloads import FoundWrong, Proved, Reading, Recorded
from sagwright.domain.value import Measured, Quantity
from sagwright.phrases.entries import Telling, entry_sentence, entry_text
from sagwright.phrases.intake_labels import group, label
from sagwright.units import Choice

READ = Reading(
    "pressure_left",
    "Gauge pressure as left.",
    "80 psi",
    Quantity.PRESSURE,
    551_581.0,
    predicted=Measured(537_792.0),
    passes=True,
)
TOLD = Telling(Choice(), {"inspect:seal_head": "Inspect the seal head"})


def test_a_step_is_told_by_its_title_and_without_one_by_its_key() -> None:
    done, elsewhere = Recorded("inspect:seal_head", (READ,)), FoundWrong("scratch", "inspect:seal_head")
    assert entry_text(done, TOLD).title == "Step done: Inspect the seal head"
    assert entry_text(elsewhere, TOLD).lines == ("scratch", "at: Inspect the seal head")
    assert entry_sentence(done).startswith("Step done: inspect:seal_head: Gauge pressure as left: 80 psi")
    assert entry_text(Recorded("off:unheard_of"), TOLD).title == "Step done: off:unheard_of"


def test_a_reading_stands_beside_its_prediction_in_the_units_asked_for() -> None:
    assert entry_text(Proved((READ,), proven=True), TOLD).lines == (
        "Gauge pressure as left: 80 psi, predicted 78 psi: as planned",
    )
    in_bar = Telling(Choice(pressure="bar"), {})
    assert "5.52 bar, predicted 5.38 bar" in entry_text(Proved((READ,), proven=True), in_bar).lines[0]


def test_what_is_known_of_the_technician_stands_under_a_heading_of_its_own() -> None:
    assert {group(f"technician.{name}") for name in ("mass", "kit", "height")} == {
        "technician, as a known mass for the proof"
    }
    assert label("technician.mass") == "technician"
