"""An evaluation as plain values for `--json`, and back from an earlier one for `--compare`."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kb.errors import BadInput
from kb.library.models import CauseId
from kb.search.comparison import Comparison
from kb.search.evaluation import Evaluation, Scores
from kb.search.judging import Judged, Placing

__all__ = ["comparison_to_wire", "evaluation_to_wire", "judged_from_file"]

_PLACES = 9


def evaluation_to_wire(evaluation: Evaluation, part: str, with_stated: bool) -> dict[str, Any]:
    """Return a whole run; `complaints` holds what a later run is compared with."""
    return {
        "part": part,
        "with_stated": with_stated,
        "scores": _scores(evaluation.whole),
        "groups": [{"by": group.by, "name": group.name, **_scores(group.scores)} for group in evaluation.groups],
        "reliability": [
            {"low": bin.low, "high": bin.high, "count": bin.count, "confidence": bin.confidence, "correct": bin.correct}
            for bin in evaluation.bins
        ],
        "brier_parts": {
            "reliability": evaluation.parts.reliability,
            "resolution": evaluation.parts.resolution,
            "uncertainty": evaluation.parts.uncertainty,
        },
        "swapped": [
            {
                "pair": list(swap.pair),
                "first_for_second": swap.first_for_second,
                "second_for_first": swap.second_for_first,
                "words": list(swap.words),
            }
            for swap in evaluation.swaps
        ],
        "complaints": [_judged(item) for item in evaluation.judged],
    }


def comparison_to_wire(comparison: Comparison) -> dict[str, Any]:
    """Return a comparison; `low` and `high` bound the change."""
    return {
        "texts": comparison.texts,
        "only_before": comparison.only_before,
        "only_after": comparison.only_after,
        "differences": [
            {
                "measure": str(item.measure),
                "before": item.before,
                "after": item.after,
                "change": item.change,
                "low": item.low,
                "high": item.high,
            }
            for item in comparison.differences
        ],
    }


def judged_from_file(path: Path) -> tuple[Judged, ...]:
    """Return the judged complaints of an earlier run.

    Raises: BadInput if the file can't be read or is not what `evaluate --json` prints.
    """
    expected = "a file that `evaluate --json` wrote"
    try:
        raw = json.loads(path.read_text(encoding="utf-8"))
        return tuple(_judged_back(item) for item in raw["complaints"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise BadInput("--compare", str(path), f"{expected} ({type(error).__name__}: {error})") from None


def _scores(scores: Scores) -> dict[str, Any]:
    values = {str(measure): value for measure, value in scores.values.items()}
    return {"texts": scores.texts, "answerable": scores.answerable, **values}


def _judged(item: Judged) -> dict[str, Any]:
    placing = item.placing
    return {
        "text": item.text,
        "gold": item.gold,
        "voice": item.voice,
        "system": item.system,
        "kind": item.kind,
        "top": item.top,
        "p_top": round(item.p_top, _PLACES),
        "p_none": round(item.p_none, _PLACES),
        "answered": item.answered,
        "correct": item.correct,
        "log_score": round(item.log_score, _PLACES),
        "brier": round(item.brier, _PLACES),
        "placing": None
        if placing is None
        else {
            "success_at_1": placing.success_at_1,
            "success_at_3": placing.success_at_3,
            "reciprocal_rank": placing.reciprocal_rank,
            "ndcg": placing.ndcg,
        },
        "words": list(item.words),
    }


def _judged_back(raw: Mapping[str, Any]) -> Judged:
    placing = raw["placing"]
    return Judged(
        text=str(raw["text"]),
        gold=None if raw["gold"] is None else CauseId(str(raw["gold"])),
        voice=str(raw["voice"]),
        system=str(raw["system"]),
        kind=str(raw["kind"]),
        top=CauseId(str(raw["top"])),
        p_top=float(raw["p_top"]),
        p_none=float(raw["p_none"]),
        answered=bool(raw["answered"]),
        correct=bool(raw["correct"]),
        log_score=float(raw["log_score"]),
        brier=float(raw["brier"]),
        placing=None
        if placing is None
        else Placing(
            success_at_1=float(placing["success_at_1"]),
            success_at_3=float(placing["success_at_3"]),
            reciprocal_rank=float(placing["reciprocal_rank"]),
            ndcg=float(placing["ndcg"]),
        ),
        words=tuple(str(word) for word in raw["words"]),
    )
