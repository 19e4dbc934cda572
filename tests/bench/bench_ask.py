"""Speed and size of an ask, beside two general-purpose search engines on the same articles and queries in one run.

    pytest -m bench -s tests/bench

Prints median and 95th percentile of search-and-causes (text taken apart, ranked, made into probabilities) and of the
whole answer (stated readings, posterior, next checks); the same for SQLite's FTS5 and for bm25s, each over one text an
article (all its fields joined) with the query's words as alternatives; how often each puts a right article first; and
memory and wall time of `python -m kb ask` from cold. Queries are labelled complaints of the test part where the
articles have one (nothing is fitted to it), else of the rest, which our search has learnt from and the engines have not:
the heading says which. No time is asserted.
"""

import re
import sqlite3
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import bm25s
import numpy as np
import pytest

from kb.answer import Answerer, Question
from kb.library.models import CauseId, Complaint, Library
from kb.search.fields import field_texts
from kb.search.training import test_part as held_out_part
from kb.search.training import training_part
from kb.text.words import split_words

pytestmark = [pytest.mark.bench, pytest.mark.slow]

QUERIES = 300
WARM_UP = 20
MARKED = re.compile(r"\w+")


@dataclass(frozen=True, slots=True)
class Timing:
    """What one way of answering took and got right."""

    name: str
    milliseconds: np.ndarray
    right_first: float

    @property
    def median(self) -> float:
        return float(np.median(self.milliseconds))

    def __str__(self) -> str:
        p95 = float(np.percentile(self.milliseconds, 95))
        return f"{self.name:34} median {self.median:7.3f} ms   p95 {p95:7.3f} ms   right first {self.right_first:6.1%}"


@dataclass(frozen=True, slots=True)
class Cold:
    """A run of the command in a process of its own."""

    seconds: float
    peak_megabytes: float


def _queries(library: Library) -> tuple[str, list[Complaint]]:
    """Return up to QUERIES labelled complaints, taken evenly from all that have an article, and what they are."""
    for name, part in (("test part", held_out_part(library)), ("training part", training_part(library))):
        labelled = [complaint for complaint in part if complaint.gold is not None]
        if labelled:
            places = np.linspace(0, len(labelled) - 1, min(QUERIES, len(labelled))).round().astype(int)
            return name, [labelled[place] for place in places]
    return "no labelled complaints", []


def _timed(name: str, queries: Sequence[Complaint], first_of: Callable[[str], CauseId | None]) -> Timing:
    """Time `first_of`, which returns the article put first, on every query, after a warm-up."""
    for complaint in queries[:WARM_UP]:
        first_of(complaint.text)
    took, right = [], 0
    for complaint in queries:
        start = time.perf_counter()
        first = first_of(complaint.text)
        took.append(1000 * (time.perf_counter() - start))
        right += first is not None and first in (complaint.gold, *complaint.also)
    return Timing(name, np.array(took), right / len(queries))


def _search_and_causes(answerer: Answerer) -> Callable[[str], CauseId | None]:
    causes = answerer.ranker.index.causes

    def first_of(text: str) -> CauseId | None:
        ranking = answerer.ranker.rank(answerer.analyser.analyse(text))
        return causes[int(np.argmax(ranking.probabilities[:-1]))]

    return first_of


def _whole_answer(answerer: Answerer) -> Callable[[str], CauseId | None]:
    def first_of(text: str) -> CauseId | None:
        answer = answerer.answer(Question(text))
        return answer.causes[0].article.id if answer.causes else None

    return first_of


def _documents(library: Library) -> dict[CauseId, str]:
    texts: defaultdict[CauseId, list[str]] = defaultdict(list)
    for item in field_texts(library):
        texts[item.cause].append(item.text)
    return {cause: "\n".join(parts) for cause, parts in texts.items()}


def _sqlite(documents: dict[CauseId, str]) -> Callable[[str], CauseId | None]:
    connection = sqlite3.connect(":memory:")
    connection.execute("CREATE VIRTUAL TABLE article USING fts5(id UNINDEXED, body, tokenize='porter unicode61')")
    connection.executemany("INSERT INTO article VALUES (?, ?)", documents.items())
    connection.execute("INSERT INTO article(article) VALUES ('optimize')")

    def first_of(text: str) -> CauseId | None:
        words = " OR ".join(f'"{word}"' for word in dict.fromkeys(MARKED.findall(text.lower())))
        sql = "SELECT id FROM article WHERE article MATCH ? ORDER BY bm25(article) LIMIT 10"
        row = connection.execute(sql, (words,)).fetchone() if words else None
        return CauseId(row[0]) if row else None

    return first_of


def _bm25s(documents: dict[CauseId, str]) -> Callable[[str], CauseId | None]:
    """Return bm25s over stems as we make them, so that both get the same words."""
    causes = tuple(documents)
    engine = bm25s.BM25()
    engine.index([_stems(text) for text in documents.values()], show_progress=False)

    def first_of(text: str) -> CauseId | None:
        found, _ = engine.retrieve([_stems(text)], k=min(10, len(causes)), show_progress=False)
        return causes[int(found[0, 0])]

    return first_of


def _stems(text: str) -> list[str]:
    return [word.stem for word in split_words(text)]


def _cold_ask(text: str) -> Cold:
    """Run `python -m kb ask` in a process of its own; the caches of the operating system stay as they are.

    The peak is read from the running process every few milliseconds: what the system reports after its end counts the
    memory of this process too, of which it was a copy before it became another program.
    """
    start = time.perf_counter()
    peak_kilobytes = 0
    with subprocess.Popen([sys.executable, "-m", "kb", "ask", text], stdout=subprocess.DEVNULL) as process:
        while process.poll() is None:
            peak_kilobytes = max(peak_kilobytes, _peak_kilobytes(process.pid))
            time.sleep(0.005)
        seconds = time.perf_counter() - start
    assert process.returncode == 0
    return Cold(seconds, peak_kilobytes / 1024)


def _peak_kilobytes(pid: int) -> int:
    """Return the largest resident memory of a process so far; 0 once it has given its memory back."""
    try:
        status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    except (FileNotFoundError, ProcessLookupError):
        return 0
    found = re.search(r"^VmHWM:\s+(\d+) kB", status, re.MULTILINE)
    return int(found[1]) if found else 0


def test_speed_and_size_are_printed_beside_two_search_engines(answerer: Answerer, library: Library) -> None:
    part, queries = _queries(library)
    assert queries
    documents = _documents(library)
    search = _timed("search and causes", queries, _search_and_causes(answerer))
    whole = _timed("whole answer", queries, _whole_answer(answerer))
    sqlite = _timed("SQLite FTS5, first ten", queries, _sqlite(documents))
    other = _timed("bm25s, first ten", queries, _bm25s(documents))
    _cold_ask(queries[0].text)  # where the articles were not yet trained, this run does it
    cold = [_cold_ask(complaint.text) for complaint in queries[1:4]]

    print(f"\n{len(documents)} articles, {len(queries)} complaints of the {part}")
    for timing in (search, whole, sqlite, other):
        print(timing)
    ratios = {f"search and causes / {timing.name}": search.median / timing.median for timing in (sqlite, other)}
    for name, ratio in ratios.items():
        print(f"{name}: {ratio:.2f}")
    print(
        f"python -m kb ask, from cold, best of {len(cold)}: {min(item.seconds for item in cold):.2f} s; "
        f"peak resident memory {max(item.peak_megabytes for item in cold):.0f} MB"
    )
    assert all(item.peak_megabytes > 0 for item in cold)
    assert all(np.isfinite(ratio) and ratio > 0 for ratio in ratios.values())
