"""A JSON Schema (draft 2020-12) of an article's front matter, so that an editor can complete and check it while
writing.
"""

from typing import Any

from kb.library.models import Kind, Library, Prevalence, Ride, Skill, SourceKind

__all__ = ["article_schema"]

_TEXT = {"type": "string", "minLength": 1}
_TEXTS = {"type": "array", "items": _TEXT}


def article_schema(library: Library) -> dict[str, Any]:
    """Return the schema; ids of checks, articles and concepts are those of the library."""
    fields: dict[str, Any] = {
        "title": _TEXT,
        "kind": {"enum": list(map(str, Kind))},
        "prevalence": {"enum": list(map(str, Prevalence))},
        "ride": {"enum": list(map(str, Ride))},
        "parts": {"type": "array", "items": {"enum": sorted(library.lexicon)}},
        "symptoms": {**_TEXTS, "minItems": 1},
        "checks": {
            "type": "array",
            "items": {"oneOf": [_shows(id, check.outcomes) for id, check in library.checks.items()]},
        },
        "fix": {"oneOf": [{"type": "null"}, _fix()]},
        "cautions": _TEXTS,
        "never": {"type": "array", "items": _object({"says": _TEXT, "because": _TEXT})},
        "working": {"type": ["string", "null"]},
        "see": {"type": "array", "items": {"enum": sorted(library.articles)}},
        "sources": {
            "type": "array",
            "minItems": 1,
            "items": _object({"title": _TEXT, "kind": {"enum": list(map(str, SourceKind))}, "note": _TEXT}),
        },
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Article front matter",
        **_object(fields),
    }


def _object(fields: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "properties": fields, "required": list(fields), "additionalProperties": False}


def _shows(id: str, outcomes: tuple[str, ...]) -> dict[str, Any]:
    share = {"type": "number", "minimum": 0, "maximum": 1}
    return _object({"check": {"const": id}, "shows": _object(dict.fromkeys(outcomes, share))})


def _fix() -> dict[str, Any]:
    number = {"type": "number", "exclusiveMinimum": 0}
    return _object(
        {
            "steps": {**_TEXTS, "minItems": 1},
            "tools": _TEXTS,
            "minutes": {"type": "number", "minimum": 0},
            "skill": {"enum": list(map(str, Skill))},
            "parts": _TEXTS,
            "torque": {"type": "array", "items": _object({"bolt": _TEXT, "min": number, "max": number, "unit": _TEXT})},
        }
    )
