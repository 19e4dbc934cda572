"""Stated readings on texts written apart from the checks' phrases and statements: how many are right, how many found.

Cases of `stated_development.yaml` served to develop the finder; those of `stated_test.yaml` never did.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from kb.answer import Answerer
from kb.text.stated import StatedReading

CASES = Path(__file__).parent / "cases"
DEVELOPMENT, TEST = "stated_development.yaml", "stated_test.yaml"
TOLERANCE = 0.02
"""Share of a number by which it may miss, for conversions and rounding."""


@dataclass(frozen=True)
class Score:
    right: int
    found: int
    stated: int

    @property
    def precision(self) -> float:
        return self.right / max(self.found, 1)

    @property
    def recall(self) -> float:
        return self.right / max(self.stated, 1)

    def __str__(self) -> str:
        return f"precision {self.precision:.3f}, recall {self.recall:.3f} ({self.right} of {self.found} found right)"


def is_right(expected: str | float, reading: StatedReading) -> bool:
    if isinstance(expected, str):
        return reading.outcome == expected
    return reading.value is not None and abs(reading.value - expected) <= TOLERANCE * abs(expected) + 1e-9


def score(answerer: Answerer, cases: list[dict[str, Any]]) -> Score:
    right = found = stated = 0
    for case in cases:
        readings = answerer.stated.find(answerer.analyser.analyse(case["text"]))
        found += len(readings)
        stated += len(case["evidence"])
        right += sum(
            item.check in case["evidence"] and is_right(case["evidence"][item.check], item) for item in readings
        )
    return Score(right, found, stated)


def cases(name: str) -> list[dict[str, Any]]:
    loaded: list[dict[str, Any]] = yaml.safe_load((CASES / name).read_text(encoding="utf-8"))
    return loaded


@pytest.mark.slow
def test_readings_of_the_development_texts_are_found_and_right(
    answerer: Answerer, capsys: pytest.CaptureFixture[str]
) -> None:
    result = score(answerer, cases(DEVELOPMENT))
    with capsys.disabled():
        print(f"\n{DEVELOPMENT}: {result}")
    assert result.precision >= 0.95
    assert result.recall >= 0.75


@pytest.mark.slow
def test_readings_of_the_test_texts_are_scored(answerer: Answerer, capsys: pytest.CaptureFixture[str]) -> None:
    result = score(answerer, cases(TEST))
    with capsys.disabled():
        print(f"\n{TEST}: {result}")
    assert 0 < result.right <= result.found


def test_the_probability_of_a_reading_is_that_of_being_right(answerer: Answerer) -> None:
    """Calibration on the development texts: of readings said to be right in p of cases, about p are."""
    told: list[tuple[float, bool]] = []
    for case in cases(DEVELOPMENT):
        for sign in answerer.stated.signs(answerer.analyser.analyse(case["text"])):
            expected = case["evidence"].get(sign.reading.check)
            told.append((sign.reading.probability, expected is not None and is_right(expected, sign.reading)))
    for low, high in ((0.0, 0.3), (0.3, 0.7), (0.7, 0.95), (0.95, 1.0)):
        inside = [(p, right) for p, right in told if low <= p < high]
        mean, share = (sum(column) / len(inside) for column in zip(*inside, strict=True))
        assert abs(mean - share) <= 0.15, (low, high, mean, share)
