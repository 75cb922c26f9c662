"""Text to SI: what is read, what is refused, and how that is said."""

from __future__ import annotations

import math

import pytest

from sagwright.domain.value import Quantity
from sagwright.errors import OutOfRange, WrongUnit
from sagwright.units import parse, parse_difference, split, units_of
from sagwright.units.table import QUANTITY_UNITS

READ = [
    ("31.8 mm", "length", 0.0318),
    ("31.8mm", "length", 0.0318),
    ("3.18 cm", "length", 0.0318),
    ("+.5 in", "length", 0.0127),
    ('0.5"', "length", 0.0127),
    ("0.5”", "length", 0.0127),
    ("8 ml", "volume", 8e-6),
    ("8 mL", "volume", 8e-6),
    ("8 cm³", "volume", 8e-6),
    ("8 cc", "volume", 8e-6),
    ("78 PSI", "pressure", 78 * 6894.757293168361),
    ("1009 hPa", "pressure", 100_900.0),
    ("0.5 MPa", "pressure", 500_000.0),
    ("1.5e3 N", "force", 1500.0),
    ("40 %", "fraction", 0.4),
    ("40%", "fraction", 0.4),
    ("0.4", "fraction", 0.4),
    ("1.2", "ratio", 1.2),
    ("2", "count", 2.0),
    ("3 min", "time", 180.0),
    ("2 weeks", "time", 1_209_600.0),
    ("−10 °C", "temperature", 263.15),
    ("–10 °C", "temperature", 263.15),
    ("- 10 °C", "temperature", 263.15),
    ("20 ºC", "temperature", 293.15),
    ("20 ˚C", "temperature", 293.15),
    ("65°", "angle", 65 * math.pi / 180),
    ("140 J", "energy", 140.0),
]

LBF_IN = 0.1129848290276167
TORQUES = [
    *((spelling, 1.0) for spelling in ("N·m", "N⋅m", "Nm", "nm", "N m", "N*m", "N-m", "N.m")),
    *((f"{force}{sign}in", LBF_IN) for force in ("lbf", "lb", "lbs") for sign in "·⋅*-. "),
    *((f"in{sign}{force}", LBF_IN) for force in ("lbf", "lb", "lbs") for sign in "·⋅*-. "),
    *((f"ft{sign}{force}", 12 * LBF_IN) for force in ("lbf", "lb", "lbs") for sign in "·⋅*-. "),
    *((f"kgf{sign}cm", 0.0980665) for sign in "·⋅*-. "),
]


@pytest.mark.parametrize(("text", "quantity", "si"), READ)
def test_it_reads_what_people_write(text: str, quantity: str, si: float) -> None:
    assert parse(text, quantity) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(("unit", "si"), TORQUES)
def test_it_reads_a_torque_however_the_product_is_written(unit: str, si: float) -> None:
    # common practice, no source: torque wrenches and manuals say in-lbs, in·lb and lbf·in of the same thing
    assert parse(f"1 {unit}", "torque") == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize("space", [" ", "", "  ", "\t", "\u00a0", "\u2009", "\u202f"])
def test_it_reads_every_kind_of_space(space: str) -> None:
    assert parse(f"{space}31.8{space}mm{space}", "length") == 0.0318


@pytest.mark.parametrize(
    ("text", "rule", "remedy"),
    [
        ("31.8 psi", "like 31.8 mm", "psi is a unit of pressure; a length is written in mm, cm, m or in."),
        ("31.8", "like 31.8 mm", "Write the unit: mm, cm, m or in."),
        ("31.8 mmm", "like 31.8 mm", "did you mean mm?; a length is written in mm, cm, m or in."),
        ("31.8 millimetr", "like 31.8 mm", "did you mean mm?"),
        ("31.8 INN", "like 31.8 mm", "did you mean in?"),
        ("mm", "like 31.8 mm", "Write a length as a number with its unit."),
        ("", "like 31.8 mm", "Write a length as a number with its unit."),
        ("nan mm", "like 31.8 mm", "Write a length as a number with its unit."),
        ("+-5 mm", "like 31.8 mm", "Write a length as a number with its unit."),
        ("٥ mm", "like 31.8 mm", "Write a length as a number with its unit."),
        ("1,234.5 mm", "like 31.8 mm", "Write a length as a number with its unit."),
        ("5..5 mm", "like 31.8 mm", "Write a length as a number with its unit."),
        ("1" * 61, "like 31.8 mm", "Write a length as a number with its unit."),
        ("1 234 mm", "like 31.8 mm", "'234 mm' is no unit we know"),
        ("1e500 mm", "like 31.8 mm", "'e500 mm' is no unit we know"),
        ("1/2 in", "like 31.8 mm", "'/2 in' is no unit we know"),
    ],
)
def test_it_says_what_is_wrong_and_what_to_write(text: str, rule: str, remedy: str) -> None:
    with pytest.raises(WrongUnit) as caught:
        parse(text, "length")
    assert caught.value.rule == f"must be a length, {rule}"
    assert remedy in caught.value.remedy
    assert caught.value.value == text


def test_the_whole_sentence() -> None:
    with pytest.raises(WrongUnit) as caught:
        parse("80 kg", "force")
    assert str(caught.value) == (
        "must be a force, like 320 N, got '80 kg'. kg is a unit of mass; a force is written in N, kgf or lbf."
    )


@pytest.mark.parametrize("quantity", list(Quantity))
def test_a_unit_of_any_other_quantity_is_refused(quantity: Quantity) -> None:
    others = [(name, other) for other in Quantity if other != quantity for name in units_of(other) if name]
    for name, other in others:
        with pytest.raises(WrongUnit) as caught:
            parse(f"20 {name}", quantity)
        noun = QUANTITY_UNITS[other].noun.partition(" ")[2]
        assert caught.value.rule == f"must be {QUANTITY_UNITS[quantity].noun}, like {QUANTITY_UNITS[quantity].example}"
        assert caught.value.remedy.startswith(f"{name} is a unit of {noun}; {QUANTITY_UNITS[quantity].noun} ")


@pytest.mark.parametrize("quantity", list(Quantity))
def test_the_example_in_the_message_is_read(quantity: Quantity) -> None:
    assert parse(QUANTITY_UNITS[quantity].example, quantity) > 0.0


@pytest.mark.parametrize("quantity", [quantity for quantity in Quantity if "" not in units_of(quantity)])
def test_a_bare_number_is_refused_where_a_unit_is_needed(quantity: Quantity) -> None:
    with pytest.raises(WrongUnit) as caught:
        parse("20", quantity)
    assert caught.value.remedy.startswith("Write the unit: ")
    assert all(name in caught.value.remedy for name in units_of(quantity))


@pytest.mark.parametrize("unit", ["mPa", "mpa"])
def test_a_millipascal_is_not_taken_for_a_megapascal(unit: str) -> None:
    with pytest.raises(WrongUnit) as caught:
        parse(f"5 {unit}", "pressure")
    assert f"{unit!r} is no unit we know, did you mean MPa?" in caught.value.remedy


@pytest.mark.parametrize(
    ("text", "decimal", "si"),
    [("31,8 mm", ",", 0.0318), (",5 mm", ",", 0.0005), ("1,5e1 mm", ",", 0.015), ("30 mm", ",", 0.03)],
)
def test_a_decimal_comma_is_read_where_it_is_the_mark(text: str, decimal: str, si: float) -> None:
    assert parse(text, "length", decimal=decimal) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "decimal", "remedy"),
    [
        ("31,8 mm", ".", "Write 31.8, without marks between thousands."),
        ("1,234 mm", ".", "Write 1.234, without marks between thousands."),
        ("31.8 mm", ",", "Write 31,8, without marks between thousands."),
    ],
)
def test_the_other_mark_is_refused(text: str, decimal: str, remedy: str) -> None:
    with pytest.raises(WrongUnit) as caught:
        parse(text, "length", decimal=decimal)
    assert caught.value.rule == f'must be written with "{decimal}" as the decimal mark'
    assert caught.value.remedy == remedy


@pytest.mark.parametrize("text", ["-273.15 °C", "-274 °C", "-459.67 °F", "0 K", "-1 K"])
def test_absolute_zero_and_what_lies_below_are_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="must lie above absolute zero") as caught:
        parse(text, "temperature")
    assert caught.value.remedy == "Check the sign and the unit."


def test_just_above_absolute_zero_is_read() -> None:
    assert parse("-273.14 °C", "temperature") == 0.01


def test_half_a_piece_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be a whole number") as caught:
        parse("2.5", "count")
    assert caught.value.remedy == "Count whole pieces."


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert parse_difference("2 °C", "temperature") == 2.0
    assert parse_difference("-2 °C", "temperature") == -2.0
    assert parse_difference("9 °F", "temperature") == 5.0
    assert parse_difference("0 K", "temperature") == 0.0


@pytest.mark.parametrize("text", ["-0 mm", "−0.0 mm"])
def test_minus_nothing_is_nothing(text: str) -> None:
    assert math.copysign(1.0, parse(text, "length")) == 1.0
    assert math.copysign(1.0, parse_difference(text, "length")) == 1.0


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("31.8 mm", ("31.8", "mm")),
        ("31,8mm, measured", ("31,8", "mm, measured")),
        ("− 5 °C", ("- 5", "°C")),
        ("about 5 mm", ("", "about 5 mm")),
        ("", ("", "")),
    ],
)
def test_a_text_is_split_after_its_number(text: str, parts: tuple[str, str]) -> None:
    assert split(text) == parts
