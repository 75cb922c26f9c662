"""A bike's geometry as a form: its fields, and the bike/1 text that comes of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sagwright.errors import InputError
from sagwright.formats.bike.chart import CHART_GROUPS, CHARTS, Chart, chart_faults, chart_missing, chart_of, chart_text
from sagwright.formats.intake.facts import as_typed, with_unit
from sagwright.phrases import quantities
from sagwright.units import UnitChoice
from sagwright.web.counter.questions import OUTLINE, Filler
from sagwright.web.http.form import Box, Form, FormReading, field_text

_START = "chart."
"""Beginning of the names of its fields; a path of bike/1 follows."""
TEXT = "bicycle.document"
"""The field for a whole text."""


def chart_groups(filler: Filler) -> tuple[tuple[str, tuple[Box, ...]], ...]:
    """The fields of a chart under their headings, with unit, usual range, and whether they are needed."""
    return tuple((heading, tuple(_box(filler, one) for one in charts)) for heading, charts in CHART_GROUPS)


def _box(filler: Filler, chart: Chart) -> Box:
    unit = filler.choice.unit(chart.quantity) if chart.quantity else ""
    return filler.box(
        Box(_START + chart.path, f"{chart.label}, {unit}" if unit else chart.label, hint=_hint(chart, filler.choice))
    )


def _hint(chart: Chart, choice: UnitChoice) -> str:
    need = f"{chart.need[:1].upper()}{chart.need[1:]}." if chart.need else "May be left out."
    usual = ""
    if chart.usual is not None and chart.quantity is not None:
        usual = f"Usually {quantities.span(*chart.usual, chart.quantity, choice)}."
    return " ".join(filter(None, (need, chart.hint, usual)))


def charted(form: Form) -> bool:
    """Whether anything was typed into the fields of a chart."""
    return any(form.text(_START + chart.path) for chart in CHARTS)


def chart_document(reading: FormReading, name: str, before: str = "") -> str:
    """The bike/1 text of what was typed or pasted; what is wrong with it stands in the reading.

    `before` is an earlier text, of which everything stays that the fields do not show.
    """
    fields = {field: text for field, text in reading.form.pairs if field.startswith(_START) and text}
    pasted = reading.form.raw(TEXT).strip()
    if fields == recorded_chart(before, reading.choice):
        if pasted:
            _no_outline(reading)
        return _pasted(reading, pasted, name) if pasted else before
    _no_outline(reading)
    if pasted:
        reading.wrong(TEXT, InputError("cannot stand beside the fields above", remedy="Keep one of the two."))
        return before
    return _filled(reading, name, before) if fields else ""


def _no_outline(reading: FormReading) -> None:
    """A whole geometry that is typed now and four values for want of one contradict each other, and neither wins."""
    for ask in OUTLINE:
        if reading.form.text(ask.path):
            reading.wrong(ask.path, InputError("cannot stand beside a whole geometry", remedy="Keep one of the two."))


def _pasted(reading: FormReading, text: str, name: str) -> str:
    faults = chart_faults(text, name).values()
    if faults:
        told = (f"{one.field}: {field_text(one)}" if one.field else str(one) for one in dict.fromkeys(faults))
        reading.wrongs.setdefault(TEXT, " ".join(told))
    return text


def _filled(reading: FormReading, name: str, before: str) -> str:
    text = chart_text(name, dict(_values(reading, before)), before)
    typed = [chart.path for chart in CHARTS if reading.form.text(_START + chart.path)]
    for path, fault in (chart_missing(typed) | chart_faults(text, name)).items():
        reading.wrong(_START + path if path else TEXT, fault)
    return text


def _values(reading: FormReading, before: str) -> Iterator[tuple[str, str]]:
    known = chart_of(before)
    for chart in CHARTS:
        typed = reading.form.text(_START + chart.path)
        if not typed:
            continue
        was = known.get(chart.path, "")
        try:
            untouched = was and typed == as_typed(was, reading.choice)
            yield chart.path, was if untouched else _written(typed, chart, reading.choice)
        except InputError as error:
            reading.wrong(_START + chart.path, error)


def _written(typed: str, chart: Chart, choice: UnitChoice) -> str:
    return typed if chart.quantity is None else with_unit(typed, chart.quantity, choice)


def recorded_chart(document: str, choice: UnitChoice) -> Mapping[str, str]:
    """The fields of a bike that is known, as one would type them here."""
    return {_START + path: as_typed(text, choice) for path, text in chart_of(document).items()}
