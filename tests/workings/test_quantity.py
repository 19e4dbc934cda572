import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import BadQuantity
from kb.workings.number import nominal, u_of
from kb.workings.quantity import read_quantity


@pytest.mark.parametrize(
    ("text", "unit", "value", "u"),
    [
        ("28.6 mm", "mm", 28.6, 0), ("1.125 in", "mm", 28.575, 0), ("1-1/8 in", "mm", 28.575, 0), ("1 1/8\"", "mm", 28.575, 0),
        ("9/16 in", "mm", 14.2875, 0), ("5 N*m", "N*m", 5, 0), ("5Nm", "N*m", 5, 0), ("44.25 lb-in", "N*m", 5.0, 0),
        ("0,75 %", "%", 0.75, 0), ("0.75", "%", 0.75, 0), ("31.8±0.05", "mm", 31.8, 0.05), ("31.8 +- 0.05 mm", "mm", 31.8, 0.05),
        ("31.8 mm +/- 0.5 %", "mm", 31.8, 0.159), ("1 in ± 0.1 mm", "mm", 25.4, 0.1), ("5 % ± 1 %", "%", 5, 1),
        ("20 °C ± 1", "degC", 20, 1), ("68 F", "degC", 20, 0), ("0.5 g", "m/s^2", 4.903325, 0), ("250 g", "g", 250, 0),
        ("90 rpm", "1/min", 90, 0), ("53T", "teeth", 53, 0), ("32 spokes", "count", 32, 0), ("15 %", "1", 0.15, 0),
        ("-2.5", "mm", -2.5, 0), ("−2.5 mm", "mm", -2.5, 0), ("1e3", "mm", 1000, 0), ("100 psi", "bar", 6.894757, 0),
        ("36 h", "day", 1.5, 0), ("2.81 g/cm³", "kg/m^3", 2810, 0), ("120 kgf", "N", 1176.798, 0), ("450 lb/in", "N/mm", 78.807, 0),
    ],
)  # fmt: skip
def test_a_quantity_as_a_mechanic_writes_it_is_read(text: str, unit: str, value: float, u: float) -> None:
    number = read_quantity("x", text, unit)
    assert nominal(number) == pytest.approx(value, rel=1e-4)
    assert u_of(number) == pytest.approx(u, rel=1e-6)


@pytest.mark.parametrize(
    "text",
    ["", "abc", "5 kg", "5 mm mm", "1/0", "1e999", "5 ±", "5 ± 1 ± 2", "5 ± -1", "nan", "inf", "5;5", "5-6 mm", "1,000.5",
     "5 mm**9**9**9", "9" * 70, "5 degC", "±5", "0x10", "5 in the frame"],
)  # fmt: skip
def test_what_cannot_be_read_as_a_length_is_refused_by_name(text: str) -> None:
    with pytest.raises(BadQuantity) as refusal:
        read_quantity("bore", text, "mm")
    assert refusal.value.field == "bore"


@given(st.text(max_size=70))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        number = read_quantity("x", text, "mm")
    except BadQuantity:
        return
    assert nominal(number) == nominal(number)


@given(st.floats(0.001, 10000), st.floats(0.001, 10), st.sampled_from(["mm", "in", "cm", "m"]))
def test_what_was_written_comes_back_in_any_unit(value: float, u: float, unit: str) -> None:
    number = read_quantity("x", f"{value:.9g} ± {u:.9g} {unit}", unit)
    in_mm = read_quantity("x", f"{value:.9g} {unit} ± {u:.9g} {unit}", "mm")
    size = {"mm": 1, "in": 25.4, "cm": 10, "m": 1000}[unit]
    assert nominal(number) == pytest.approx(value, rel=1e-8)
    assert nominal(in_mm) == pytest.approx(value * size, rel=1e-8)
    assert u_of(in_mm) == pytest.approx(u * size, rel=1e-5, abs=1e-9 * value * size)
