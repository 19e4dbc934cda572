"""The English stemmer against Snowball's own word list.

Source: Debian package snowball-data 0+20210120, /usr/share/snowball/data/english (BSD-3): 29,417 words and their stems.
"""

from pathlib import Path

from kb.text.words import IRREGULAR, snowball, stem

FOLDER = Path("/usr/share/snowball/data/english")
PUBLISHED = 29_417


def _published() -> list[tuple[str, str]]:
    words = (FOLDER / "voc.txt").read_text(encoding="utf-8").splitlines()
    stems = (FOLDER / "output.txt").read_text(encoding="utf-8").splitlines()
    return list(zip(words, stems, strict=True))


def test_every_word_of_the_published_list_gets_its_published_stem() -> None:
    published = _published()
    assert len(published) == PUBLISHED
    wrong = {word: (snowball(word), expected) for word, expected in published if snowball(word) != expected}
    assert wrong == {}


def test_our_stem_departs_from_the_published_one_only_for_listed_words_and_possessives() -> None:
    departing = {word for word, expected in _published() if stem(word) != expected}
    assert {word for word in departing if word not in IRREGULAR and not word.endswith("'s")} == set()
    assert "worn" in departing  # so that an emptied table does not pass unnoticed
