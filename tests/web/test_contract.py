"""A template shows the fields of its page, all of them and nothing else."""

from __future__ import annotations

import dataclasses
import inspect
from collections.abc import Iterator
from functools import cache
from types import ModuleType

import pytest
from jinja2 import nodes
from jinja2.meta import find_referenced_templates, find_undeclared_variables

from sagwright import web
from sagwright.web.http import number_field, page
from sagwright.web.http.page import PAGE_TEMPLATES, Page, environment
from sagwright.web.plan import controls, decide, options, outcome
from tests.support.web.modules import modules_below


def modules_with_pages() -> tuple[ModuleType, ...]:
    """Every module in which a page is defined."""
    return tuple(
        module
        for module in modules_below(web)
        if any(issubclass(found, Page) and found is not Page for found in classes_of(module))
    )


def classes_of(module: ModuleType) -> list[type]:
    classes = [found for _, found in inspect.getmembers(module, inspect.isclass)]
    return [found for found in classes if found.__module__ == module.__name__]


MODULES = modules_with_pages()
PARTS = (page, options, controls, decide, outcome, number_field)


def pages_of(modules: tuple[ModuleType, ...]) -> dict[str, type[Page]]:
    return {
        found.__name__: found
        for module in modules
        for _, found in inspect.getmembers(module, inspect.isclass)
        if issubclass(found, Page) and found is not Page
    }


PAGES = pages_of(MODULES)


@cache
def tree_of(template: str) -> nodes.Template:
    """A template as it is parsed."""
    source = environment().loader.get_source(environment(), template)[0]  # type: ignore[union-attr]
    return environment().parse(source)


def trees(template: str) -> Iterator[nodes.Template]:
    """A template with everything it extends, includes and imports."""
    yield tree_of(template)
    for other in find_referenced_templates(tree_of(template)):
        assert other is not None
        yield from trees(other)


@cache
def shown_attributes() -> frozenset[str]:
    """Every attribute that some template shows."""
    return frozenset(
        node.attr for name in environment().list_templates() for node in tree_of(name).find_all(nodes.Getattr)
    )


def imported(tree: nodes.Template) -> set[str]:
    """The macros that a template takes from another, and those of its own."""
    own = {found.name for found in tree.find_all(nodes.Macro)}
    return own | {str(name) for found in tree.find_all(nodes.FromImport) for name in found.names}


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
def test_it_shows_its_fields_and_nothing_else(page: type[Page]) -> None:
    used = set().union(*(find_undeclared_variables(tree) - imported(tree) for tree in trees(page.template)))
    assert used == {field.name for field in dataclasses.fields(page)}


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
def test_its_fields_are_documented(page: type[Page]) -> None:
    own = {field.name for field in dataclasses.fields(page)} - {"frame"}
    said = inspect.getdoc(page) or ""
    assert all(name in said for name in own)


def parts_of(module: ModuleType) -> list[type]:
    return [
        found
        for _, found in inspect.getmembers(module, inspect.isclass)
        if found.__module__ == module.__name__ and dataclasses.is_dataclass(found) and not issubclass(found, Page)
    ]


@pytest.mark.parametrize("module", [*MODULES, *PARTS], ids=lambda module: module.__name__.rpartition(".")[2])
def test_every_part_of_a_page_is_shown_somewhere(module: ModuleType) -> None:
    for part in parts_of(module):
        shown = shown_attributes() | NOT_SHOWN.get(part.__name__, set())
        hidden = {field.name for field in dataclasses.fields(part)} - shown
        assert not hidden, f"{part.__name__}: {hidden}"


NOT_SHOWN = {"PageFrame": {"choice", "section"}, "Set": {"facts", "typed"}, "Typed": {"fact"}}
"""Fields that are read on the way to the template, not by it."""


def test_every_template_belongs_to_a_page() -> None:
    of_pages = {name for page in PAGES.values() for name in names(page.template)}
    assert {path.relative_to(PAGE_TEMPLATES).as_posix() for path in PAGE_TEMPLATES.rglob("*.html")} == of_pages


def names(template: str) -> set[str]:
    referenced = [name for name in find_referenced_templates(tree_of(template)) if name]
    return {template}.union(*(names(name) for name in referenced))
