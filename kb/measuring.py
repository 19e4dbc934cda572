"""Asks the search every labelled complaint: what `truestand evaluate` and `truestand lexicon --suggest` measure.

The test part is asked of the answerer as it is; the training part round by round of rankers that had not seen it.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from kb.answer import CONFIDENT, Answerer, make_answerer
from kb.diagnosis.readings import from_stated
from kb.library.models import Complaint
from kb.search import training
from kb.search.judging import Forecast, Judged, judge
from kb.search.rounds import unseen_parts
from kb.search.vocabulary import english_frequencies

__all__ = ["Part", "forecast_of", "judge_all", "training_parts", "untouched_parts"]

WORDS_ASKED = 6
"""Words that speak for a cause, of which those that misled are taken."""


@dataclass(frozen=True, slots=True)
class Part:
    """Labelled complaints and the answerer they are to be asked of, which has not learnt from them."""

    answerer: Answerer
    complaints: tuple[Complaint, ...]


def untouched_parts(answerer: Answerer) -> tuple[Part, ...]:
    """Return the test part, which nothing is ever fitted to, as a run of one."""
    return (Part(answerer, training.test_part(answerer.library)),)


def training_parts(answerer: Answerer, progress: Callable[[str], None] | None = None) -> Iterator[Part]:
    """Yield the training part round by round, each with an answerer trained on the other rounds."""
    library, analyser = answerer.library, answerer.analyser
    for part in unseen_parts(library, analyser, english_frequencies(), progress=progress):
        yield Part(make_answerer(library, analyser, part.ranker), part.complaints)


def judge_all(answerer: Answerer, complaints: Iterable[Complaint], with_stated: bool) -> tuple[Judged, ...]:
    """Ask every complaint and compare with its label, in order; see `forecast_of`."""
    return tuple(
        judge(complaint, answerer.library.articles, forecast_of(answerer, complaint.text, with_stated))
        for complaint in complaints
    )


def forecast_of(answerer: Answerer, text: str, with_stated: bool) -> Forecast:
    """Return what is said of a text: by the search alone, or as `ask` does with the readings that the text states.

    Raises: BadInput as `Analyser.analyse`.
    """
    analysis = answerer.analyser.analyse(text)
    ranking = answerer.ranker.rank(analysis)
    probabilities = ranking.probabilities
    if with_stated:
        readings = (
            from_stated(answerer.library.checks[found.check], found) for found in answerer.stated.find(analysis)
        )
        probabilities = answerer.weigh(probabilities, readings)
    return Forecast(
        probabilities=probabilities,
        answered=bool(probabilities[-1] < CONFIDENT),
        words_for=partial(answerer.ranker.why, ranking, count=WORDS_ASKED),
    )
