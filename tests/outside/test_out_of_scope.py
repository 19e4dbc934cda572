"""Texts about anything but bicycles must not be answered with a confident cause, whatever register they are in.

Five packaged sources, 300 texts of each (see `sources`); a text counts as answered with confidence where the answer is
shown as one and its first cause has a probability of 0.5 or more. None of these texts may stand among the labelled
complaints.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from kb.answer import Answerer, Question
from kb.library.models import Library
from kb.search.evaluation import CONFIDENT_CAUSE
from kb.text.analysis import LONGEST_TEXT
from tests.outside.sources import SOURCES

pytestmark = pytest.mark.slow

SAMPLED = 300
SEED = 21_578
MOST = 0.02
SIZES = {"reuters": 498, "bbc": 2225, "wordnet": 117_659, "foldoc": 12_000, "lee": 350}
"""Texts that a source has at least; a source that was read wrong would have fewer."""


@dataclass(frozen=True, slots=True)
class Flood:
    """What became of the texts of one source."""

    asked: int
    answered: int
    confident: tuple[str, ...]
    """Cause, probability and beginning of each text answered with confidence."""


def sample(texts: list[str]) -> list[str]:
    """Return texts drawn without replacement, the same ones each time."""
    usable = [text for text in texts if text.strip() and len(text) <= LONGEST_TEXT]
    chosen = np.random.default_rng(SEED).choice(len(usable), SAMPLED, replace=False)
    return [usable[number] for number in sorted(chosen.tolist())]


def flood(answerer: Answerer, texts: list[str]) -> Flood:
    answered, confident = 0, []
    for text in texts:
        answer = answerer.answer(Question(text, top=1, checks=0))
        answered += answer.answered
        cause = answer.causes[0]
        if answer.answered and cause.probability >= CONFIDENT_CAUSE:
            confident.append(f"{cause.article.id} {cause.probability:.2f}: {text[:100]}")
    return Flood(len(texts), answered, tuple(confident))


@pytest.mark.parametrize("source", SOURCES)
def test_texts_about_other_things_are_not_answered_with_confidence(
    answerer: Answerer, library: Library, source: str, capsys: pytest.CaptureFixture[str]
) -> None:
    texts = SOURCES[source]()
    assert len(texts) >= SIZES[source]
    assert library.complaints
    assert not set(texts) & {complaint.text for complaint in library.complaints}
    found = flood(answerer, sample(texts))
    with capsys.disabled():
        print(
            f"\n{source}: {len(found.confident)} of {found.asked} confident ({len(found.confident) / found.asked:.1%}), "
            f"{found.answered} answered ({found.answered / found.asked:.1%})"
        )
    assert len(found.confident) / found.asked < MOST, "\n".join(found.confident)


def test_the_measure_counts_a_complaint_about_a_bicycle_as_confident(answerer: Answerer) -> None:
    """So that the rates above are not low because nothing is ever counted."""
    found = flood(answerer, ["my new chain slips on the worn old sprockets at the back when I push hard"])
    assert len(found.confident) == 1
