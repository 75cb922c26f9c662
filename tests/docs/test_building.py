"""A small site built with the extensions: formulas without script, citations, no pictures where no browser is."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from sphinx.application import Sphinx
from sphinx.util.docutils import docutils_namespace, patch_docutils

Built = tuple[str, str]
"""A page as it was built, and what the build warned of."""


@pytest.fixture
def build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Built]:
    """Builds one page where no program can be found."""
    monkeypatch.setenv("PATH", str(tmp_path))

    def built(text: str) -> Built:
        source = tmp_path / "source"
        source.mkdir()
        (source / "index.md").write_text(f"# Page\n\n{text}\n", "utf-8")
        extensions = ["myst_parser", *(f"docs.extensions.{name}" for name in ("citing", "mathml", "pictures"))]
        overrides = {
            "extensions": extensions,
            "myst_enable_extensions": ["dollarmath"],
            "html_math_renderer": "mathml",
            "nitpicky": True,
        }
        folders = (str(source), None, str(tmp_path / "html"), str(tmp_path / "doctrees"))
        warned = io.StringIO()
        with docutils_namespace(), patch_docutils():
            Sphinx(*folders, "html", confoverrides=overrides, status=None, warning=warned, freshenv=True).build()
        return (tmp_path / "html" / "index.html").read_text("utf-8"), warned.getvalue()

    return built


def test_formulas_become_mathml_and_need_no_script(build: Callable[[str], Built]) -> None:
    page, warned = build(r"Where $p V^n$ is, $$F = -\sum_i p_i \frac{dV_i}{dx}$$ follows.")
    assert page.count("<math ") == 2
    assert "<mfrac>" in page
    assert not re.search(r"<script[^>]*math", page, re.IGNORECASE)
    assert not warned


def test_a_formula_that_cannot_be_read_fails_a_build_that_takes_no_warnings(build: Callable[[str], Built]) -> None:
    _, warned = build(r"$$p \notacommand V$$")
    assert "formula '" in warned


def test_a_source_is_cited_by_its_key_and_a_wrong_key_is_found(build: Callable[[str], Built]) -> None:
    page, warned = build("As {source}`iso-2533` says.\n\n```{sources}\n```\n\nNot {source}`iso-1`.")
    assert '<a class="reference internal" href="#source-iso-2533">' in page
    assert "There is no source 'iso-1'" in warned


def test_without_a_chromium_the_pages_are_built_without_pictures(
    build: Callable[[str], Built], capsys: pytest.CaptureFixture[str]
) -> None:
    page, warned = build("Before.\n\n```{picture} board\n:alt: The board\nThe board.\n```\n\nAfter.")
    assert capsys.readouterr().err == "No Chromium here: the pages are built without pictures.\n"
    assert not warned
    assert "<img" not in page
    assert "After." in page
