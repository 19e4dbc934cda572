"""How good the answers to labelled complaints are: scores for all of them and for groups.

Each complaint is judged in `judging`; measures of a single ranking are defined in `metrics`, of calibration in
`reliability`; two runs are compared in `comparison`.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from kb.search.confusion import Swap, swapped_pairs
from kb.search.judging import Judged
from kb.search.reliability import BrierParts, ConfidenceBin, bins_of, brier_parts, calibration_error

__all__ = ["CONFIDENT_CAUSE", "Evaluation", "Group", "Measure", "Scores", "evaluate", "score", "value_of"]

CONFIDENT_CAUSE = 0.5
"""From this probability on, the cause put first counts as a confident answer."""


class Measure(StrEnum):
    """What is measured; the values are the keys of the JSON form."""

    SUCCESS_AT_1 = "success_at_1"
    """Share of answerable texts whose first cause is right."""
    SUCCESS_AT_3 = "success_at_3"
    MRR_AT_10 = "mrr_at_10"
    """Mean reciprocal rank of the first right cause, within ten."""
    NDCG_AT_10 = "ndcg_at_10"
    """Gold and `also` ids have gain 1 each; all of them make the best possible ranking."""
    LOG_LOSS = "log_loss"
    """In nats; over all texts, "none of ours" being one of the answers, as for the two below."""
    BRIER = "brier"
    CALIBRATION_ERROR = "calibration_error"
    """Expected calibration error of the likeliest answer, ten bins."""
    REFUSED_IN_SCOPE = "refused_in_scope"
    """Share of answerable texts that were not answered."""
    CONFIDENT_OUT_OF_SCOPE = "confident_out_of_scope"
    """Share of texts without an article that were answered with a cause of CONFIDENT_CAUSE or more."""

    @property
    def more_is_better(self) -> bool:
        """Whether a larger value is the better one."""
        return self in (Measure.SUCCESS_AT_1, Measure.SUCCESS_AT_3, Measure.MRR_AT_10, Measure.NDCG_AT_10)


@dataclass(frozen=True, slots=True)
class Scores:
    """The measures of a set of texts."""

    texts: int
    answerable: int
    """Texts that an article answers."""
    values: Mapping[Measure, float]
    """Measures without a text to be measured on are left out."""


@dataclass(frozen=True, slots=True)
class Group:
    """The scores of the texts that have something in common."""

    by: str
    """system, voice or kind."""
    name: str
    scores: Scores


@dataclass(frozen=True, slots=True)
class Evaluation:
    """All that is reported of one run."""

    whole: Scores
    groups: tuple[Group, ...]
    bins: tuple[ConfidenceBin, ...]
    parts: BrierParts
    swaps: tuple[Swap, ...]
    judged: tuple[Judged, ...]


def value_of(judged: Judged, measure: Measure) -> float | None:
    """Return what one text adds to the mean of a measure; None where it has no part in it.

    The calibration error is no mean over texts: None throughout.
    """
    placing = judged.placing
    match measure:
        case Measure.LOG_LOSS:
            return judged.log_score
        case Measure.BRIER:
            return judged.brier
        case Measure.CALIBRATION_ERROR:
            return None
        case Measure.CONFIDENT_OUT_OF_SCOPE:
            return None if placing else float(judged.answered and judged.p_top >= CONFIDENT_CAUSE)
        case Measure.REFUSED_IN_SCOPE:
            return float(not judged.answered) if placing else None
        case Measure.SUCCESS_AT_1:
            return placing.success_at_1 if placing else None
        case Measure.SUCCESS_AT_3:
            return placing.success_at_3 if placing else None
        case Measure.MRR_AT_10:
            return placing.reciprocal_rank if placing else None
        case Measure.NDCG_AT_10:
            return placing.ndcg if placing else None


def score(judged: Sequence[Judged]) -> Scores:
    """Return the measures of a set of texts."""
    values: dict[Measure, float] = {}
    for measure in Measure:
        if measure is Measure.CALIBRATION_ERROR:
            found = [calibration_error(_bins(judged))] if judged else []
        else:
            found = [value for item in judged if (value := value_of(item, measure)) is not None]
        if found:
            values[measure] = sum(found) / len(found)
    return Scores(len(judged), sum(item.placing is not None for item in judged), values)


def evaluate(judged: Sequence[Judged]) -> Evaluation:
    """Return the scores of a run, whole and by system, voice and kind."""
    bins = _bins(judged)
    return Evaluation(
        whole=score(judged),
        groups=tuple(_groups(judged)),
        bins=bins,
        parts=brier_parts(bins),
        swaps=swapped_pairs(judged),
        judged=tuple(judged),
    )


def _groups(judged: Sequence[Judged]) -> Iterator[Group]:
    for by in ("system", "voice", "kind"):
        members: defaultdict[str, list[Judged]] = defaultdict(list)
        for item in judged:
            members[str(getattr(item, by))].append(item)
        yield from (Group(by, name, score(members[name])) for name in sorted(members))


def _bins(judged: Sequence[Judged]) -> tuple[ConfidenceBin, ...]:
    return bins_of([item.confidence for item in judged], [item.correct for item in judged])
