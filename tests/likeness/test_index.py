import tempfile
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import BadInput
from kb.likeness import Likeness, LikenessIndex, build_likeness, open_likeness, plain_reading
from kb.likeness.weighting import idf, posting_weights
from tests.likeness.strategies import by_spaces, collections, parts_of, terms

TEXTS = [
    ("c", "chain slips under load"),
    ("a", "brake squeals in the wet"),
    ("b", "chain slips under load"),
    ("d", "chain is new and slips on one sprocket only"),
]


def by_hand(texts: Sequence[tuple[str, str]], query: Sequence[str]) -> list[tuple[str, float]]:
    """Score every text by the formula, without postings, and sort them all."""
    bags = {id: text.split() for id, text in texts}
    holding = Counter(term for words in bags.values() for term in set(words))
    scores = {}
    for id, words in bags.items():
        counts = Counter(words)
        shared = [term for term in query if term in counts]
        if shared:
            weight = {
                term: int(posting_weights(np.array([counts[term]]), np.array([len(words)]))[0]) for term in set(shared)
            }
            scores[id] = sum(weight[term] * idf(len(bags), holding[term]) for term in shared) / 255
    return sorted(scores.items(), key=lambda item: (-round(item[1], 4), item[0]))


@given(collections(), terms, st.integers(1, 30))
def test_the_best_are_those_of_scoring_every_text(texts: list[tuple[str, str]], query: list[str], k: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        found = build_likeness(Path(folder) / "index", texts, by_spaces).search(query, k)
    expected = by_hand(texts, query)
    assert len(found) == min(k, len(expected))
    assert [hit.score for hit in found] == pytest.approx([score for _, score in expected[:k]], abs=2e-4)
    scores = dict(expected)
    assert [hit.score for hit in found] == pytest.approx([scores[hit.id] for hit in found], abs=2e-4)


@given(collections(), terms, st.lists(st.integers(0, 25), max_size=3), st.randoms(use_true_random=False))
def test_extending_in_any_order_gives_what_building_anew_gives(
    texts: list[tuple[str, str]], query: list[str], cuts: list[int], random: object
) -> None:
    shuffled = list(texts)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    first, *others = parts_of(shuffled, cuts)
    with tempfile.TemporaryDirectory() as folder:
        anew = build_likeness(Path(folder) / "anew", texts, by_spaces)
        index = build_likeness(Path(folder) / "extended", first, by_spaces)
        for part in others:
            index = index.extend(part)
        assert index.search(query, 5) == anew.search(query, 5)
        assert open_likeness(Path(folder) / "extended", by_spaces).search(query, 5) == anew.search(query, 5)
        merged = index.merge()
        assert merged.search(query, 5) == anew.search(query, 5)
        assert [entry.name for entry in merged.entries] == [entry.name for entry in anew.entries], "not the same bytes"


@given(collections(), terms)
def test_the_words_shared_are_those_of_question_and_text(texts: list[tuple[str, str]], query: list[str]) -> None:
    said = dict(texts)
    with tempfile.TemporaryDirectory() as folder:
        for hit in build_likeness(Path(folder) / "index", texts, by_spaces).search(query):
            assert sorted(hit.words) == sorted(set(query) & set(said[hit.id].split()))
            assert 0 < hit.share <= 1


def test_equals_come_in_the_order_of_their_ids_across_segments(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, [("m", "chain slips"), ("z", "chain slips")])
    index = index.extend([("n", "chain slips"), ("a", "chain slips")])
    assert [hit.id for hit in index.search("chain slips", 3)] == ["a", "m", "n"]


def test_words_are_shown_as_the_question_has_them_most_telling_first(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, TEXTS)
    assert index.search("My Chain was slipping on a sprocket", 1)[0].words == ("sprocket", "Chain", "slipping")


def test_the_same_text_has_a_share_of_one(tmp_path: Path) -> None:
    best = build_likeness(tmp_path, TEXTS).search("brake squeals in the wet", 1)[0]
    assert (best.id, best.share) == ("a", pytest.approx(1.0, abs=0.01))


def test_a_word_said_twice_counts_twice(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, TEXTS)
    once, twice = (index.search(["brake"] * times, 1)[0].score for times in (1, 2))
    assert twice == pytest.approx(2 * once, rel=1e-5)


def test_an_empty_index_finds_nothing_and_can_be_extended(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, [])
    assert len(index) == 0
    assert open_likeness(tmp_path).search("chain") == ()
    assert [hit.id for hit in index.extend(TEXTS).search("squeals")] == ["a"]
    assert index.search("squeals") == (), "an index already open must not change"


def test_unknown_words_find_nothing(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, TEXTS)
    assert index.search("zyzzyva quux") == index.search("") == index.search([]) == ()


def test_texts_without_a_word_are_held_but_never_found(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, [("x", "…"), ("y", "")])
    assert len(open_likeness(tmp_path)) == 2
    assert index.search("chain") == ()
    assert "x" in index
    assert "chain" not in index


def test_extending_with_nothing_changes_nothing(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, TEXTS)
    assert index.extend([]).entries == index.entries


def test_what_another_writer_added_is_kept(tmp_path: Path) -> None:
    mine = build_likeness(tmp_path, TEXTS)
    open_likeness(tmp_path).extend([("theirs", "saddle creaks")])
    assert "theirs" in mine.extend([("ours", "spoke broke")])
    assert "theirs" in mine.merge()


def test_an_index_in_use_goes_on_working_after_a_merge(tmp_path: Path) -> None:
    old = build_likeness(tmp_path, TEXTS).extend([("e", "saddle creaks")])
    before = old.search("chain slips")
    old.merge()
    assert old.search("chain slips") == before


@pytest.mark.parametrize("added", [[("a", "again")], [("new", "one"), ("new", "two")]])
def test_an_id_can_stand_only_once(tmp_path: Path, added: list[tuple[str, str]]) -> None:
    index = build_likeness(tmp_path, TEXTS)
    with pytest.raises(BadInput, match=r"id: got '(a|new)'"):
        index.extend(added)
    assert len(open_likeness(tmp_path)) == len(TEXTS)


@pytest.mark.parametrize("id", ["", 7, "\ud800"])
def test_an_id_is_a_string_that_can_be_written(tmp_path: Path, id: str) -> None:
    with pytest.raises(BadInput, match="id"):
        build_likeness(tmp_path, [(id, "chain")])


@pytest.mark.parametrize("k", [0, -1, 1001, 2.5])
def test_the_number_of_hits_is_bounded(tmp_path: Path, k: int) -> None:
    with pytest.raises(BadInput, match="k: got"):
        build_likeness(tmp_path, TEXTS).search("chain", k)


def test_a_text_too_long_is_refused_with_its_id(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="text of long: got '20001 characters'"):
        build_likeness(tmp_path, [("long", "x" * 20_001)])


def test_one_word_ten_thousand_times_neither_overflows_nor_drowns_the_others(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, TEXTS)
    found = index.search(["chain"] * 9_999 + ["brake"], 10)
    assert [hit.id for hit in found] == ["b", "c", "d", "a"]
    assert all(hit.score > 0 for hit in found)


def test_searching_from_many_threads_gives_what_one_gives(tmp_path: Path) -> None:
    index = build_likeness(tmp_path, [(f"{n:04d}", f"chain w{n % 7} w{n % 11} w{n % 13}") for n in range(3_000)])
    queries = [[f"w{n % 13}", f"w{n % 5}", "chain"] for n in range(200)]
    expected = [index.search(query) for query in queries]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(index.search, queries)) == expected


def test_hits_are_plain_values(tmp_path: Path) -> None:
    index: LikenessIndex = build_likeness(tmp_path, TEXTS, plain_reading)
    assert all(isinstance(hit, Likeness) and isinstance(hit.score, float) for hit in index.search("chain"))
