"""Past complaints found again after they were altered: misspelt, a word swapped, clauses reordered, politely framed.

Sources: misspellings from codespell's dictionary (PyPI codespell, 58,504 pairs); word mates from the synsets of
WordNet 3.0 (Debian wordnet-base, Princeton). It tests robustness, not how riders really repeat themselves.
"""

import random
import re
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest

from kb.library.load import articles_folder, load_library
from kb.library.models import Complaint
from kb.likeness import LikenessIndex, Reader, build_likeness
from kb.search.vocabulary import make_speller
from kb.text.concepts import make_concept_finder
from kb.text.words import FUNCTION_WORDS

codespell = pytest.importorskip("codespell_lib")

pytestmark = pytest.mark.slow

SAMPLE = 300
WORDNET = Path("/usr/share/wordnet")
SHARES = (0.2, 0.3, 0.4, 0.5, 0.6)
_WORD = re.compile(r"[a-z]{4,}")
_FRAMES = (
    ("Hi there,\n\n", "\n\nMany thanks in advance,\na rider from the hills"),
    ("Dear workshop,\n\nhope you are well. ", "\n\nKind regards,\nsent from the train"),
    ("Hello all, first message here. ", " Any help much appreciated, cheers!"),
)
Alter = Callable[[random.Random, str], str]


def misspellings() -> Mapping[str, Sequence[str]]:
    """Return word -> ways it is misspelt."""
    found: defaultdict[str, list[str]] = defaultdict(list)
    path = Path(codespell.__file__).parent / "data" / "dictionary.txt"
    for line in path.read_text(encoding="utf-8").splitlines():
        wrong, _, right = line.partition("->")
        if re.fullmatch("[a-z]+", wrong) and re.fullmatch("[a-z]+", right):
            found[right].append(wrong)
    return found


def word_mates() -> Mapping[str, Sequence[str]]:
    """Return word -> the other single words of all synsets it stands in; empty where WordNet is not installed."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for path in sorted(WORDNET.glob("data.*")):
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith(" "):  # the licence
                continue
            fields = line.split()
            count = int(fields[3], 16)
            words = {word for word in fields[4 : 4 + 2 * count : 2] if re.fullmatch("[a-z]+", word)}
            for word in words:
                found[word] |= words - {word}
    return {word: sorted(mates) for word, mates in found.items() if mates}


def swapping(table: Mapping[str, Sequence[str]], most: int) -> Alter:
    """Return an alteration that swaps 1 to `most` words which the table has."""

    def alter(rng: random.Random, text: str) -> str:
        places = [match for match in _WORD.finditer(text) if match[0] in table and match[0] not in FUNCTION_WORDS]
        for match in sorted(rng.sample(places, min(len(places), rng.randint(1, most))), key=lambda m: -m.start()):
            text = text[: match.start()] + rng.choice(table[match[0]]) + text[match.end() :]
        return text

    return alter


def reordered(rng: random.Random, text: str) -> str:
    clauses = re.split(r"(?<=[.!?,;])\s+", text)
    rng.shuffle(clauses)
    return " ".join(clauses)


def framed(rng: random.Random, text: str) -> str:
    greeting, signature = rng.choice(_FRAMES)
    return greeting + text + signature


def alterations() -> dict[str, Alter]:
    kinds: dict[str, Alter] = {"as it was": lambda _, text: text, "1-3 misspellings": swapping(misspellings(), 3)}
    if mates := word_mates():
        kinds["a synset mate"] = swapping(mates, 1)
    kinds |= {"clauses reordered": reordered, "greeting and signature": framed}
    single = [kinds[name] for name in list(kinds)[1:]]

    def all_at_once(rng: random.Random, text: str) -> str:
        for alter in single:
            text = alter(rng, text)
        return text

    return kinds | {"all at once": all_at_once}


def test_an_altered_complaint_finds_the_one_it_was_made_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = load_library(articles_folder())
    reader = Reader(make_speller(library), make_concept_finder(library.lexicon))
    training = [item for item in library.complaints if item.gold is not None and not item.is_test]
    named = {f"{number:05d}": complaint for number, complaint in enumerate(training)}
    sample = random.Random(11).sample(sorted(named), SAMPLE)
    everything = build_likeness(tmp_path / "all", ((id, item.text) for id, item in named.items()), reader)
    held_out = [(id, item.text) for id, item in named.items() if id not in set(sample)]
    without = build_likeness(tmp_path / "without", held_out, reader)
    lines, recalls = [], {}
    for name, alter in alterations().items():
        rng = random.Random(13)
        altered = {id: alter(rng, named[id].text) for id in sample}
        recalls[name] = sum(_first(everything, text) == id for id, text in altered.items()) / SAMPLE
        lines.append(f"{name:24s} {recalls[name]:11.3f}  {_rates(everything, without, named, altered)}")
    with capsys.disabled():
        print(
            f"\n{'':24s} recall at 1  share of the original at least / same part's others passing for it, by least share"
        )
        print(f"{'':38s}{' '.join(f'{share:^13}' for share in SHARES)}", *lines, sep="\n")
        if not WORDNET.is_dir():
            print("synset mates left out: WordNet is not installed")
    assert recalls["all at once"] >= 0.9
    assert min(recalls.values()) >= 0.9


def _first(index: LikenessIndex, text: str) -> str | None:
    return next((hit.id for hit in index.search(text, 1)), None)


def _rates(
    everything: LikenessIndex, without: LikenessIndex, named: Mapping[str, Complaint], altered: Mapping[str, str]
) -> str:
    """Return for each least share how often the original passes it, and how often another of the same cause does."""
    true, false = [], []
    for id, text in altered.items():
        true.append(next((hit.share for hit in everything.search(text, 10) if hit.id == id), 0.0))
        false.append(_best_of_same_cause(without, named, named[id].gold, text))
    return " ".join(
        f"{sum(share >= least for share in true) / SAMPLE:5.3f} / {sum(share >= least for share in false) / SAMPLE:5.3f}"
        for least in SHARES
    )


def _best_of_same_cause(without: LikenessIndex, named: Mapping[str, Complaint], gold: object, text: str) -> float:
    """Return the share of the most like complaint of the same cause, the original not being there."""
    return next((hit.share for hit in without.search(text, 200) if named[hit.id].gold == gold), 0.0)
