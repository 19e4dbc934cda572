"""The only place that knows JSON: a Question from a mapping, an Answer to a mapping, articles and checks to mappings.

`--json`, `--batch` and the web interface all use it, so they cannot differ. The batch contract:

    in   {"text": str, "readings": {check: outcome | number}, "skill": "rider|home|workshop", "top": int}
    out  {"causes": [{"id", "title", "probability", "ride", "why"}], "none_of_ours": p, "answered": bool, "settled":
    bool,
          "stated": [{"check", "outcome", "value", "quote", "hedged"}],
          "next": [{"check", "ask", "gain_bits", "minutes", "because", "outcomes"}], "also_found": [...], "ride": ...,
          "cautions": [...], "error": null | str}
"""

import json
from collections.abc import Mapping
from typing import Any

from kb.answer import AlsoFound, Answer, Cause, NextStep, Question
from kb.diagnosis.readings import Reading
from kb.errors import BadInput
from kb.library.models import Article, Band, Check, CheckId, Skill

__all__ = [
    "answer_to_wire",
    "article_to_wire",
    "check_to_wire",
    "dumps",
    "error_to_wire",
    "question_from_line",
    "question_from_wire",
]

_PLACES = 6
"""Decimals of probabilities and gains: enough to compare, few enough to be the same on every machine."""
_FIELDS = frozenset({"text", "readings", "skill", "top", "struck", "checks"})
_MOST_CAUSES = 500


def question_from_line(line: str) -> Question:
    """Return the question on one line of a batch.

    Raises: BadInput naming the field and what is allowed.
    """
    try:
        raw = json.loads(line, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise BadInput("line", line.strip(), f"one JSON object ({error})") from None
    return question_from_wire(raw)


def question_from_wire(raw: object) -> Question:
    """Return the question a JSON object asks.

    Raises: BadInput naming the field and what is allowed.
    """
    if not isinstance(raw, dict):
        raise BadInput("question", raw, "a JSON object")
    strange = sorted(str(key) for key in set(raw) - _FIELDS)
    if strange:
        raise BadInput(strange[0], raw[strange[0]], f"one of the fields {', '.join(sorted(_FIELDS))}")
    text = raw.get("text")
    if not isinstance(text, str):
        raise BadInput("text", text, "the complaint, as text")
    skill = raw.get("skill")
    if skill is not None and skill not in list(Skill):
        raise BadInput("skill", skill, f"one of {', '.join(Skill)}")
    return Question(
        text=text,
        readings=_readings(raw.get("readings")),
        skill=Skill(skill) if skill is not None else Question("").skill,
        top=_count(raw.get("top"), "top", Question("").top, 1),
        struck=frozenset(CheckId(id) for id in _texts(raw.get("struck"), "struck")),
        checks=_count(raw.get("checks"), "checks", Question("").checks, 0),
    )


def answer_to_wire(answer: Answer) -> dict[str, Any]:
    """Return an answer as plain values, in the order of the contract."""
    return {
        "causes": [_cause(cause) for cause in answer.causes],
        "none_of_ours": _rounded(answer.none_of_ours),
        "answered": answer.answered,
        "settled": answer.settled,
        "stated": [_reading(reading) for reading in answer.stated],
        "next": [_next(step) for step in answer.next],
        "also_found": [_also_found(found) for found in answer.also_found],
        "ride": str(answer.ride),
        "cautions": list(answer.cautions),
        "error": None,
    }


def error_to_wire(message: str) -> dict[str, Any]:
    """Return the answer to a line that cannot be answered: every field of the contract, and the error."""
    return {
        "causes": [], "none_of_ours": 1.0, "answered": False, "settled": False, "stated": [], "next": [],
        "also_found": [],
        "ride": None, "cautions": [], "error": message,
    }  # fmt: skip


def article_to_wire(article: Article) -> dict[str, Any]:
    """Return an article as plain values."""
    fix = article.fix
    return {
        "id": article.id,
        "system": article.system,
        "title": article.title,
        "kind": str(article.kind),
        "prevalence": str(article.prevalence),
        "ride": str(article.ride),
        "parts": list(article.parts),
        "symptoms": list(article.symptoms),
        "checks": [{"check": item.check, "shows": dict(item.shows)} for item in article.checks],
        "fix": None
        if fix is None
        else {
            "steps": list(fix.steps),
            "tools": list(fix.tools),
            "minutes": fix.minutes,
            "skill": str(fix.skill),
            "parts": list(fix.parts),
            "torque": [{"bolt": item.bolt, "min": item.min, "max": item.max, "unit": item.unit} for item in fix.torque],
        },
        "cautions": list(article.cautions),
        "never": [{"says": item.says, "because": item.because} for item in article.never],
        "working": article.working,
        "see": list(article.see),
        "sources": [{"title": item.title, "kind": str(item.kind), "note": item.note} for item in article.sources],
        "body": article.body,
    }


def check_to_wire(check: Check) -> dict[str, Any]:
    """Return a check as plain values."""
    return {
        "id": check.id,
        "what": check.what,
        "unit": check.unit,
        "outcomes": {name: _band(check.bands[name]) if check.bands else check.phrases[name] for name in check.outcomes},
        "ask": check.ask,
        "how": list(check.how),
        "tool": check.tool,
        "minutes": check.minutes,
        "skill": str(check.skill),
        "resolution": check.resolution,
        "plausible": list(check.plausible) if check.plausible else None,
        "usual": dict(check.usual),
        "working": check.working,
        "caution": check.caution,
    }


def dumps(value: object, indent: int | None = None) -> str:
    """Return JSON text; numbers that JSON doesn't have (infinity) are refused with ValueError.

    Without an indent it is one line in ASCII: other characters are escaped, among them those that some readers take for
    the end of a line.
    """
    return json.dumps(value, ensure_ascii=indent is None, allow_nan=False, indent=indent)


def _cause(cause: Cause) -> dict[str, Any]:
    article = cause.article
    return {
        "id": article.id,
        "title": article.title,
        "probability": _rounded(cause.probability),
        "ride": str(article.ride),
        "why": list(cause.why),
    }


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "check": reading.check,
        "outcome": reading.outcome,
        "value": reading.value,
        "quote": reading.quote,
        "hedged": reading.hedged,
    }


def _next(step: NextStep) -> dict[str, Any]:
    return {
        "check": step.check.id,
        "ask": step.check.ask,
        "gain_bits": _rounded(step.gain.gain_bits),
        "minutes": step.check.minutes,
        "because": step.because,
        "outcomes": [
            {
                "outcome": meaning.outcome,
                "probability": _rounded(meaning.p_outcome),
                "leading": [{"id": id, "probability": _rounded(p)} for id, p in meaning.leading],
            }
            for meaning in step.gain.outcomes
        ],
    }


def _also_found(found: AlsoFound) -> dict[str, Any]:
    return {
        "check": found.check.id,
        "outcome": found.reading.outcome,
        "value": found.reading.value,
        "explained_by": [article.id for article in found.explained_by],
    }


def _band(band: Band) -> list[float | None]:
    return [band.low, band.high]


def _readings(raw: object) -> Mapping[CheckId, str | float]:
    if raw is None:
        return {}
    if not isinstance(raw, dict):
        raise BadInput("readings", raw, "an object of check ids with an outcome or a number each")
    for id, value in raw.items():
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise BadInput(f"readings.{id}", value, "an outcome name or a number")
    return {CheckId(id): value for id, value in raw.items()}


def _count(raw: object, field: str, default: int, least: int) -> int:
    if raw is None:
        return default
    if isinstance(raw, bool) or not isinstance(raw, int) or not least <= raw <= _MOST_CAUSES:
        raise BadInput(field, raw, f"a whole number from {least} to {_MOST_CAUSES}")
    return raw


def _texts(raw: object, field: str) -> list[str]:
    if raw is None:
        return []
    if not isinstance(raw, list) or not all(isinstance(item, str) for item in raw):
        raise BadInput(field, raw, "a list of check ids")
    return list(raw)


def _rounded(value: float) -> float:
    return round(value, _PLACES) + 0.0


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a JSON number")
