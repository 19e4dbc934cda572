"""What each page shows, as frozen types: templates only lay them out."""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import url_for
from markupsafe import Markup

from kb.answer import AlsoFound, Answer, Answerer, Cause, NextStep, Question, percent, probability_in_words
from kb.cli.output import reading_in_words, ride_in_words
from kb.diagnosis.readings import Reading
from kb.library.models import Article, Check, CheckId, Library, Ride
from service.markdown import render_markdown
from service.public.address import answer_address

__all__ = [
    "AnswerPage",
    "ArticlePage",
    "CausePart",
    "CheckPage",
    "IndexPage",
    "Link",
    "NextPart",
    "OutcomePart",
    "ReadingPart",
    "answer_page",
    "article_page",
    "check_page",
    "index_page",
]

SYSTEM_NAMES = {
    "drivetrain": "Drivetrain and gears",
    "brakes": "Brakes",
    "wheels": "Wheels and tyres",
    "steering": "Steering and handlebar",
    "seating": "Saddle and seatpost",
    "frame": "Frame and suspension",
    "fitting": "What fits what",
    "practice": "Workshop practice",
}
RIDE_NAMES = {Ride.RIDE_ON: "Ride on", Ride.RIDE_GENTLY: "Ride gently", Ride.DO_NOT_RIDE: "Do not ride"}
_PLENTY_OF_NOTHING = 0.9


@dataclass(frozen=True, slots=True)
class Link:
    """A link with the words it carries."""

    text: str
    address: str


@dataclass(frozen=True, slots=True)
class CausePart:
    """One probable cause."""

    title: str
    address: str
    percent: int
    percent_shown: str
    words: str
    ride: Ride
    ride_name: str
    why: tuple[str, ...]
    first_step: str | None
    """Where the cause is settled: the first step of its fix."""


@dataclass(frozen=True, slots=True)
class ReadingPart:
    """A reading that counts, and the address of the answer without it."""

    text: str
    quote: str | None
    without: str


@dataclass(frozen=True, slots=True)
class OutcomePart:
    """One thing a check may show, and what it would mean."""

    name: str
    phrase: str
    meaning: str


@dataclass(frozen=True, slots=True)
class NextPart:
    """A check to do now."""

    id: CheckId
    ask: str
    because: str
    how: tuple[str, ...]
    tool: str
    minutes: str
    unit: str | None
    caution: str | None
    outcomes: tuple[OutcomePart, ...]


@dataclass(frozen=True, slots=True)
class AnswerPage:
    """The answer to a complaint."""

    text: str
    skill: str
    readings_in_address: tuple[str, ...]
    struck_in_address: tuple[str, ...]
    answered: bool
    settled: bool
    causes: tuple[CausePart, ...]
    none_shown: str
    nearest: tuple[Link, ...]
    """Where nothing fits: the articles nearest to it, if any is near at all."""
    ride: Ride
    ride_text: str
    cautions: tuple[str, ...]
    readings: tuple[ReadingPart, ...]
    also_found: tuple[str, ...]
    next: tuple[NextPart, ...]
    fix: tuple[str, ...]
    fix_address: str


@dataclass(frozen=True, slots=True)
class ArticlePage:
    """One article."""

    article: Article
    body: Markup
    system_name: str
    ride_name: str
    checks: tuple[Link, ...]
    see: tuple[Link, ...]
    seen_from: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class CheckPage:
    """One check."""

    check: Check
    outcomes: tuple[tuple[str, str], ...]
    articles: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class IndexPage:
    """All articles and checks."""

    systems: tuple[tuple[str, tuple[Link, ...]], ...]
    checks: tuple[Link, ...]


def answer_page(answer: Answer, answerer: Answerer) -> AnswerPage:
    """Return what the answer page shows."""
    question = answer.question
    top = answer.causes[0].article if answer.causes else None
    fix = top.fix.steps if answer.settled and top is not None and top.fix is not None else ()
    shown = tuple(cause for number, cause in enumerate(answer.causes) if number == 0 or cause.probability >= 0.01)
    near = answer.causes[:2] if not answer.answered and answer.none_of_ours < _PLENTY_OF_NOTHING else ()
    return AnswerPage(
        text=question.text,
        skill=question.skill,
        readings_in_address=tuple(f"{id}:{value}" for id, value in question.readings.items()),
        struck_in_address=tuple(sorted(question.struck)),
        answered=answer.answered,
        settled=answer.settled,
        causes=tuple(_cause(cause, answer) for cause in shown) if answer.answered else (),
        none_shown=percent(answer.none_of_ours),
        nearest=tuple(_link(cause.article) for cause in near),
        ride=answer.ride,
        ride_text=ride_in_words(answer),
        cautions=answer.cautions,
        readings=tuple(_reading(reading, question, answerer.library) for reading in (*answer.stated, *answer.readings)),
        also_found=tuple(_found_sentence(found) for found in answer.also_found),
        next=()
        if answer.settled or not answer.answered
        else tuple(_next(step, answerer.library) for step in answer.next),
        fix=fix,
        fix_address=url_for("public.article", id=top.id) if top is not None else "",
    )


def article_page(article: Article, library: Library) -> ArticlePage:
    """Return what an article's page shows; "see also" works both ways."""
    own = set(article.see)
    back = [other for other in library.articles.values() if article.id in other.see and other.id not in own]
    return ArticlePage(
        article=article,
        body=render_markdown(article.body, _address_of),
        system_name=SYSTEM_NAMES.get(article.system, article.system),
        ride_name=RIDE_NAMES[article.ride],
        checks=tuple(
            Link(library.checks[item.check].what, url_for("public.check", id=item.check)) for item in article.checks
        ),
        see=tuple(_link(library.articles[id]) for id in article.see),
        seen_from=tuple(_link(other) for other in back),
    )


def check_page(check: Check, library: Library) -> CheckPage:
    """Return what a check's page shows."""
    users = [article for article in library.articles.values() if article.shows(check.id) is not None]
    return CheckPage(
        check=check,
        outcomes=tuple((name, check.phrases[name]) for name in check.outcomes),
        articles=tuple(_link(article) for article in users),
    )


def index_page(library: Library) -> IndexPage:
    """Return what the index shows."""
    by_system: dict[str, list[Article]] = {}
    for article in library.articles.values():
        by_system.setdefault(article.system, []).append(article)
    order = [*SYSTEM_NAMES, *sorted(set(by_system) - set(SYSTEM_NAMES))]
    return IndexPage(
        systems=tuple((SYSTEM_NAMES.get(name, name), _links(by_system[name])) for name in order if name in by_system),
        checks=tuple(Link(check.what, url_for("public.check", id=check.id)) for check in library.checks.values()),
    )


def _links(articles: Sequence[Article]) -> tuple[Link, ...]:
    return tuple(_link(article) for article in sorted(articles, key=lambda item: (item.title, item.id)))


def _link(article: Article) -> Link:
    return Link(article.title, url_for("public.article", id=article.id))


def _address_of(kind: str, id: str) -> str:
    return url_for(f"public.{kind}", id=id)


def _cause(cause: Cause, answer: Answer) -> CausePart:
    article = cause.article
    return CausePart(
        title=article.title,
        address=url_for("public.article", id=article.id),
        percent=round(100 * cause.probability),
        percent_shown=percent(cause.probability),
        words=probability_in_words(cause.probability),
        ride=article.ride,
        ride_name=RIDE_NAMES[article.ride],
        why=cause.why,
        first_step=article.fix.steps[0] if answer.settled and article.fix else None,
    )


def _reading(reading: Reading, question: Question, library: Library) -> ReadingPart:
    text = reading_in_words(reading, library.checks[reading.check])
    if reading.is_stated:
        without = answer_address(question, struck=question.struck | {reading.check})
    else:
        without = answer_address(
            question, readings={id: value for id, value in question.readings.items() if id != reading.check}
        )
    return ReadingPart(text, reading.quote, without)


def _found_sentence(found: AlsoFound) -> str:
    titles = " or ".join(f"“{article.title}”" for article in found.explained_by)
    return f"{reading_in_words(found.reading, found.check)}. That points to {titles}."


def _next(step: NextStep, library: Library) -> NextPart:
    check = step.check
    outcomes = []
    for meaning in step.gain.outcomes:
        id, share = meaning.leading[0]
        text = f"then {probability_in_words(share)}: {library.articles[id].title}"
        outcomes.append(OutcomePart(meaning.outcome, check.phrases[meaning.outcome], text))
    return NextPart(
        id=check.id,
        ask=check.ask,
        because=step.because,
        how=check.how,
        tool=check.tool,
        minutes=f"{check.minutes:g}",
        unit=check.unit,
        caution=check.caution,
        outcomes=tuple(outcomes),
    )
