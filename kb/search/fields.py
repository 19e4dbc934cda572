"""The fields of an article that are indexed, each as short texts of its own."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from kb.library.models import Article, CauseId, Library

__all__ = ["Field", "FieldText", "field_texts"]


class Field(StrEnum):
    """Where in an article a text stands."""

    SYMPTOM = "symptom"
    """Each symptom on its own."""
    TITLE = "title"
    PARTS = "parts"
    """The words of its concepts."""
    CHECKS = "checks"
    """How riders report the outcomes that the article makes likely."""
    BODY = "body"


@dataclass(frozen=True, slots=True)
class FieldText:
    """One indexed text of one article."""

    cause: CauseId
    field: Field
    text: str


def field_texts(library: Library) -> Iterator[FieldText]:
    """Yield the texts to index, articles in order of id."""
    for article in library.articles.values():
        yield from (FieldText(article.id, Field.SYMPTOM, symptom) for symptom in article.symptoms)
        yield FieldText(article.id, Field.TITLE, article.title)
        yield FieldText(article.id, Field.PARTS, ", ".join(library.lexicon[part].words[0] for part in article.parts))
        checks = " . ".join(_check_phrases(article, library))
        if checks:
            yield FieldText(article.id, Field.CHECKS, checks)
        yield FieldText(article.id, Field.BODY, article.body)


def _check_phrases(article: Article, library: Library) -> Iterator[str]:
    """Yield how riders report the outcomes that this fault makes much likelier than usual."""
    for item in article.checks:
        check = library.checks[item.check]
        for outcome, share in item.shows.items():
            if share >= 0.5 and share >= 2 * check.usual[outcome]:
                yield from check.said[outcome]
