"""Speed of likeness beside general-purpose engines over the same analysed texts, on one thread, in one run.

    pytest -m bench -s tests/bench/bench_likeness.py

TRUESTAND_BENCH_SIZES: numbers of texts (default 200,10000,100000,1000000; the last takes about ten minutes).
TRUESTAND_BENCH_OUT: a folder for likeness.svg, the growth plot.
"""

import gc
import os
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain as chained
from pathlib import Path

import numpy as np
import pytest

from kb.library.load import articles_folder, load_library
from kb.likeness import LikenessIndex, Reader, Said, build_likeness, open_likeness
from kb.likeness.postings import best_texts
from kb.search.vocabulary import make_speller
from kb.text.concepts import make_concept_finder
from kb.text.words import FUNCTION_WORDS
from tests.bench.complaint_like import Chain, make_chain
from tests.bench.growth_plot import growth_plot

rivals = pytest.importorskip("tests.bench.rivals", reason="needs bm25s, numba and tantivy", exc_type=ImportError)

SIZES = os.environ.get("TRUESTAND_BENCH_SIZES", "200,10000,100000,1000000")
OURS = "likeness, the ten best"
QUERY_WORDS = 9
QUERIES = {"SQLite FTS5": 40}
"""How many queries the slow ones get; the others get 300."""
MOST_BYTES_A_TEXT = 450


@dataclass(frozen=True, slots=True)
class Line:
    engine: str
    build_s: float | None
    held_mb: float | None
    ms: tuple[float, ...]

    def __str__(self) -> str:
        build = "-" if self.build_s is None else f"{self.build_s:.1f}"
        held = "-" if self.held_mb is None else f"{self.held_mb:.1f}"
        median, p95 = (np.quantile(self.ms, share) for share in (0.5, 0.95))
        return f"{self.engine:38s} {build:>9s} {held:>9s} {median:>11.4f} {p95:>9.4f}"


@dataclass(frozen=True, slots=True)
class Setting:
    """What all sizes share."""

    chain: Chain
    reader: Reader
    terms_of: dict[str, tuple[str, ...]]
    """Terms of each word on its own: reading a million texts as sentences would take an hour and tell nothing new."""
    queries: tuple[str, ...]

    def read(self, text: str) -> Said:
        return Said(tuple(chained.from_iterable(map(self.terms_of.__getitem__, text.split()))))


@pytest.fixture(scope="module")
def setting() -> Setting:
    library = load_library(articles_folder())
    reader = Reader(make_speller(library), make_concept_finder(library.lexicon))
    chain = make_chain(item.text for item in library.complaints)
    queries = tuple(map(_short_query, chain.texts(300, 60, seed=2)))
    return Setting(chain, reader, {word: reader(word).terms for word in chain.words}, queries)


@pytest.mark.bench
@pytest.mark.timeout(0)
def test_likeness_beside_other_engines_on_the_same_texts(
    setting: Setting, tmp_path: Path, request: pytest.FixtureRequest, capsys: pytest.CaptureFixture[str]
) -> None:
    if "bench" not in str(request.config.getoption("-m")):
        pytest.skip("takes minutes; run it with -m bench")
    medians: dict[str, list[tuple[int, float]]] = {}
    for size in map(int, SIZES.split(",")):
        lines, agreement, bytes_a_text = _one_size(setting, size, tmp_path / str(size))
        with capsys.disabled():
            print(f"\n{size:,} texts\n{'':38s} {'build s':>9s} {'held MB':>9s} {'median ms':>11s} {'p95 ms':>9s}")
            print(*lines, f"of our ten best bm25s has {agreement:.0%}", sep="\n")
        for line in lines:
            medians.setdefault(line.engine, []).append((size, float(np.median(line.ms))))
        assert agreement > 0.7, "another BM25 finds quite other texts"
        assert bytes_a_text < MOST_BYTES_A_TEXT or size < 100_000
    if "TRUESTAND_BENCH_OUT" in os.environ:
        out = Path(os.environ["TRUESTAND_BENCH_OUT"])
        out.mkdir(parents=True, exist_ok=True)
        (out / "likeness.svg").write_text(growth_plot("Median latency by number of texts", medians), encoding="utf-8")


def _one_size(setting: Setting, size: int, folder: Path) -> tuple[list[Line], float, float]:
    folder.mkdir()
    number: dict[str, int] = {}
    numbers = list(range(100_000))  # one object a number, however many texts have it
    texts = [
        [numbers[number.setdefault(term, len(number))] for term in setting.read(" ".join(words)).terms]
        for words in setting.chain.texts(size, 60, seed=1)
    ]
    queries = [query for text in setting.queries if not number.keys().isdisjoint(query := setting.reader(text).terms)]
    known = [[number[term] for term in query if term in number] for query in queries]
    lines, ours, n_bytes = _our_lines(setting, size, folder / "likeness", queries)
    agreement = 0.0
    for name, make in (
        ("bm25s, numba", rivals.bm25s_numba),
        ("tantivy", rivals.tantivy_engine),
        ("SQLite FTS5", rivals.sqlite_fts5),
    ):
        start = time.perf_counter()
        rival = make(texts, len(number), folder / name.split(",")[0])
        build_s = time.perf_counter() - start
        prepared = [rival.prepare(query) for query in known][: QUERIES.get(name)]
        lines.append(Line(name, build_s, rival.held / 1e6, _times(rival.best, prepared)))
        if name.startswith("bm25s"):
            pairs = zip(ours, map(rival.best, prepared), strict=True)
            agreement = float(np.mean([len(set(one) & set(other)) / max(len(one), 1) for one, other in pairs]))
        del rival
        gc.collect()
    return lines, agreement, n_bytes / size


def _our_lines(
    setting: Setting, size: int, folder: Path, queries: Sequence[Sequence[str]]
) -> tuple[list[Line], list[list[int]], int]:
    texts = ((f"{number:09d}", " ".join(words)) for number, words in enumerate(setting.chain.texts(size, 60, seed=1)))
    start = time.perf_counter()
    build_likeness(folder, texts, setting.read)
    build_s = time.perf_counter() - start
    gc.collect()
    before = _resident()
    start = time.perf_counter()
    index = open_likeness(folder, setting.reader)
    open_s = time.perf_counter() - start
    whole = list(map(" ".join, setting.chain.texts(300, 60, seed=3)))
    plain = replace(index, scorer=best_texts)
    lines = [
        Line(OURS, build_s, index.n_bytes / 1e6, _times(lambda query: index.search(query, 10), queries)),
        Line("the same without numba", None, None, _times(lambda query: plain.search(query, 10), queries[:100])),
        Line(
            "whole call, nine-word question", None, None, _times(lambda text: index.search(text, 10), setting.queries)
        ),
        Line("whole call, complaint of 60 words", None, None, _times(lambda text: index.search(text, 10), whole)),
        Line("floor: streaming the postings", None, None, _floor(index, queries)),
        Line("opening it (all bytes verified)", None, (_resident() - before) / 1e6, (1000 * open_s,)),
    ]
    return lines, [[int(hit.id) for hit in index.search(query, 10)] for query in queries], index.n_bytes


def _times(work: Callable, queries: Iterable) -> tuple[float, ...]:  # type: ignore[type-arg]
    """Return the milliseconds of each query, after a first round over some of them."""
    queries = list(queries)
    for query in queries[:20]:
        work(query)
    times = []
    for query in queries:
        start = time.perf_counter()
        work(query)
        times.append(1000 * (time.perf_counter() - start))
    return tuple(times)


def _floor(index: LikenessIndex, queries: Sequence[Sequence[str]]) -> tuple[float, ...]:
    """Return the milliseconds that reading each query's postings takes at the bandwidth of the memory."""
    block = np.ones(1 << 25, dtype=np.int64)
    seconds = min(_timed(block.max) for _ in range(5))
    bytes_a_ms = block.nbytes / seconds / 1000
    return tuple(
        3 * sum(segment.n_holding(term) for term in set(query) for segment in index.segments) / bytes_a_ms
        for query in queries
    )


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _resident() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")


def _short_query(words: Sequence[str]) -> str:
    """Return the beginning of a text, as far as nine words that are not function words."""
    kept: list[str] = []
    for word in words:
        kept.append(word)
        if sum(item not in FUNCTION_WORDS for item in kept) == QUERY_WORDS:
            break
    return " ".join(kept)
