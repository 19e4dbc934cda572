"""General-purpose engines over the same analysed texts, each reduced to: build, bytes held, the ten best of a query."""

import sqlite3
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import bm25s
import numpy as np
import tantivy

TOP = 10
Texts = Sequence[Sequence[int]]
"""Numbers of terms, as often as they stand."""


@dataclass(frozen=True, slots=True)
class Rival:
    held: int
    """Bytes of its arrays or files."""
    prepare: Callable[[Sequence[int]], object]
    """Makes a query of terms, outside the time measured."""
    best: Callable[[object], list[int]]
    """Returns the best texts, best first, as the engine numbers them."""


def bm25s_numba(texts: Texts, n_terms: int, folder: Path) -> Rival:
    model = bm25s.BM25(method="lucene", k1=1.2, b=0.75, backend="numba")
    vocabulary = {str(number): number for number in range(n_terms)}
    model.index(bm25s.tokenization.Tokenized(ids=list(texts), vocab=vocabulary), show_progress=False)
    held = sum(item.nbytes for item in model.scores.values() if isinstance(item, np.ndarray))

    def best(query: object) -> list[int]:
        found, _ = model.retrieve(query, k=min(TOP, len(texts)), show_progress=False, n_threads=0)
        return [int(number) for number in found[0]]

    return Rival(held, lambda terms: [list(terms)], best)


def tantivy_engine(texts: Texts, n_terms: int, folder: Path) -> Rival:
    builder = tantivy.SchemaBuilder()
    builder.add_text_field("body", stored=False, tokenizer_name="whitespace", index_option="freq")
    schema = builder.build()
    folder.mkdir()
    index = tantivy.Index(schema, path=str(folder))
    writer = index.writer(heap_size=500_000_000, num_threads=1)
    for terms in texts:
        writer.add_document(tantivy.Document(body=" ".join(map(str, terms))))
    writer.commit()
    writer.wait_merging_threads()
    index.reload()
    searcher = index.searcher()

    def prepare(terms: Sequence[int]) -> object:
        parts = []
        for term, count in Counter(terms).items():
            part = tantivy.Query.term_query(schema, "body", str(term), "freq")
            parts.append((tantivy.Occur.Should, tantivy.Query.boost_query(part, float(count)) if count > 1 else part))
        return tantivy.Query.boolean_query(parts)

    def best(query: object) -> list[int]:
        return [address.doc for _, address in searcher.search(query, TOP, count=False).hits]

    return Rival(sum(path.stat().st_size for path in folder.iterdir()), prepare, best)


def sqlite_fts5(texts: Texts, n_terms: int, folder: Path) -> Rival:
    folder.mkdir()
    path = folder / "fts.db"
    connection = sqlite3.connect(path)
    connection.execute("CREATE VIRTUAL TABLE texts USING fts5(body, content='')")
    connection.executemany(
        "INSERT INTO texts(rowid, body) VALUES (?, ?)",
        ((number, " ".join(f"t{term}" for term in terms)) for number, terms in enumerate(texts)),
    )
    connection.execute("INSERT INTO texts(texts) VALUES ('optimize')")
    connection.commit()

    def best(query: object) -> list[int]:
        rows = connection.execute("SELECT rowid FROM texts WHERE texts MATCH ? ORDER BY rank LIMIT 10", (query,))
        return [int(number) for (number,) in rows]

    return Rival(path.stat().st_size, lambda terms: " OR ".join(f"t{term}" for term in terms), best)
