"""Which licences a dependency may have."""

from __future__ import annotations

from importlib.metadata import Distribution, PathDistribution
from pathlib import Path

import pytest

from scripts.licences import READ, Dependency, installed, licence_of


def distribution(folder: Path, *lines: str) -> Distribution:
    """A distribution whose metadata has the given lines."""
    (folder / "METADATA").write_text("\n".join(["Metadata-Version: 2.4", "Name: some", *lines, "", ""]), "utf-8")
    return PathDistribution(folder)


@pytest.mark.parametrize("licence", ["MIT", "MPL-2.0", "BSD-3-Clause AND Zlib", "GPL-2.0-only OR MIT"])
def test_permissive_and_weak_licences_are_accepted(licence: str) -> None:
    assert Dependency("run", "some", "1", licence).accepted


@pytest.mark.parametrize("licence", ["unknown", "", "GPL-3.0-only", "MIT AND AGPL-3.0-only", "Proprietary OR SSPL"])
def test_other_licences_are_not(licence: str) -> None:
    assert not Dependency("run", "some", "1", licence).accepted


@pytest.mark.parametrize(
    ("lines", "licence"),
    [
        (["License-Expression: MIT", "License: BSD"], "MIT"),
        (["Classifier: License :: OSI Approved :: MIT License"], "MIT"),
        (["License: BSD"], "BSD-3-Clause"),
        (["License: Ask us"], "Ask us"),
        ([], "unknown"),
    ],
)
def test_a_licence_is_read_wherever_it_is_written(tmp_path: Path, lines: list[str], licence: str) -> None:
    assert licence_of(distribution(tmp_path, *lines)) == licence


def test_what_was_read_by_hand_is_used_where_the_package_says_nothing() -> None:
    found = {each.name: each.licence for each in installed()}
    assert found["resvg-py"] == READ["resvg-py"]
    assert found["font-source-sans-pro"] == "OFL-1.1"


def test_what_runs_the_program_is_told_from_what_tests_it() -> None:
    uses = {each.name: each.use for each in installed()}
    assert uses["numpy"] == "run"
    assert uses["pytest"] == "test"
    assert "sagwright" not in uses
