"""Prints an evaluation and a comparison for a person: one row a group, one column a measure."""

import textwrap
from collections.abc import Sequence
from itertools import groupby

from kb.cli.output import WIDTH
from kb.search.comparison import Comparison
from kb.search.evaluation import Evaluation, Measure, Scores
from kb.search.reliability import ConfidenceBin

__all__ = ["comparison_lines", "evaluation_lines"]

LABELS = {
    Measure.SUCCESS_AT_1: "first",
    Measure.SUCCESS_AT_3: "in 3",
    Measure.MRR_AT_10: "MRR@10",
    Measure.NDCG_AT_10: "nDCG@10",
    Measure.LOG_LOSS: "log loss",
    Measure.BRIER: "Brier",
    Measure.CALIBRATION_ERROR: "ECE",
    Measure.REFUSED_IN_SCOPE: "refused",
    Measure.CONFIDENT_OUT_OF_SCOPE: "confident",
}
_PERCENT = frozenset(
    {Measure.SUCCESS_AT_1, Measure.SUCCESS_AT_3, Measure.REFUSED_IN_SCOPE, Measure.CONFIDENT_OUT_OF_SCOPE}
)
_NAME_WIDTH = 15
_LEGEND = (
    "first, in 3: share of answerable complaints with a right cause first, in the first three. log loss (nats), Brier "
    "(0 to 2), ECE (expected calibration error, 10 bins): over all answers, “none of ours” included. refused: "
    "answerable, not answered. confident: none of ours, yet answered with a cause of 50 % or more."
)
_MOST_SWAPS = 15


def evaluation_lines(evaluation: Evaluation, part: str, with_stated: bool) -> list[str]:
    """Return the tables of a run."""
    whole = evaluation.whole
    source = "with the readings it states" if with_stated else "text alone"
    title = (
        f"{part.capitalize()} part, {source}: {whole.texts} complaints, {whole.answerable} answered by an article, "
        f"{whole.texts - whole.answerable} by none"
    )
    lines = [title, "=" * min(len(title), WIDTH), _head(), _row("all", whole)]
    for by, groups in groupby(evaluation.groups, key=lambda group: group.by):
        lines += [f"by {by}", *(_row(f"  {group.name}", group.scores) for group in groups)]
    lines += ["", *textwrap.wrap(_LEGEND, WIDTH), "", *_bin_lines(evaluation.bins)]
    parts = evaluation.parts
    lines += textwrap.wrap(
        f"Brier score of “the likeliest answer is right”: reliability {parts.reliability:.4f} - resolution "
        f"{parts.resolution:.4f} + uncertainty {parts.uncertainty:.4f}",
        WIDTH,
    )
    return lines + _swap_lines(evaluation)


def comparison_lines(comparison: Comparison) -> list[str]:
    """Return the table of changes; a star marks those whose interval leaves out 0."""
    title = f"Against the earlier run, {comparison.texts} complaints of both"
    lines = [title, "=" * len(title)]
    if comparison.only_before or comparison.only_after:
        lines.append(
            f"left out: {comparison.only_before} only in the earlier run, {comparison.only_after} only in this"
        )
    lines.append(f"{'':<{_NAME_WIDTH}}{'before':>9}{'after':>9}{'change':>10}  95 % of draws")
    for item in comparison.differences:
        cells = f"{_shown(item.measure, item.before):>9}{_shown(item.measure, item.after):>9}"
        change, low, high = (_shown(item.measure, value, signed=True) for value in (item.change, item.low, item.high))
        better = "better" if (item.change > 0) == item.measure.more_is_better else "worse"
        verdict = f"  * {better}" if item.is_clear else ""
        lines.append(f"{LABELS[item.measure]:<{_NAME_WIDTH}}{cells}{change:>10}  {low} to {high}{verdict}")
    return lines


def _head() -> str:
    return f"{'':<{_NAME_WIDTH}}{'texts':>6}" + "".join(f"{LABELS[measure]:>{_width(measure)}}" for measure in Measure)


def _row(name: str, scores: Scores) -> str:
    cells = (_shown(measure, scores.values[measure]) if measure in scores.values else "-" for measure in Measure)
    columns = "".join(f"{cell:>{_width(measure)}}" for measure, cell in zip(Measure, cells, strict=True))
    return f"{name:<{_NAME_WIDTH}}{scores.texts:>6}{columns}"


def _width(measure: Measure) -> int:
    return max(len(LABELS[measure]), 6) + 1


def _shown(measure: Measure, value: float, signed: bool = False) -> str:
    sign = "+" if signed else ""
    return format(value, f"{sign}.1%") if measure in _PERCENT else format(value, f"{sign}.3f")


def _bin_lines(bins: Sequence[ConfidenceBin]) -> list[str]:
    lines = ["How far confidence can be believed", f"{'confidence':<14}{'mean':>7}{'right':>8}{'texts':>7}"]
    for item in bins:
        lines.append(f"{item.low:.1f} to {item.high:.1f}    {item.confidence:>7.3f}{item.correct:>8.3f}{item.count:>7}")
    return lines


def _swap_lines(evaluation: Evaluation) -> list[str]:
    if not evaluation.swaps:
        return []
    lines = ["", "Most often taken for each other"]
    for swap in evaluation.swaps[:_MOST_SWAPS]:
        one, other = swap.pair
        told = [
            f"{wrong} for {right} {count}x"
            for wrong, right, count in (
                (one, other, swap.first_for_second),
                (other, one, swap.second_for_first),
            )
            if count
        ]
        words = f"  [{', '.join(swap.words)}]" if swap.words else ""
        lines += textwrap.wrap(f"{', '.join(told)}{words}", WIDTH, initial_indent="  ", subsequent_indent="      ")
    return lines
