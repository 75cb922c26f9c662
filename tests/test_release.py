"""What a release must have, and what refuses it."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from sagwright.version import __version__
from scripts.matrix import found
from scripts.release import ROOT, NotReady, require_everything_in, require_shapes, section_of, shapes_in

CHANGELOG = "# Changelog\n\n## 1.2.0, 2030-01-02\n\n- New: `plan/1`.\n\n## 1.1.0\n\n## 1.0.10\n\n- Old.\n"


def test_this_version_has_a_section_that_names_every_shape() -> None:
    section = section_of((ROOT / "CHANGELOG.md").read_text("utf-8"), __version__)
    require_shapes(section, shapes_in(ROOT / "src"))


def test_a_section_is_that_of_the_version_and_no_more() -> None:
    assert section_of(CHANGELOG, "1.2.0") == "- New: `plan/1`."
    assert section_of(CHANGELOG, "1.0.10") == "- Old."


@pytest.mark.parametrize("version", ["1.1.0", "1.0.1", "2.0.0"])
def test_a_version_without_anything_said_of_it_is_refused(version: str) -> None:
    with pytest.raises(NotReady, match=version):
        section_of(CHANGELOG, version)


def test_a_shape_that_is_left_out_or_gone_is_refused() -> None:
    require_shapes("`plan/1` and `sheet/2`", {"plan/1", "sheet/2"})
    with pytest.raises(NotReady, match=r"Missing: sheet/2; not there: sheet/1"):
        require_shapes("`plan/1` and `sheet/1`", {"plan/1", "sheet/2"})


def test_a_wheel_that_lacks_a_file_is_refused(tmp_path: Path) -> None:
    package = tmp_path / "source" / "src" / "some"
    package.mkdir(parents=True)
    for name in ("one.py", "page.html"):
        (package / name).write_text(name)
    wheel = tmp_path / "some.whl"
    with zipfile.ZipFile(wheel, "w") as packed:
        packed.write(package / "one.py", "some/one.py")
    with pytest.raises(NotReady, match=r"some/page\.html"):
        require_everything_in(wheel, tmp_path / "source")
    with zipfile.ZipFile(wheel, "a") as packed:
        packed.write(package / "page.html", "some/page.html")
    assert require_everything_in(wheel, tmp_path / "source") == 2


def test_an_interpreter_counts_where_it_can_make_an_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for version, code in (("3.9", 0), ("3.12", 0), ("3.13", 1)):
        python = tmp_path / f"python{version}"
        python.write_text(f"#!/bin/sh\nexit {code}\n")
        python.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert found() == {"3.12": str(tmp_path / "python3.12")}
