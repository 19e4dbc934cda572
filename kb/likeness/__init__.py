"""Likeness of past complaints: an index on disk that finds earlier complaints like this one.

It stands beside `kb.search`, which ranks articles; nothing on the way of an answer imports it.
"""

from kb.likeness.index import Likeness, LikenessIndex, build_likeness, open_likeness
from kb.likeness.reading import Analyse, Reader, Said, make_reader, plain_reading

__all__ = [
    "Analyse",
    "Likeness",
    "LikenessIndex",
    "Reader",
    "Said",
    "build_likeness",
    "make_reader",
    "open_likeness",
    "plain_reading",
]
