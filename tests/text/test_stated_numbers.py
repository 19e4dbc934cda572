"""Which number is the reading, on the real checks."""

import pytest

from kb.library.models import CheckId, Library
from kb.text.quantities import find_quantities
from kb.text.stated_numbers import number_read


def value(library: Library, check: str, text: str) -> float | None:
    quantities = find_quantities(text)
    found = number_read(library.checks[CheckId(check)], text, quantities, quantities)
    return None if found is None else round(found[0], 3)


@pytest.mark.parametrize(
    ("check", "text", "expected"),
    [
        ("rotor-thickness", "the rotor is 1,55 mm", 1.55),
        ("rotor-thickness", "measured the rotor at one point six five", 1.65),
        ("rotor-thickness", "the stamp says min 1.5 mm", None),
        ("rotor-thickness", "rotor is 40 mm thick", None),
        ("chain-elongation", "past 0.75 by the gauge", 0.75),
        ("chain-elongation", "the .5 end of the gauge", None),
        ("lever-gap", "an inch of air to the bar", 25.4),
        ("b-gap", "a gap of 5-6 mm", 5.5),
        ("bar-undersize", "bar 25.4 mm, stem 25.4 mm", 0.0),
        ("cassette-offset", "4.1 on one wheel, 5.4 mm on the other", 1.3),
        ("cassette-offset", "3.9 mm and 5.1 mm, so 1.2 mm different", 1.2),
        ("tyre-pressure-error", "30% low", -30.0),
        ("tyre-pressure-error", "30% over", 30.0),
        ("pressure-loss", "half a bar overnight", 0.5),
        ("shock-pressure-loss", "loses 3 percent a week", 3.0),
        ("fluid-age", "changed a year and a half ago", 18.0),
        ("cassette-teeth", "5 mm", None),
    ],
)
def test_the_number_that_the_check_reads(check: str, text: str, expected: float | None, library: Library) -> None:
    assert value(library, check, text) == expected
