"""The address of an answer: the complaint, what was read on the bike since, and what was struck out.

/answer?q=TEXT&r=CHECK:OUTCOME&r=CHECK:NUMBER&x=CHECK&skill=home
"""

from collections.abc import Mapping

from flask import url_for
from werkzeug.datastructures import MultiDict

from kb.answer import Question
from kb.errors import BadInput
from kb.library.models import CheckId, Skill

__all__ = ["answer_address", "question_from_address"]


def question_from_address(values: MultiDict[str, str]) -> Question:
    """Return the question that an address asks.

    Raises: BadInput naming what cannot be read.
    """
    skill = values.get("skill", Question("").skill)
    if skill not in list(Skill):
        raise BadInput("skill", skill, f"one of {', '.join(Skill)}")
    readings: dict[CheckId, str | float] = {}
    for item in values.getlist("r"):
        id, colon, value = item.partition(":")
        if not colon or not id or not value:
            raise BadInput("r", item, "CHECK:OUTCOME or CHECK:NUMBER")
        readings[CheckId(id)] = outcome_or_number(value)
    return Question(
        text=values.get("q", ""),
        readings=readings,
        skill=Skill(skill),
        struck=frozenset(CheckId(id) for id in values.getlist("x")),
    )


def answer_address(
    question: Question, readings: Mapping[CheckId, str | float] | None = None, struck: frozenset[CheckId] | None = None
) -> str:
    """Return the address of the answer to a question, with other readings or struck-out checks where they are given."""
    kept = question.readings if readings is None else readings
    out = question.struck if struck is None else struck
    return url_for(
        "public.answer",
        q=question.text,
        r=[f"{id}:{_shown(value)}" for id, value in kept.items()],
        x=sorted(out),
        skill=question.skill if question.skill is not Question("").skill else None,
    )


def outcome_or_number(value: str) -> str | float:
    """Return a number where the text is one (with a point or a comma), else the text."""
    try:
        return float(value.strip().replace(",", "."))
    except ValueError:
        return value.strip()


def _shown(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:g}"
