from __future__ import annotations

import pytest

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.value import Figure, Quantity
from sagwright.errors import Defect
from sagwright.phrases.finding_templates import FINDING_TEMPLATES, FINDING_WORDS
from sagwright.phrases.findings import finding_sentence, parts
from sagwright.units import UnitChoice, choose_units

LENGTH = Figure(0.170, Quantity.LENGTH)
SPAN = (("low", Figure(0.120, Quantity.LENGTH)), ("high", Figure(0.160, Quantity.LENGTH)))
NOT_PERMITTED = Finding(
    "travel.not-permitted",
    Severity.NOT_ALLOWED,
    "wish.travel",
    (("wanted", LENGTH), *SPAN, ("below", Figure(0.160, Quantity.LENGTH))),
    (("chassis", "long"),),
)


def test_it_says_the_figures_and_what_to_do_and_leaves_out_what_is_not_there() -> None:
    assert finding_sentence(NOT_PERMITTED, UnitChoice()) == (
        "170 mm of travel is not permitted on chassis long, which takes 120 mm to 160 mm. Wish for a "
        "permitted one; the next shorter is 160 mm. Beyond these only the maker can say yes."
    )


def test_figures_stand_in_the_units_asked_for() -> None:
    assert finding_sentence(NOT_PERMITTED, choose_units("in", base=UnitChoice(decimal=","))).startswith(
        "6,69 in of travel"
    )


def test_counts_name_what_they_count() -> None:
    found = (("found", Figure(5, Quantity.COUNT)), ("most", Figure(4, Quantity.COUNT)))
    finding = Finding("found.travel-spacers-too-many", Severity.QUESTION, "as_found.travel_spacers", found)
    assert finding_sentence(finding, UnitChoice()).startswith("Found: 5 travel spacers, where at most 4 fit.")


@pytest.mark.parametrize("code", sorted(FINDING_TEMPLATES))
def test_every_sentence_says_what_is_the_matter_and_then_what_to_do(code: str) -> None:
    spoken = finding_sentence(_with_every_blank_filled(code), UnitChoice())
    assert spoken.count(". ") >= 1
    assert spoken.endswith(".")
    assert "{" not in spoken
    assert spoken[0].isupper() or spoken[0].isdigit() or spoken[0] == "'"


def _with_every_blank_filled(code: str) -> Finding:
    blanks = [part for part in parts(FINDING_TEMPLATES[code].replace("[", "").replace("]", "")) if part.name]
    figures = [(part.name, Figure(2, Quantity.COUNT) if part.noun else LENGTH) for part in blanks if not part.is_key]
    keys = [(part.name, ", ".join(FINDING_WORDS)) for part in blanks if part.is_key]
    return Finding(code, Severity.NOTE, "wish", tuple(figures), tuple(keys))


def test_a_key_is_put_into_words_and_an_unknown_one_is_our_defect() -> None:
    def none(why: str) -> Finding:
        return Finding("as-found-pressure.none", Severity.NOTE, "as_found.charge", words=(("why", why),))

    assert "cannot be shown: the pressure it was ridden at is not known" in finding_sentence(
        none("pressure-unknown"), UnitChoice()
    )
    with pytest.raises(Defect, match="no words for tired"):
        finding_sentence(none("tired"), UnitChoice())


def test_a_code_without_a_sentence_is_our_defect() -> None:
    with pytest.raises(Defect, match=r"no sentence for the finding 'travel\.sideways'"):
        finding_sentence(Finding("travel.sideways", Severity.NOTE, "wish.travel"), UnitChoice())


def test_a_finding_that_lacks_a_figure_is_our_defect() -> None:
    with pytest.raises(Defect, match="does not say chassis, high, low, wanted"):
        finding_sentence(Finding("travel.not-permitted", Severity.NOT_ALLOWED, "wish.travel"), UnitChoice())
