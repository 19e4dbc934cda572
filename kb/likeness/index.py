"""The index of past complaints: built, opened, extended, merged and searched."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from kb.errors import BadInput
from kb.likeness import storage
from kb.likeness.postings import Scorer, scorer_for
from kb.likeness.reading import Analyse, Said, plain_reading
from kb.likeness.segment import Segment, make_segment, merge_segments
from kb.likeness.weighting import Query, make_query

__all__ = ["MOST_HITS", "Likeness", "LikenessIndex", "build_likeness", "open_likeness"]

MOST_HITS = 1000
_ATTEMPTS = 5


@dataclass(frozen=True, slots=True)
class Likeness:
    """A past complaint that is like the one asked about."""

    id: str
    score: float
    """BM25; comparable within one search."""
    share: float
    """Score over what the question's own text would score: 1 for the same text; comparable between searches."""
    words: tuple[str, ...]
    """The words shared, as the question has them (terms as given, where terms were searched); most telling first."""


@dataclass(frozen=True, slots=True)
class _Hit:
    """One of the best texts of a segment."""

    id: str
    score: int
    asked: Sequence[str]
    """The terms of the query that the segment knows."""
    factors: Sequence[int]
    weights: Sequence[int]

    def terms(self) -> list[str]:
        """Return the terms that the text has, by what they add to its score, then by name."""
        parts = zip(self.factors, self.weights, self.asked, strict=True)
        return [term for _, term in sorted((-factor * weight, term) for factor, weight, term in parts if weight)]


@dataclass(frozen=True, slots=True)
class LikenessIndex:
    """An index as it was when opened; safe to search from several threads.

    `extend` and `merge` change the folder and return the new index; this one goes on showing the old state.
    """

    folder: Path
    analyse: Analyse = field(repr=False)
    entries: tuple[storage.Entry, ...] = field(repr=False)
    segments: tuple[Segment, ...] = field(repr=False)
    scorer: Scorer = field(repr=False)

    def __len__(self) -> int:
        return sum(len(segment.ids) for segment in self.segments)

    def __contains__(self, id: str) -> bool:
        return any(id in segment.ids for segment in self.segments)

    @property
    def n_bytes(self) -> int:
        """Bytes of all arrays, mapped when touched."""
        return sum(item.nbytes for segment in self.segments for item in segment.arrays.values())

    def search(self, complaint: str | Sequence[str], k: int = 10) -> tuple[Likeness, ...]:
        """Return the at most `k` complaints most like this one, best first, equals by id.

        complaint: a text, or the terms of one as often as they stand. One without a known word is like none.
        Raises: BadInput if the text is too long or `k` is not from 1 to MOST_HITS.
        """
        if not isinstance(k, int) or not 1 <= k <= MOST_HITS:
            raise BadInput("k", k, f"a whole number from 1 to {MOST_HITS}")
        said = self.analyse(complaint) if isinstance(complaint, str) else Said(tuple(complaint))
        query = make_query(said.terms, len(self), self._n_holding)
        if query is None:
            return ()
        found = [hit for segment in self.segments for hit in self._best(segment, query, k)]
        found.sort(key=lambda hit: (-hit.score, hit.id))
        return tuple(
            Likeness(
                id=hit.id,
                score=hit.score * query.unit,
                share=min(hit.score * query.unit / query.own_score, 1.0),
                words=tuple(dict.fromkeys(said.quoted.get(term, term) for term in hit.terms())),
            )
            for hit in found[:k]
        )

    def extend(self, texts: Iterable[tuple[str, str]]) -> "LikenessIndex":
        """Add texts with their ids as a new segment; return the index with them and with what others added meanwhile.

        Raises: BadInput if an id is there already, stands twice or is empty, or a text is refused by the analysis; the
        index is then as it was.
        """
        new = make_segment(_read(texts, self.analyse))
        with storage.locked(self.folder):
            current = self._refreshed()
            for id in new.ids:
                if id in current:
                    raise BadInput("id", id, "an id that the index doesn't have yet")
            if not len(new.ids):
                return current
            entries = (*current.entries, storage.write_segment(self.folder, new))
            return _take_effect(current, entries)

    def merge(self) -> "LikenessIndex":
        """Make one segment of all, for the quickest search; return the index with it. Scores and ids don't change."""
        with storage.locked(self.folder):
            current = self._refreshed()
            if len(current.segments) < 2:
                return current
            return _take_effect(current, (storage.write_segment(self.folder, merge_segments(current.segments)),))

    def _n_holding(self, term: str) -> int:
        return sum(segment.n_holding(term) for segment in self.segments)

    def _best(self, segment: Segment, query: Query, k: int) -> Iterator[_Hit]:
        known = [
            (term, number, factor)
            for term, factor in zip(query.terms, query.factors, strict=True)
            if (number := segment.number_of(term)) is not None
        ]
        if known:
            terms, numbers, factors = zip(*known, strict=True)
            best = self.scorer(segment.postings, np.array(numbers), np.array(factors, dtype=np.int32), k)
            rows = zip(best.texts.tolist(), best.scores.tolist(), best.weights.tolist(), strict=True)
            for text, score, weights in rows:
                yield _Hit(segment.ids[text], score, terms, factors, weights)

    def _refreshed(self) -> "LikenessIndex":
        """Return the index as the folder has it now, keeping what is open already."""
        entries = storage.read_head(self.folder)
        held = dict(zip((entry.name for entry in self.entries), self.segments, strict=True))
        segments = tuple(held.get(entry.name) or storage.read_segment(self.folder, entry) for entry in entries)
        return replace(self, entries=entries, segments=segments, scorer=_scorer(segments))


def build_likeness(
    folder: str | Path, texts: Iterable[tuple[str, str]], analyse: Analyse = plain_reading
) -> LikenessIndex:
    """Write an index of texts with their ids to a folder, in place of one that is there; return it.

    Raises: BadInput as `LikenessIndex.extend`, and if the folder holds anything but an index.
    """
    place = Path(folder)
    if not place.exists():
        place.mkdir(parents=True)
    with storage.locked(place):
        segment = make_segment(_read(texts, analyse))
        empty = LikenessIndex(place, analyse, (), (), scorer_for(0))
        return _take_effect(empty, (storage.write_segment(place, segment),) if len(segment.ids) else ())


def open_likeness(folder: str | Path, analyse: Analyse = plain_reading) -> LikenessIndex:
    """Open the index in a folder; `analyse` must be the one it was built with.

    Raises: BadInput if the folder is missing, holds something else or is damaged.
    """
    place = Path(folder)
    for _ in range(_ATTEMPTS):
        entries = storage.read_head(place)
        try:
            segments = tuple(storage.read_segment(place, entry) for entry in entries)
        except FileNotFoundError as error:
            gone = error.filename  # merged away by another process since the head was read, or lost
            continue
        return LikenessIndex(place, analyse, entries, segments, _scorer(segments))
    raise BadInput("likeness", str(place), f"a folder with an index of past complaints; {gone} is missing")


def _take_effect(index: LikenessIndex, entries: tuple[storage.Entry, ...]) -> LikenessIndex:
    storage.write_head(index.folder, entries)
    storage.clear_away(index.folder, entries)
    return index._refreshed()


def _scorer(segments: Sequence[Segment]) -> Scorer:
    return scorer_for(max((len(segment.ids) for segment in segments), default=0))


def _read(texts: Iterable[tuple[str, str]], analyse: Analyse) -> Iterator[tuple[str, Said]]:
    for id, text in texts:
        try:
            yield id, analyse(text)
        except BadInput as error:
            raise BadInput(f"text of {id}", error.value, error.expected) from error
