"""Words of a text: where they stand, how they are normalised, and their stems.

The stemmer is Snowball's English one (snowballstemmer 2.2.0, which agrees with Snowball's published word list without
exception; later releases changed 38 of its words). Spans always quote the text as it was written.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

import snowballstemmer

__all__ = ["FUNCTION_WORDS", "Word", "is_number", "snowball", "split_words", "stem"]

_WORD = re.compile(r"[0-9]+(?:[.,/][0-9]+)*|[^\W\d_]+(?:['’][^\W\d_]+)*[0-9]*")
_STEMMER = snowballstemmer.stemmer("english")

IRREGULAR: dict[str, str] = {
    "broke": "break", "broken": "break", "bent": "bend", "worn": "wear", "wore": "wear", "stuck": "stick",
    "shook": "shake", "shaken": "shake", "sank": "sink", "sunk": "sink", "torn": "tear", "tore": "tear", "spun": "spin",
    "came": "come", "went": "go", "gone": "go", "fell": "fall", "fallen": "fall", "lost": "lose", "felt": "feel",
    "bitten": "bite", "rode": "ride", "ridden": "ride", "bought": "buy", "heard": "hear", "held": "hold",
    "cracks": "crack", "teeth": "tooth", "froze": "freeze", "frozen": "freeze", "rang": "ring", "left-over": "leftover",
    "tyre": "tyre", "tire": "tyre", "tires": "tyre", "tyres": "tyre", "centre": "center", "centred": "center",
    "aluminum": "aluminium", "colour": "color", "grey": "gray", "disk": "disc", "disks": "disc", "mould": "mold",
}  # fmt: skip
"""Irregular forms and spellings of the two sides of the ocean that a suffix stemmer can't join (from memory)."""

FUNCTION_WORDS = frozenset(
    [
        "a",
        "an",
        "the",
        "and",
        "or",
        "but",
        "so",
        "as",
        "at",
        "by",
        "for",
        "from",
        "in",
        "into",
        "of",
        "on",
        "onto",
        "to",
        "with",
        "within",
        "is",
        "are",
        "was",
        "were",
        "be",
        "been",
        "being",
        "am",
        "it",
        "its",
        "it's",
        "i",
        "i'm",
        "i've",
        "i'd",
        "i'll",
        "my",
        "me",
        "mine",
        "we",
        "our",
        "us",
        "you",
        "your",
        "he",
        "she",
        "his",
        "her",
        "they",
        "their",
        "them",
        "this",
        "that",
        "these",
        "those",
        "there",
        "here",
        "have",
        "has",
        "had",
        "having",
        "do",
        "does",
        "did",
        "doing",
        "done",
        "can",
        "could",
        "would",
        "should",
        "will",
        "shall",
        "may",
        "might",
        "must",
        "just",
        "really",
        "very",
        "quite",
        "rather",
        "some",
        "any",
        "also",
        "then",
        "than",
        "too",
        "which",
        "who",
        "whom",
        "whose",
        "what",
        "how",
        "if",
        "because",
        "about",
        "please",
        "thanks",
        "thank",
        "hi",
        "hello",
        "dear",
        "cheers",
        "regards",
        "get",
        "gets",
        "got",
        "getting",
        "such",
        "own",
        "same",
        "both",
        "each",
        "other",
        "another",
        "more",
        "most",
        "much",
        "many",
        "lot",
        "lots",
        "bit",
        "s",
        "t",
        "d",
        "ll",
        "m",
        "re",
        "ve",
        "y",
        "o",
    ]
)
"""Words that say nothing about a fault; on, off, no, not, when, only, after and the like are not among them."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word or number of a text."""

    text: str
    """Lower case, without accents; what a later stage repaired stands here too."""
    stem: str
    start: int
    end: int
    """`source[start:end]` is the word as written."""


def split_words(source: str) -> tuple[Word, ...]:
    """Return the words and numbers of `source` in order.

    >>> [word.text for word in split_words("My T47 cup, 11-speed; it's 0,75 %")]
    ['my', 't47', 'cup', '11', 'speed', "it's", '0,75']
    """
    words = []
    for match in _WORD.finditer(source):
        text = normalise(match.group())
        words.append(Word(text, stem(text), match.start(), match.end()))
    return tuple(words)


@lru_cache(maxsize=65536)
def normalise(token: str) -> str:
    """Return a token in lower case, compatibility forms unfolded, accents dropped, one kind of apostrophe."""
    unfolded = unicodedata.normalize("NFKD", token.replace("’", "'"))
    return "".join(char for char in unfolded if not unicodedata.combining(char)).casefold()


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """Return the stem of a normalised word; numbers are left alone.

    >>> stem("slipping"), stem("worn"), stem("tires"), stem("27,2")
    ('slip', 'wear', 'tyre', '27.2')
    """
    if is_number(word):
        return word.replace(",", ".")
    if word.endswith("'s"):
        word = word[:-2]
    return snowball(IRREGULAR.get(word, word))


def snowball(word: str) -> str:
    """Return the stem of a word in lower case by Snowball's English rules alone, without our table of irregular forms.

    Source: Snowball's English stemmer ("Porter 2"), as in its word list of 2021.

    >>> snowball("slipping"), snowball("worn")
    ('slip', 'worn')
    """
    return str(_STEMMER.stemWord(word))


def is_number(word: str) -> bool:
    """Tell whether a token is a number in figures."""
    return word[:1].isdigit()
