"""Proposes synonyms that the lexicon lacks, from labelled complaints that the search got wrong.

A word or phrase of a missed complaint is worth a look where no concept of the lexicon covers it and where it stands
much oftener in complaints of that article than in all others. Which part it may name is read off the articles it occurs
with. Whether it is a synonym a person decides: many proposals are effects or circumstances.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kb.library.models import CauseId, ConceptId, Library
from kb.text.analysis import Analysis
from kb.text.words import FUNCTION_WORDS, Word, is_number, split_words

__all__ = ["Heard", "Proposal", "log_odds", "propose_synonyms"]

LONGEST = 3
"""Words of a phrase."""
LEAST_TEXTS = 3
"""A phrase must stand in so many complaints of the article."""
LEAST_Z = 2.58
"""99 % of a normal distribution: there are many phrases to stumble over."""
PRIOR_TEXTS = 20.0
"""Weight of the prior, in complaints (our own judgement, no source)."""
_QUOTED = 56

Phrase = tuple[str, ...]
"""Stems in order."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A labelled complaint that an article answers."""

    analysis: Analysis
    gold: CauseId
    missed: bool
    """Whether the search put a wrong cause first."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A phrase that the lexicon may lack."""

    phrase: str
    """As most riders wrote it, in lower case."""
    article: CauseId
    concepts: tuple[ConceptId, ...]
    """The parts of the article that it may name, likeliest first."""
    unnamed: float
    """Share of its complaints of that article in which the first concept is not named otherwise."""
    texts: int
    """Complaints of the article that have the phrase."""
    missed: int
    """Those of them that were answered wrong."""
    elsewhere: int
    """Complaints of other articles that have it."""
    log_odds: float
    z: float
    """Log odds over their standard deviation."""
    example: str

    @property
    def at_least(self) -> float:
        """What the log odds are at least, near enough: two standard deviations below. Ranks rare and telling words
        before common ones.
        """
        return self.log_odds * (1 - 2 / self.z)


@dataclass(frozen=True, slots=True)
class _Place:
    """A phrase in one complaint."""

    complaint: int
    start: int
    end: int


def log_odds(
    inside: int, n_inside: int, outside: int, n_outside: int, prior: float = PRIOR_TEXTS
) -> tuple[float, float]:
    """Return how much commoner a phrase is inside than outside, in log odds, and that over its standard deviation.

    inside, outside: complaints that have the phrase, out of n_inside and n_outside. prior: weight in complaints of the
    share in all of them together, to which both sides are drawn. (0, 0) where nothing has the phrase.
    Source: Monroe, Colaresi, Quinn, Fightin' words, Political Analysis 16(4), 2008, the log odds ratio with an
    informative Dirichlet prior; we count complaints rather than words, so that one rider who says a thing thrice counts
    once.

    >>> value, z = log_odds(8, 10, 2, 90)
    >>> round(value, 2), z > 2.58
    (2.58, True)
    """
    share = (inside + outside) / (n_inside + n_outside)
    if not 0 < share < 1:
        return 0.0, 0.0
    has_in, has_out = inside + prior * share, outside + prior * share
    lacks_in, lacks_out = n_inside - inside + prior * (1 - share), n_outside - outside + prior * (1 - share)
    value = math.log(has_in / lacks_in) - math.log(has_out / lacks_out)
    return value, value / math.sqrt(1 / has_in + 1 / has_out)


def propose_synonyms(heard: Sequence[Heard], library: Library, most: int = 60) -> tuple[Proposal, ...]:
    """Return the phrases worth a look, the most telling first.

    Of phrases of an article that lie within each other only the most telling is kept, of equal ones the longest.
    """
    known = _lexicon_phrases(library)
    places: defaultdict[Phrase, list[_Place]] = defaultdict(list)
    for number, item in enumerate(heard):
        for phrase, place in _phrases(number, item.analysis).items():
            if phrase not in known:
                places[phrase].append(place)
    sizes = Counter(item.gold for item in heard)
    found = [
        proposal
        for phrase, where in places.items()
        for gold in sorted({heard[place.complaint].gold for place in where if heard[place.complaint].missed})
        if (proposal := _proposal(where, gold, heard, sizes, library)) is not None
    ]
    found.sort(key=lambda item: (-item.at_least, item.article, -len(item.phrase), item.phrase))
    return _without_overlaps(found)[:most]


def _proposal(
    where: Sequence[_Place], gold: CauseId, heard: Sequence[Heard], sizes: Mapping[CauseId, int], library: Library
) -> Proposal | None:
    """Return the proposal of a phrase for an article, None where it says too little."""
    inside = [place for place in where if heard[place.complaint].gold == gold]
    if len(inside) < LEAST_TEXTS:
        return None
    elsewhere = len(where) - len(inside)
    value, z = log_odds(len(inside), sizes[gold], elsewhere, len(heard) - sizes[gold])
    if z < LEAST_Z:
        return None
    concepts = _ranked_parts(where, gold, heard, sizes, library)
    missed = [place for place in inside if heard[place.complaint].missed]
    unnamed = sum(not concepts or not _names(heard[place.complaint].analysis, concepts[0]) for place in inside)
    return Proposal(
        phrase=_wording(inside, heard),
        article=gold,
        concepts=concepts,
        unnamed=unnamed / len(inside),
        texts=len(inside),
        missed=len(missed),
        elsewhere=elsewhere,
        log_odds=value,
        z=z,
        example=_example(missed[0], heard),
    )


def _ranked_parts(
    where: Sequence[_Place], gold: CauseId, heard: Sequence[Heard], sizes: Mapping[CauseId, int], library: Library
) -> tuple[ConceptId, ...]:
    """Return the article's parts, by how much the phrase keeps to complaints of articles that have the part."""
    counts = Counter(heard[place.complaint].gold for place in where)

    def z_of(part: ConceptId) -> float:
        having = [id for id in sizes if part in library.articles[id].parts]
        inside, n_inside = sum(counts[id] for id in having), sum(sizes[id] for id in having)
        return log_odds(inside, n_inside, len(where) - inside, len(heard) - n_inside)[1]

    return tuple(sorted(library.articles[gold].parts, key=lambda part: (-z_of(part), part)))


def _phrases(number: int, analysis: Analysis) -> dict[Phrase, _Place]:
    """Return the phrases of a text with the first place of each; none crosses a clause or touches a known concept."""
    covered = {place for found in analysis.concepts for place in range(found.first, found.last + 1)}
    phrases: dict[Phrase, _Place] = {}
    for run in _runs(analysis, covered):
        for first in range(len(run)):
            for last in range(first, min(first + LONGEST, len(run))):
                if _bears_meaning(run[first]) and _bears_meaning(run[last]):
                    phrase = tuple(word.stem for word in run[first : last + 1])
                    phrases.setdefault(phrase, _Place(number, run[first].start, run[last].end))
    return phrases


def _runs(analysis: Analysis, covered: set[int]) -> Iterator[list[Word]]:
    """Yield the runs of neighbouring words within a clause that no concept covers."""
    run: list[Word] = []
    clause = -1
    for place, word in enumerate(analysis.words):
        if place in covered or is_number(word.text) or analysis.clause_of[place] != clause:
            yield run
            run = []
        clause = analysis.clause_of[place]
        if place not in covered and not is_number(word.text):
            run.append(word)
    yield run


def _bears_meaning(word: Word) -> bool:
    return word.text not in FUNCTION_WORDS and len(word.text) > 1


def _lexicon_phrases(library: Library) -> frozenset[Phrase]:
    return frozenset(
        tuple(word.stem for word in split_words(phrase))
        for concept in library.lexicon.values()
        for phrase in concept.phrases
    )


def _names(analysis: Analysis, concept: ConceptId) -> bool:
    return any(found.concept == concept for found in analysis.concepts)


def _wording(places: Sequence[_Place], heard: Sequence[Heard]) -> str:
    """Return the commonest way the phrase is written."""
    written = Counter(
        " ".join(heard[place.complaint].analysis.source[place.start : place.end].lower().split()) for place in places
    )
    return min(written, key=lambda text: (-written[text], text))


def _example(place: _Place, heard: Sequence[Heard]) -> str:
    """Return the words around the phrase, cut between words."""
    source = heard[place.complaint].analysis.source
    spare = max(_QUOTED - (place.end - place.start), 0) // 2
    first = source.rfind(" ", 0, max(place.start - spare, 0)) + 1
    cut = source.find(" ", min(place.end + spare, len(source)))
    return " ".join(source[first : cut if cut >= 0 else len(source)].split())


def _without_overlaps(proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
    kept: list[Proposal] = []
    for item in proposals:
        words = f" {item.phrase} "
        same = (f" {other.phrase} " for other in kept if other.article == item.article)
        if not any(words in other or other in words for other in same):
            kept.append(item)
    return tuple(kept)
