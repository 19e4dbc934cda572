"""Numbers and units in any usual notation; cases in cases/quantities.yaml."""

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from kb.text.quantities import find_quantities

CASES = yaml.safe_load((Path(__file__).parent / "cases" / "quantities.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"][:40])
def test_quantities_are_found_with_value_and_unit(case: dict) -> None:
    found = [[quantity.value, quantity.unit] for quantity in find_quantities(case["text"])]
    assert found == case["expected"]


@given(st.text(max_size=200))
def test_any_text_is_read_and_spans_quote_it(text: str) -> None:
    for quantity in find_quantities(text):
        assert text[quantity.start : quantity.end].strip()


@given(st.floats(0.001, 9999).map(lambda value: round(value, 3)), st.sampled_from(["mm", "%", "bar", "psi", "kg"]))
def test_what_is_written_is_read_back(value: float, unit: str) -> None:
    for text in (f"{value} {unit}", f"{value}{unit}", f"{value} {unit}".replace(".", ",")):
        (quantity,) = find_quantities(text)
        assert (quantity.value, quantity.unit) == (value, unit)
