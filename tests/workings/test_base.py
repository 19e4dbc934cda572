import pytest

from kb.workings.base import Figure, Input, Result, figure_of, text_of
from kb.workings.number import uncertain


@pytest.mark.parametrize(
    ("value", "unit", "u", "text"),
    [
        (0.47244, "%", 0.0197, "0.472 ± 0.020 %"), (31.8, "mm", 0.05, "31.800 ± 0.050 mm"), (5000.0, "N", 1250.0, "5000 ± 1250 N"),
        (108, "links", None, "108 links"), (294199.5, "J", None, "294200 J"), (20.0, "degC", None, "20 °C"), ("yes", "text", None, "yes"),
        (2.875, "1", None, "2.875"), (0.0, "mm", None, "0 mm"), (0.00042, "mm", None, "0.00042 mm"),
    ],
)  # fmt: skip
def test_a_value_is_shown_with_as_many_digits_as_it_is_worth(
    value: float | str, unit: str, u: float | None, text: str
) -> None:
    assert text_of(value, unit, u) == text
    assert Figure("x", value, unit, "", u).text == text


def test_binary_noise_is_not_shown_as_a_result() -> None:
    assert figure_of(Result("spacers", "mm", ""), 0.1 + 0.2).value == 0.3


def test_a_whole_result_is_an_int_and_an_uncertain_one_keeps_its_uncertainty() -> None:
    assert figure_of(Result("links", "links", "", whole=True), 108.0).value == 108
    assert figure_of(Result("w", "%", ""), uncertain(0.5, 0.02)).uncertainty == pytest.approx(0.02)


def test_an_input_says_what_it_allows() -> None:
    assert (
        Input("teeth", "teeth", "of the ring", least=16, most=80).allowed
        == "a whole number from 16 to 80 teeth (of the ring)"
    )
    assert Input("hook", "text", "", choices=("yes", "no")).allowed == "one of yes, no"
