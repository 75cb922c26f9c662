"""Schema 0002 renames every key and name of schema 0001 that this program has otherwise, and changes nothing else."""

from __future__ import annotations

import json
import lzma
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from sagwright.formats.bike.load import load_bike_text
from sagwright.formats.records import sheet_words_0002 as sheet_words
from sagwright.formats.records.decision import read_plan
from sagwright.formats.records.entries import KINDS, payload_from_text, payload_to_text
from sagwright.formats.sheet.load import read_sheet
from sagwright.store.migrations import words_0002 as words

FROZEN: Final = Path(__file__).parent / "frozen"
EXPORTS: Final = ("2b628bd/export", "5dd63b9/everything")
KEYS: Final = {
    "architecture": "base",
    "bath_oil": "lower_leg_oil",
    "build": "setup",
    "candidates": "options",
    "distance": "mismatch",
    "distance_low": "mismatch_low",
    "end_rise": "ramp_up",
    "equaliser_hole": "port_position",
    "gate": "hold_point",
    "kit": "tools_and_parts or gear",
    "mid_support": "mid_stroke_support",
    "proven": "optimal",
    "same_pressure": "as_found_pressure",
    "sat": "rider_loads",
    "way_back": "reassembly",
}
"""Keys of plans, old and new."""
VALUES: Final = {
    "spring_bath_oil": "spring_lower_leg_oil",
    "damper_bath_oil": "damper_lower_leg_oil",
    "air_clip": "air_retaining_ring",
    "spring_clip": "spring_retaining_ring",
    "glide_ring": "wear_band",
    "lower_glide_ring": "lower_wear_band",
    "can_glide_ring": "can_wear_band",
    "piston_glide_ring": "piston_wear_band",
    "equaliser": "transfer_port",
    "equaliser_port": "port_passage",
    "found_equaliser_hole": "found_port_position",
    "glide_ring_seen": "wear_band_seen",
    "owner_told": "customer_told",
    "equaliser_hole": "port_position",
    "as_found.equaliser_hole": "as_found.port_position",
    "prove": "check",
    "holding": "assembly",
    "thread compound": "threadlocker",
    "refuse": "not allowed",
    "ask": "question",
    "steps/1": "plan/1",
    "proven-empty": "confirmed-empty",
    "proof-last": "final-readings-last",
    "clip-proven": "retainer-checked",
    "drawn-in": "stuck-down",
    "equaliser-wrong": "transfer-port-wrong",
    "found.equaliser-behind": "found.transfer-port-behind",
    "task.within": "task.included",
    "stance.also-changes": "stance.other-changes",
    "same-pressure.none": "as-found-pressure.none",
    "aim.as-it-rode-refused": "aim.as-it-rode-not-allowed",
}
"""Names in plans, old and new; a step is named by an act and an item."""
LISTS: Final = {"equaliser_hole, travel_spacers, volume_spacers"}
"""Settings in a row, in the words of a finding."""
AS_WRITTEN: Final = {"name", "what", "do", "text", "limit", "position"}


def loaded(name: str) -> Any:  # noqa: ANN401  # whatever JSON has
    """A frozen file."""
    return json.loads(lzma.decompress((FROZEN / f"{name}.json.xz").read_bytes()))


def plans() -> dict[str, str]:
    """Every frozen plan and sequence, as it was written."""
    found: dict[str, str] = loaded("5dd63b9/plans")
    for export in EXPORTS:
        rows = loaded(export)["tables"]["documents"]
        found |= {f"{export} {row['id']}": row["text"] for row in rows if row["shape"] in {"plan/1", "steps/1"}}
    return found


def rows(table: str) -> list[dict[str, Any]]:
    """The rows of a table in both exports."""
    return [row for export in EXPORTS for row in loaded(export)["tables"][table]]


def changes(before: Any, after: Any, key: str = "") -> Iterator[tuple[str, Any, Any]]:  # noqa: ANN401  # JSON
    """Every key and value that differs, with the key it stands under; order and length are the same."""
    if isinstance(before, dict) and isinstance(after, dict):
        assert len(before) == len(after)
        for (old, one), (new, other) in zip(before.items(), after.items(), strict=True):
            if old != new:
                yield "a key", old, new
            yield from changes(one, other, old)
    elif isinstance(before, list) and isinstance(after, list):
        for one, other in zip(before, after, strict=True):
            yield from changes(one, other, key)
    elif before != after or type(before) is not type(after):
        yield key, before, after


def step_or_name(old: str) -> str:
    """The new name of a step, an item, a rule or a finding."""
    act, _, item = old.rpartition(":")
    acts = {"prove": "check", "charge:holding": "charge:assembly"}
    return ":".join((acts.get(act, act), VALUES.get(item, item))) if act else VALUES.get(old, old)


@pytest.mark.parametrize("text", plans().values(), ids=plans())
def test_a_plan_is_read_strictly_and_nothing_but_names_has_changed(text: str) -> None:
    before = json.loads(text)
    after = words.document(before["shape"], text)
    assert len(read_plan(after).steps) == len(before["steps"])
    for key, old, new in changes(before, json.loads(after)):
        if key == "a key":
            assert new in KEYS[old].split(" or ")
        else:
            assert key not in AS_WRITTEN or old in LISTS
            assert new == ", ".join(map(step_or_name, old.split(", ")))


def test_every_kind_of_entry_is_read_and_says_all_that_it_said() -> None:
    kinds = set()
    for row in rows("entries"):
        text = words.entry(row["payload"])
        payload = payload_from_text(text)
        assert json.loads(payload_to_text(payload)) == json.loads(text)
        assert len(json.loads(text)) == len(json.loads(row["payload"]))
        kinds.add(payload.kind)
    assert kinds == set(KINDS)


def test_what_was_typed_and_ticked_stays_as_it_was() -> None:
    for row in rows("entries"):
        before, after = json.loads(row["payload"]), json.loads(words.entry(row["payload"]))
        assert before.get("ticked") == after.get("ticked")
        assert [one["said"] for one in before.get("readings", ())] == [
            one["as_typed"] for one in after.get("readings", ())
        ]
        for key in {"what", "note", "text", "answer", "symptoms", "condition", "how", "checks"} & set(before):
            assert before[key] == after[key]


def test_the_ids_of_a_verdict_and_of_facts_are_renamed() -> None:
    entries = [json.loads(words.entry(row["payload"])) for row in rows("entries")]
    assert "customer_told" in {one["key"] for entry in entries for one in entry.get("readings", ())}
    paths = {path for entry in entries for path, _ in entry.get("facts", ())}
    assert {"as_found.port_position", "rider.gear"} <= paths
    assert not [path for path in paths if "equaliser" in path or "kit" in path]
    assert ["port_position", 0.0] in [pair for entry in entries for pair in entry.get("found", ())]


def test_half_filled_forms() -> None:
    drafts = {row["form"]: json.loads(row["text"]) for row in (words.row("drafts", one) for one in rows("drafts"))}
    assert set(drafts) == {"prepare", "check in", "update intake"}
    assert drafts["check in"] == {
        "customer.name": "half a na",
        "customer.contact": "bath oil",
        "unit.family": "specimen/t35",
        "as_found.port_position.untold": "yes",
        "rider.gear": "equaliser",
        "due": "2026-03-09",
        "symptoms": "equaliser",
        "wish.aim": "as-it-rode",
    }
    assert drafts["update intake"] == {
        "as_found.port_position": "1",
        "rider.gear": "5 kg",
        "customer.name": "Jo",
        "task.lower-legs": "yes",
        "condition.port_passage": "no",
    }
    assert {"tools_and_parts.fluid: bath oil", "tools_and_parts.tool: oil tray"} <= set(drafts["prepare"])


def test_bikes_are_read_as_they_were_written() -> None:
    bikes = [row["text"] for row in rows("documents") if row["shape"] == "bike/1"]
    assert bikes
    for text in bikes:
        assert words.document("bike/1", text) == text
        assert load_bike_text(text, "bike").name


def test_an_intake_keeps_all_but_its_renamed_paths() -> None:
    seen = set()
    for text in (row["text"] for row in rows("documents") if row["shape"] == "intake/1"):
        before, after = json.loads(text), json.loads(words.document("intake/1", text))
        assert list(before) == list(after)
        rider, new_rider = before.pop("rider", {}), after.pop("rider", {})
        assert sorted(rider.values()) == sorted(new_rider.values())
        assert list(new_rider) == sorted({"kit": "gear"}.get(key, key) for key in rider)
        seen |= {(old, new) for _, old, new in changes(before, after)}
    assert seen == {
        ("equaliser_hole", "port_position"),
        ("inspect=lower_glide_ring", "inspect=lower_wear_band"),
        ("found.equaliser-behind", "found.transfer-port-behind"),
    }


def test_a_sheet_is_read_and_only_its_keys_and_names_have_changed() -> None:
    for row in rows("sheets"):
        made = words.row("sheets", row)
        inputs = tuple((name, text) for name, text in json.loads(made["inputs"]))
        sheet = read_sheet(made["key"], made["text"], inputs)
        assert sheet.items


def test_keys_of_a_sheet_are_found_however_they_stand() -> None:
    own = next(row["text"] for row in rows("sheets") if row["key"] == "own/fork")
    assert sheet_words.sheet(own).splitlines() == [
        "# A workshop's own fork: the equaliser: of it moves, gate: yes.",
        "shape: sheet/1",
        "extends: specimen/t35",
        "maker: Specimen",
        "model: Own",
        "revision: 1",
        "transfer_port:",
        "  \"positions\": '5'",
        "legs:",
        "  spring: {lower_leg_oil: 11 ± 1 ml}",
        "charging:",
        "  before_lowers: assembly",
        "  assembly_pressure: 30 psi",
        "items:",
        "  transfer_port:",
        "    name: equaliser",
        '    role: "transfer port"',
        "  lower_wear_band:",
        "    name: glide ring of the foot",
        "    covered_by:",
        "      - air_retaining_ring # clip: below it",
        "      - lowers",
        "    after: [ transfer_port , air_shaft ]",
        (
            '    off: {do: "Lift it out; prove: it is whole.", position: on the bench, minutes: 2 ± 1 min,'
            ' hold_point: yes, record: {wear_band_seen: {what: "Wear of the glide ring, yes or no."}}}'
        ),
        "    on:",
        "      do: Lay it in.",
        "      position: on the bench",
        "      minutes: 2 ± 1 min",
        "      torque: 6 ± 1 N·m threadlocker, maker's manual",
        "      fluid: {name: thread compound, amount: 0.1 ml}",
        "      waiting: 30 min",
        "    criteria:",
        '      port_passage: {look_for: "Grease in the equaliser: none, gate: no.", limit: free, otherwise: renew}',
        "    inspect: {do: Look at it., position: on the bench, minutes: 2 ± 1 min}",
        "    renew: [glide ring 35 mm]",
    ]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("torque: 'dry thread compound, maker''s manual'", "torque: 'dry threadlocker, maker''s manual'"),
        ('torque: "6 N·m thread compound, \\"x\\""', 'torque: "6 N·m threadlocker, \\"x\\""'),
        ("do: 'gate: thread compound'", "do: 'gate: thread compound'"),
    ],
)
def test_quotes_in_a_sheet_stay(before: str, after: str) -> None:
    head = "items:\n  x:\n    on:\n      "
    assert sheet_words.sheet(head + before) == head + after


def test_a_sheet_that_cannot_be_read_stays_as_it_is() -> None:
    assert sheet_words.sheet("equaliser: {") == "equaliser: {"
