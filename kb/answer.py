"""The front door: a Question in, an Answer out, for command line, web and Python alike.

    question -> analysis -> ranking (search) -> stated readings, given readings -> posterior (diagnosis) -> next
    checks -> answer

An `Answerer` is built once per process and is immutable. Wording, thresholds and order that surfaces share are
decided here.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

import numpy as np

from kb.diagnosis.beliefs import Likelihoods, Probabilities, make_likelihoods, update
from kb.diagnosis.next_check import NextCheck, next_checks
from kb.diagnosis.readings import Reading, from_stated, likelihood_of, make_reading, outcome_shares
from kb.errors import BadInput, ImpossibleReading, NotKnown
from kb.library.models import Article, CauseId, Check, CheckId, Library, Ride, Skill
from kb.search.ranker import Ranker, Ranking
from kb.text.analysis import Analyser
from kb.text.stated import StatedFinder, make_stated_finder
from kb.text.statement_model import StatementModel

__all__ = [
    "AlsoFound",
    "Answer",
    "Answerer",
    "Cause",
    "NextStep",
    "Question",
    "make_answerer",
    "percent",
    "probability_in_words",
]

STATED_WEIGHT = 0.5
"""Power to which the likelihood of a reading stated in words is raised: the search has counted those words already."""
CONFIDENT = 0.8
"""Above this share for "none of ours" the text is not answered."""
SETTLED = 0.85
"""From this probability on a cause is settled and its fix comes next."""
LIKELY = 0.1
"""Causes from this probability on give their cautions to the answer."""
UNEXPLAINED = 0.25
"""A reading is unexplained where the leading cause makes it less likely than this, and than it usually is."""
_MOST_CAUTIONS = 5
_WORDS_SHOWN = 4


@dataclass(frozen=True, slots=True)
class Question:
    """A complaint with what has been read on the bike since."""

    text: str
    readings: Mapping[CheckId, str | float] = field(default_factory=dict)
    """Outcome name, or number in the check's unit."""
    skill: Skill = Skill.HOME
    """Checks that need more than this are not proposed."""
    top: int = 5
    """How many causes to return."""
    struck: frozenset[CheckId] = frozenset()
    """Checks whose stated reading the person has struck out as misread."""
    checks: int = 3
    """How many next checks to return."""


@dataclass(frozen=True, slots=True)
class Cause:
    """A fault, fit question or practice that may be what the complaint is about."""

    article: Article
    probability: float
    why: tuple[str, ...]
    """Words of the complaint that spoke for it, strongest first."""


@dataclass(frozen=True, slots=True)
class NextStep:
    """A check worth doing now and why."""

    check: Check
    gain: NextCheck
    because: str


@dataclass(frozen=True, slots=True)
class AlsoFound:
    """An abnormal reading that the leading cause does not explain."""

    reading: Reading
    check: Check
    explained_by: tuple[Article, ...]
    """The articles that make it likeliest."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What is made of a question; everything a surface shows."""

    question: Question
    causes: tuple[Cause, ...]
    none_of_ours: float
    answered: bool
    """False where no article fits the text well enough to show causes as an answer."""
    settled: bool
    """True where the leading cause is probable enough to go and fix it."""
    stated: tuple[Reading, ...]
    readings: tuple[Reading, ...]
    next: tuple[NextStep, ...]
    also_found: tuple[AlsoFound, ...]
    ride: Ride
    """The strictest advice among the likely causes."""
    ride_because: Article | None
    """The cause behind that advice."""
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answerer:
    """A library with everything that was made of it, ready to answer."""

    library: Library
    analyser: Analyser
    ranker: Ranker
    stated: StatedFinder
    likelihoods: Likelihoods

    def answer(self, question: Question) -> Answer:
        """Answer a question.

        Raises: BadInput for a text without a word or too long, a reading with an unknown outcome or an impossible
        number, or readings that contradict each other so far that no cause is left; NotKnown for a check the library
        doesn't have.
        """
        if question.top < 1 or question.checks < 0:
            raise BadInput("top", question.top, "a whole number of at least 1")
        if not question.text.strip():
            raise BadInput("text", question.text, "a complaint in words")
        analysis = self.analyser.analyse(question.text)
        given = self._given(question)
        stated = tuple(
            from_stated(self.library.checks[found.check], found)
            for found in self.stated.find(analysis)
            if found.check not in given and found.check not in question.struck
        )
        ranking = self.ranker.rank(analysis)
        probabilities = self.weigh(ranking.probabilities, (*stated, *given.values()))
        return self._compose(question, ranking, probabilities, stated, tuple(given.values()))

    def article(self, id: str) -> Article:
        """Return an article.

        Raises: NotKnown, naming the nearest ids.
        """
        found = self.library.articles.get(CauseId(id))
        if found is None:
            raise NotKnown("article", id, get_close_matches(id, list(self.library.articles), 3, 0.5))
        return found

    def check(self, id: str) -> Check:
        """Return a check.

        Raises: NotKnown, naming the nearest ids.
        """
        found = self.library.checks.get(CheckId(id))
        if found is None:
            raise NotKnown("check", id, get_close_matches(id, list(self.library.checks), 3, 0.5))
        return found

    def _given(self, question: Question) -> dict[CheckId, Reading]:
        return {CheckId(id): make_reading(self.check(id), value) for id, value in sorted(question.readings.items())}

    def weigh(self, prior: Probabilities, readings: Iterable[Reading]) -> Probabilities:
        """Return the probabilities over causes after the readings.

        prior: shape (n_causes + 1,). A reading stated in words counts by STATED_WEIGHT; a number counts in full, for
        the search has seen that there is one but not which.
        Raises: ImpossibleReading if the readings contradict each other so far that no cause is left.
        """
        probabilities = prior
        for reading in readings:
            check = self.library.checks[reading.check]
            likelihood = likelihood_of(outcome_shares(check, reading), self.likelihoods.of(check.id))
            if reading.is_stated and reading.value is None:
                likelihood = likelihood**STATED_WEIGHT
            try:
                probabilities = update(probabilities, likelihood)
            except ImpossibleReading:
                raise ImpossibleReading(
                    f"readings.{check.id}", reading.outcome, "a reading that does not contradict all the others"
                ) from None
        return probabilities

    def _compose(
        self,
        question: Question,
        ranking: Ranking,
        probabilities: Probabilities,
        stated: tuple[Reading, ...],
        given: tuple[Reading, ...],
    ) -> Answer:
        none_of_ours = float(probabilities[-1])
        answered = none_of_ours < CONFIDENT
        order = np.argsort(-probabilities[:-1], kind="stable")[: question.top]
        causes = tuple(self._cause(int(number), probabilities, ranking) for number in order)
        done = {reading.check for reading in (*stated, *given)}
        steps = next_checks(self.library, self.likelihoods, probabilities, done, question.skill, question.checks)
        likely = [cause for cause in causes if cause.probability >= LIKELY] if answered else []
        ride, because = _strictest(likely)
        return Answer(
            question=question,
            causes=causes,
            none_of_ours=none_of_ours,
            answered=answered,
            settled=answered and bool(causes) and causes[0].probability >= SETTLED,
            stated=stated,
            readings=given,
            next=tuple(NextStep(self.library.checks[step.check], step, self._because(step)) for step in steps),
            also_found=self._also_found(probabilities, (*stated, *given)) if answered else (),
            ride=ride,
            ride_because=because,
            cautions=_cautions(likely),
        )

    def _cause(self, number: int, probabilities: Probabilities, ranking: Ranking) -> Cause:
        id = self.likelihoods.causes[number]
        return Cause(
            self.library.articles[id], float(probabilities[number]), self.ranker.why(ranking, id, _WORDS_SHOWN)
        )

    def _because(self, step: NextCheck) -> str:
        if step.rules_out is not None:
            title = _lower(self.library.articles[step.rules_out].title)
            return f"rules out or confirms “{title}”, which must not be ridden"
        if step.between is not None:
            one, other = (_lower(self.library.articles[id].title) for id in step.between)
            return f"tells “{one}” from “{other}”"
        return "narrows the causes down"

    def _also_found(self, probabilities: Probabilities, readings: tuple[Reading, ...]) -> tuple[AlsoFound, ...]:
        leading = int(np.argmax(probabilities[:-1]))
        found = []
        for reading in readings:
            check = self.library.checks[reading.check]
            table = self.likelihoods.of(check.id)[check.outcomes.index(reading.outcome)]
            usual = check.usual[reading.outcome]
            if usual >= UNEXPLAINED or table[leading] >= UNEXPLAINED or table[leading] > 1.5 * usual:
                continue
            weight = np.where(table[:-1] > 2 * usual, table[:-1] * np.exp(self.ranker.log_prevalence), 0.0)
            best = np.argsort(-weight, kind="stable")[:2]
            articles = tuple(self.library.articles[self.likelihoods.causes[int(n)]] for n in best if weight[n] > 0)
            if articles:
                found.append(AlsoFound(reading, check, articles))
        return tuple(found)


def make_answerer(
    library: Library, analyser: Analyser, ranker: Ranker, statements: StatementModel | None = None
) -> Answerer:
    """Put an answerer together from a library and what was trained on it.

    statements: finds the stated readings; without it fixed phrases do.
    """
    finder = make_stated_finder(library.checks, analyser, library.lexicon, statements)
    return Answerer(library, analyser, ranker, finder, make_likelihoods(library))


def probability_in_words(probability: float) -> str:
    """Return an everyday word for a probability, the same on every surface.

    >>> [probability_in_words(p) for p in (0.97, 0.7, 0.4, 0.15, 0.03)]
    ['almost certainly', 'probably', 'quite possibly', 'possibly', 'unlikely']
    """
    for least, words in ((0.9, "almost certainly"), (0.6, "probably"), (0.3, "quite possibly"), (0.1, "possibly")):
        if probability >= least:
            return words
    return "unlikely"


def percent(probability: float) -> str:
    """Return a probability as a whole percentage that never claims certainty, the same on every surface.

    >>> [percent(p) for p in (0.999, 0.834, 0.001)]
    ['>99%', '83%', '<1%']
    """
    if probability > 0.99:
        return ">99%"
    return "<1%" if probability < 0.01 else f"{probability:.0%}"


def _strictest(likely: list[Cause]) -> tuple[Ride, Article | None]:
    order = list(Ride)
    strictest = max(likely, key=lambda cause: (order.index(cause.article.ride), cause.probability), default=None)
    if strictest is None or strictest.article.ride is Ride.RIDE_ON:
        return Ride.RIDE_ON, None
    return strictest.article.ride, strictest.article


def _cautions(likely: list[Cause]) -> tuple[str, ...]:
    """Return the cautions of the likely causes, the first of each before the second of any."""
    longest = max((len(cause.article.cautions) for cause in likely), default=0)
    turns = (
        cause.article.cautions[turn]
        for turn in range(longest)
        for cause in likely
        if turn < len(cause.article.cautions)
    )
    return tuple(dict.fromkeys(turns))[:_MOST_CAUTIONS]


def _lower(title: str) -> str:
    """Return a title as it stands inside a sentence; names of standards keep their capitals."""
    first, _, rest = title.partition(" ")
    return title if first.isupper() and len(first) > 1 else f"{first[:1].lower()}{first[1:]} {rest}".strip()
