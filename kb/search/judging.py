"""One labelled complaint against what was said of it: where the right cause stood, how much was believed, what misled.

`evaluation` sums up over many of them, `confusion` looks at those that went wrong.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.library.models import Article, CauseId, Complaint
from kb.search.metrics import brier_score, log_score, normalised_gain, reciprocal_rank, success_at

__all__ = ["NONE_OF_OURS", "Forecast", "Judged", "Placing", "judge"]

NONE_OF_OURS = "none of ours"
"""System and kind of a complaint that no article answers."""
DEPTH = 10
"""Places of a ranking that are looked at."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """What was said of one text."""

    probabilities: NDArray[np.float64]
    """P(cause | text) in the order of the library's articles, then "none of ours"; sums to 1."""
    answered: bool
    words_for: Callable[[CauseId], tuple[str, ...]]
    """Words of the text that spoke for a cause, strongest first; asked for misses only."""


@dataclass(frozen=True, slots=True)
class Placing:
    """How well the causes of an answerable text were ranked, "none of ours" left aside."""

    success_at_1: float
    success_at_3: float
    reciprocal_rank: float
    ndcg: float


@dataclass(frozen=True, slots=True)
class Judged:
    """One labelled complaint with what became of it."""

    text: str
    gold: CauseId | None
    voice: str
    system: str
    kind: str
    top: CauseId
    """The cause put first."""
    p_top: float
    p_none: float
    answered: bool
    correct: bool
    """Whether the likeliest answer, "none of ours" being one, is right."""
    log_score: float
    brier: float
    placing: Placing | None
    """None where no article answers the text."""
    words: tuple[str, ...] = ()
    """Where `top` is wrong: words that spoke for it and not for the gold."""

    @property
    def confidence(self) -> float:
        """Probability of the likeliest answer."""
        return max(self.p_top, self.p_none)


def judge(complaint: Complaint, articles: Mapping[CauseId, Article], forecast: Forecast) -> Judged:
    """Compare a forecast with the label; ties between causes go by their order in `articles`."""
    causes = tuple(articles)
    order = np.argsort(-forecast.probabilities[:-1], kind="stable")
    ranked = [causes[number] for number in order[:DEPTH]]
    right = frozenset((complaint.gold, *complaint.also)) if complaint.gold is not None else frozenset[CauseId]()
    numbers = [causes.index(id) for id in sorted(right)] or [len(causes)]
    article = articles[complaint.gold] if complaint.gold is not None else None
    likeliest = int(np.argmax(forecast.probabilities))
    return Judged(
        text=complaint.text,
        gold=complaint.gold,
        voice=str(complaint.voice),
        system=article.system if article else NONE_OF_OURS,
        kind=str(article.kind) if article else NONE_OF_OURS,
        top=ranked[0],
        p_top=float(forecast.probabilities[order[0]]),
        p_none=float(forecast.probabilities[-1]),
        answered=forecast.answered,
        correct=likeliest in numbers,
        log_score=log_score(forecast.probabilities, numbers),
        brier=brier_score(forecast.probabilities, numbers),
        placing=_place(ranked, right) if right else None,
        words=_misleading(forecast, ranked[0], complaint.gold, right),
    )


def _place(ranked: Sequence[CauseId], right: frozenset[CauseId]) -> Placing:
    return Placing(
        success_at_1=success_at(ranked, right, 1),
        success_at_3=success_at(ranked, right, 3),
        reciprocal_rank=reciprocal_rank(ranked, right, DEPTH),
        ndcg=normalised_gain(ranked, dict.fromkeys(right, 1.0), DEPTH),
    )


def _misleading(forecast: Forecast, top: CauseId, gold: CauseId | None, right: frozenset[CauseId]) -> tuple[str, ...]:
    if gold is None or top in right:
        return ()
    wrong, known = forecast.words_for(top), frozenset(forecast.words_for(gold))
    return tuple(word for word in wrong if word not in known) or wrong
