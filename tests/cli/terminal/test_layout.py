"""How blocks become lines: wrapped words, whole numbers, nothing that steers a terminal."""

from __future__ import annotations

from sagwright.cli.terminal.document import (
    Banner,
    Heading,
    Paragraph,
    TextColumn,
    TextLine,
    TextRow,
    TextRows,
    TextTable,
)
from sagwright.cli.terminal.output import plain_output


def text(*blocks: Banner | Heading | Paragraph | TextRows | TextTable, width: int = 40) -> list[str]:
    return plain_output(blocks, width=width).splitlines()


def test_a_heading_is_ruled_to_the_edge() -> None:
    assert text(Heading("Tools and parts")) == ["", "TOOLS AND PARTS " + "─" * 24]


def test_text_wraps_beside_its_lead() -> None:
    rows = TextRows(
        (TextRow("tool", "torque wrench with a very long name, and a socket"), TextRow("do", "turn")), lead_width=6
    )
    assert text(rows) == ["tool    torque wrench with a very long", "        name, and a socket", "do      turn"]


def test_rows_may_be_none() -> None:
    assert text(TextRows(())) == []


def test_a_number_stays_with_its_unit_and_a_blank_too() -> None:
    assert text(Paragraph("The fork stands at a pressure of 105 psi."), width=36) == [
        "The fork stands at a pressure of",
        "105 psi.",
    ]
    assert text(Paragraph("Exposed stanchion, measured: ______ mm"), width=36)[1] == "______ mm"


def test_an_empty_paragraph_is_an_empty_line() -> None:
    assert text(Paragraph(""), Paragraph("x")) == ["", "x"]


def test_a_banner_has_its_asides_at_the_edge_whatever_its_length() -> None:
    assert text(Banner(" 1", "Fit", "hold point", "3 min")) == ["", f" 1  {'Fit':<19}hold point  3 min"]
    assert text(Banner(" 1", "Fit the lowers and seat both feet", "hold point", "3 min")) == [
        "",
        f" 1  {'Fit the lowers':<19}hold point  3 min",
        "    and seat both",
        "    feet",
    ]


TABLE = TextTable(
    (TextColumn("", right=False), TextColumn("sag\nmm"), TextColumn("", right=False)),
    (TextLine(("as found", "30.3", "")), TextLine(("1", "8.0", "the as-found pressure again"))),
)


def test_numbers_stand_at_the_right_under_headings_of_several_lines() -> None:
    assert text(TABLE, width=60) == [
        "           sag",
        "            mm",
        "as found  30.3",
        "1          8.0  the as-found pressure again",
    ]


def test_only_the_last_column_wraps_and_no_number_is_cut() -> None:
    assert text(TABLE, width=27)[2:] == [
        "as found  30.3",
        "1          8.0  the",
        "                as-found",
        "                pressure",
        "                again",
    ]
    assert "as found  30.3" in text(TABLE, width=5)


def test_what_would_steer_a_terminal_is_replaced() -> None:
    assert text(Paragraph("red \x1b[31m bell \x07")) == ["red �[31m bell �"]
