"""The matrix of checks by articles: who uses a check and how, where articles contradict each other, which rivals no
check tells apart.

Distances between distributions are total variation: 0 for the same, 1 for nothing in common. An article that doesn't
speak of a check shows the check's `usual`, as in diagnosis. Nothing here is an error of the library: a mechanic reads
it and decides. Printing and drawing are `kb.cli.matrix`.
"""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kb.library.models import Article, CauseId, Check, CheckId, ConceptId, ConceptKind, Kind, Library

__all__ = [
    "FAR",
    "CheckUse",
    "CheckUsers",
    "Contradiction",
    "Inseparable",
    "contradictions",
    "distance",
    "inseparable_rivals",
    "most_telling",
    "parts_looked_at",
    "users_of_checks",
]

FAR = 0.35
"""Total variation above which two distributions tell different stories, and below which a check decides nothing."""
NO_TOOL = "none"
MINUTES_FROM_MEMORY = 0.5
"""A check that takes no tool and no longer than this is a question: the rider remembers the answer."""
_WORD = re.compile(r"[a-z0-9]+")
Shows = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class CheckUse:
    """What one article says of one check."""

    article: CauseId
    outcome: str
    """The most telling outcome: the one that speaks most for this article when it is read."""
    probability: float
    """P(outcome | this article)."""
    from_usual: float
    """Distance of the whole distribution from the check's `usual`."""


@dataclass(frozen=True, slots=True)
class CheckUsers:
    """One row of the matrix: a check and the articles that speak of it."""

    check: CheckId
    uses: tuple[CheckUse, ...]
    """Farthest from usual first; ties by id."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """An article that stands alone on a check of a part it doesn't concern, and the one of its system farthest off."""

    check: CheckId
    article: CauseId
    against: CauseId
    outcome: str
    """The outcome on which the two differ most."""
    p_article: float
    p_against: float
    from_usual: float
    from_others: float
    """Distance from the mean of the others: articles of the system that use the check and don't concern its part."""


@dataclass(frozen=True, slots=True)
class Inseparable:
    """Two faults that point to each other by `see`, and the best there is to tell them apart."""

    first: CauseId
    second: CauseId
    best: CheckId | None
    """None where neither lists any check."""
    apart: float
    """Distance between the two on that check."""


def distance(first: Shows, second: Shows) -> float:
    """Return the total variation between two distributions over the same outcomes.

    >>> distance({"none": 0.9, "play": 0.1}, {"none": 0.25, "play": 0.75})
    0.65
    """
    names = dict.fromkeys((*first, *second))
    return round(math.fsum(abs(first.get(name, 0.0) - second.get(name, 0.0)) for name in names) / 2, 9)


def most_telling(shows: Shows, usual: Shows) -> str:
    """Return the outcome that adds most to the divergence from `usual`: probable here, and more so than elsewhere.

    >>> most_telling({"even": 0.3, "hooked": 0.7}, {"even": 0.85, "hooked": 0.15})
    'hooked'
    """
    return max(shows, key=lambda name: shows[name] * math.log(shows[name] / usual.get(name, shows[name])))


def users_of_checks(library: Library) -> tuple[CheckUsers, ...]:
    """Return every check in order of id with the articles that use it."""
    return tuple(
        CheckUsers(
            check.id,
            tuple(sorted((_use(*user, check) for user in _users(library, check)), key=_farthest_first)),
        )
        for check in library.checks.values()
    )


def contradictions(library: Library) -> tuple[Contradiction, ...]:
    """Return the articles that contradict the rest of their system on a part that is none of their business.

    Compared are the articles of one system that use the check and whose `parts` have nothing to do with the part the
    check looks at. Reported is one whose distribution lies more than `FAR` from the check's `usual`, from the mean of
    the others, and from at least one other. Questions put to memory, such as which end the noise comes from, look at
    no part and are left out: an article may say of them what it likes. Sorted by check and article.
    """
    return tuple(
        found
        for check in library.checks.values()
        for system in _unconcerned(library, check).values()
        for found in _strays(system, check)
    )


def inseparable_rivals(library: Library) -> tuple[Inseparable, ...]:
    """Return the pairs of faults linked by `see` in either direction that no check sets apart by `FAR` or more."""
    pairs = {
        tuple(sorted((article.id, other)))
        for article in library.articles.values()
        for other in article.see
        if other in library.articles and other != article.id
    }
    found = (
        _best_check(library, library.articles[first], library.articles[second])
        for first, second in sorted(pairs)
        if library.articles[first].kind is Kind.FAULT and library.articles[second].kind is Kind.FAULT
    )
    return tuple(pair for pair in found if pair.apart < FAR)


def parts_looked_at(check: Check, library: Library) -> frozenset[ConceptId]:
    """Return the parts of the lexicon that `what` and `named` of a check name.

    A word of several meanings counts only where a word of its company stands there as well.
    """
    text = _plain(" . ".join((check.what, *check.named)))
    return frozenset(
        concept.id
        for concept in library.lexicon.values()
        if concept.kind is ConceptKind.PART
        for phrase in concept.phrases
        if _plain(phrase) in text and _in_company(text, concept.company, phrase)
    )


def _users(library: Library, check: Check) -> Iterator[tuple[Article, Shows]]:
    for article in library.articles.values():
        shows = article.shows(check.id)
        if shows is not None:
            yield article, shows


def _use(article: Article, shows: Shows, check: Check) -> CheckUse:
    outcome = most_telling(shows, check.usual)
    return CheckUse(article.id, outcome, shows[outcome], distance(shows, check.usual))


def _farthest_first(use: CheckUse) -> tuple[float, CauseId]:
    return -use.from_usual, use.article


def _unconcerned(library: Library, check: Check) -> dict[str, list[tuple[Article, Shows]]]:
    """Return by system the users of a check that don't concern its part; nothing where it looks at none."""
    looked_at = parts_looked_at(check, library)
    above = _with_broader(looked_at, library)
    systems: dict[str, list[tuple[Article, Shows]]] = {}
    if looked_at and not (check.tool == NO_TOOL and check.minutes <= MINUTES_FROM_MEMORY):
        for article, shows in _users(library, check):
            parts = frozenset(article.parts)
            if not parts & above and not _with_broader(parts, library) & looked_at:
                systems.setdefault(article.system, []).append((article, shows))
    return systems


def _with_broader(parts: frozenset[ConceptId], library: Library) -> frozenset[ConceptId]:
    """Return the parts and all that they are part of."""
    found: set[ConceptId] = set()
    waiting = list(parts)
    while waiting:
        part = waiting.pop()
        if part not in found:
            found.add(part)
            waiting += library.lexicon[part].broader if part in library.lexicon else ()
    return frozenset(found)


def _strays(users: list[tuple[Article, Shows]], check: Check) -> Iterator[Contradiction]:
    for article, shows in users:
        others = [(other, theirs) for other, theirs in users if other is not article]
        if not others:
            continue
        against, theirs = max(others, key=lambda item: distance(shows, item[1]))
        from_usual = distance(shows, check.usual)
        from_others = distance(shows, _mean([item for _, item in others], check))
        if min(from_usual, from_others, distance(shows, theirs)) > FAR:
            outcome = max(shows, key=lambda name: abs(shows[name] - theirs.get(name, 0.0)))
            yield Contradiction(
                check.id, article.id, against.id, outcome, shows[outcome], theirs.get(outcome, 0.0),
                from_usual, from_others,
            )  # fmt: skip


def _mean(tables: list[Shows], check: Check) -> Shows:
    return {name: math.fsum(table.get(name, 0.0) for table in tables) / len(tables) for name in check.outcomes}


def _best_check(library: Library, first: Article, second: Article) -> Inseparable:
    listed = sorted({item.check for item in (*first.checks, *second.checks)} & set(library.checks))
    if not listed:
        return Inseparable(first.id, second.id, None, 0.0)
    best = max(listed, key=lambda id: _apart(library.checks[id], first, second))
    return Inseparable(first.id, second.id, best, _apart(library.checks[best], first, second))


def _apart(check: Check, first: Article, second: Article) -> float:
    return distance(first.shows(check.id) or check.usual, second.shows(check.id) or check.usual)


def _plain(text: str) -> str:
    """Return the words in lower case and without a plural s, between spaces."""
    words = (word[:-1] if len(word) > 3 and word.endswith("s") else word for word in _WORD.findall(text.casefold()))
    return f" {' '.join(words)} "


def _in_company(text: str, company: Mapping[str, tuple[str, ...]], phrase: str) -> bool:
    needed = {word.casefold(): others for word, others in company.items()}.get(phrase.casefold())
    return needed is None or any(_plain(other) in text for other in needed)
