from pathlib import Path

import pytest

from kb.answer import Answerer
from kb.library.models import CauseId, Complaint
from kb.search.rounds import rounds_of, unseen_parts
from kb.search.vocabulary import english_frequencies
from tests.builders import load_small


def complaint(number: int, origin: str, gold: str | None = "chain-worn") -> Complaint:
    return Complaint(f"text {number}", CauseId(gold) if gold else None, origin=origin)


def test_files_of_one_round_are_left_out_together() -> None:
    items = [complaint(0, "a1"), complaint(1, "b1"), complaint(2, "a2")]
    assert [(part.name, [item.text for item in part.complaints]) for part in rounds_of(items, 3)] == [
        ("a", ["text 0", "text 2"]),
        ("b", ["text 1"]),
    ]


def test_texts_without_an_article_are_dealt_out_to_the_rounds() -> None:
    items = [complaint(0, "a1"), complaint(1, "b1"), *(complaint(n, "none-wide", None) for n in range(2, 6))]
    assert [len(part.complaints) for part in rounds_of(items, 3)] == [3, 3]


def test_a_single_round_is_dealt_out_to_parts() -> None:
    assert [len(part.complaints) for part in rounds_of([complaint(n, "all") for n in range(7)], 3)] == [3, 2, 2]


def test_every_complaint_lies_in_one_round() -> None:
    items = [complaint(n, f"{'abc'[n % 3]}{n}", "chain-worn" if n % 4 else None) for n in range(40)]
    left_out = [item for part in rounds_of(items, 3) for item in part.complaints]
    assert sorted(item.text for item in left_out) == sorted(item.text for item in items)


def test_no_complaints_make_no_rounds() -> None:
    assert rounds_of([], 3) == ()


@pytest.mark.slow
def test_a_ranker_has_not_learnt_the_words_of_the_round_it_is_asked(small_answerer: Answerer, tmp_path: Path) -> None:
    library = load_small(tmp_path)
    texts = {"a1": "my flurbing grommet zings", "b1": "the wobbulator clonks", "test-1": "an untold quibbler"}
    complaints = tuple(Complaint(text, CauseId("chain-worn"), origin=origin) for origin, text in texts.items())
    whole = type(library)(library.articles, library.checks, library.lexicon, complaints)
    parts = list(unseen_parts(whole, small_answerer.analyser, english_frequencies()))
    assert [[item.origin for item in part.complaints] for part in parts] == [["a1"], ["b1"]]
    for part, own, other in zip(parts, ("grommet", "wobbul"), ("wobbul", "grommet"), strict=True):
        learnt = set(part.ranker.belonging.likeness)
        assert own not in learnt
        assert other in learnt
        assert "quibbler" not in learnt
