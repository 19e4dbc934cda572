"""From plain values (as read from YAML) to the library's types, without coercion, gathering every problem with its
line.

The shape of the files is the shape of the types in `models`, except that a check's `outcomes` holds phrases or bands
and that an article's id, system and body come from outside its front matter. What the values mean together is left
to `rules`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from pathlib import Path
from typing import Any, TypeVar, get_args, get_origin

import cattrs
from cattrs import ClassValidationError, IterableValidationError, IterableValidationNote
from cattrs.errors import ForbiddenExtraKeysError

from kb.errors import Problem
from kb.library.models import (
    Article,
    Band,
    Check,
    CheckId,
    Complaint,
    Concept,
    ConceptId,
    ConceptKind,
    Kind,
    Prevalence,
    Ride,
    Skill,
    SourceKind,
    Variant,
    Voice,
)
from kb.library.yaml_source import KeyPath, SourcedValue

__all__ = [
    "structure_article",
    "structure_checks",
    "structure_complaints",
    "structure_lexicon",
    "structure_statements",
]

T = TypeVar("T")
_TEXTS_OF_OUTCOMES: Any = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class _VariantFile:
    """Other bands of a measured check."""

    fact: str
    said: tuple[str, ...]
    outcomes: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class _CheckFile:
    """A check as written in a file under articles/checks."""

    what: str
    outcomes: Mapping[str, Any]
    ask: str
    how: tuple[str, ...]
    tool: str
    minutes: float
    skill: Skill
    usual: Mapping[str, float]
    said: Mapping[str, tuple[str, ...]]
    named: tuple[str, ...]
    unit: str | None = None
    resolution: float | None = None
    plausible: tuple[float, ...] | None = None
    working: str | None = None
    variants: tuple[_VariantFile, ...] = ()
    caution: str | None = None


def structure_article(
    front: SourcedValue, id: str, system: str, body: str, path: Path
) -> tuple[Article | None, tuple[Problem, ...]]:
    """Return the article, or None and the problems that keep it from being one."""
    return _structure(front.value, Article, front, (), path, {"id": id, "system": system, "body": body})


def structure_checks(source: SourcedValue, path: Path) -> tuple[dict[CheckId, Check], tuple[Problem, ...]]:
    """Return the checks of one file by id."""

    def build(id: str, raw: object) -> tuple[Check | None, tuple[Problem, ...]]:
        found, problems = _structure(raw, _CheckFile, source, (id,), path, {})
        if found is None:
            return None, problems
        try:
            return _check(CheckId(id), found), problems
        except ValueError as error:
            place = source.line((id, "outcomes"))
            return None, (*problems, Problem(path, place, "field", f"{id}.outcomes: {error}"))

    found, problems = _each_of_mapping(source, path, build)
    return {CheckId(id): check for id, check in found.items()}, problems


def structure_lexicon(source: SourcedValue, path: Path) -> tuple[dict[ConceptId, Concept], tuple[Problem, ...]]:
    """Return the concepts of the lexicon file by id."""

    def build(id: str, raw: object) -> tuple[Concept | None, tuple[Problem, ...]]:
        return _structure(raw, Concept, source, (id,), path, {"id": id})

    found, problems = _each_of_mapping(source, path, build)
    return {ConceptId(id): concept for id, concept in found.items()}, problems


def structure_complaints(
    source: SourcedValue, path: Path
) -> tuple[tuple[tuple[int, Complaint], ...], tuple[Problem, ...]]:
    """Return (place in the list, complaint) pairs of one file."""
    if source.value is None:
        return (), ()
    if not isinstance(source.value, list):
        return (), (Problem(path, 1, "field", f"document: expected a list, found {_kind(source.value)}"),)
    complaints: list[tuple[int, Complaint]] = []
    problems: list[Problem] = []
    for index, raw in enumerate(source.value):
        found, new = _structure(raw, Complaint, source, (index,), path, {"origin": path.stem})
        problems += new
        if found is not None:
            complaints.append((index, found))
    return tuple(complaints), tuple(problems)


def structure_statements(
    source: SourcedValue, path: Path
) -> tuple[dict[CheckId, Mapping[str, tuple[str, ...]]], tuple[Problem, ...]]:
    """Return the statements of one file: check -> outcome -> texts."""

    def build(id: str, raw: object) -> tuple[Mapping[str, tuple[str, ...]] | None, tuple[Problem, ...]]:
        try:
            return _CONVERTER.structure(raw, _TEXTS_OF_OUTCOMES), ()
        except (IterableValidationError, ValueError) as error:
            return None, tuple(_problems(error, source, (id,), path))

    found, problems = _each_of_mapping(source, path, build)
    return {CheckId(id): texts for id, texts in found.items()}, problems


def _each_of_mapping(
    source: SourcedValue, path: Path, build: Callable[[str, object], tuple[T | None, tuple[Problem, ...]]]
) -> tuple[dict[str, T], tuple[Problem, ...]]:
    if source.value is None:
        return {}, ()
    if not isinstance(source.value, dict):
        return {}, (Problem(path, 1, "field", f"document: expected a mapping of ids, found {_kind(source.value)}"),)
    found: dict[str, T] = {}
    problems: list[Problem] = []
    for id, raw in source.value.items():
        item, new = build(id, raw)
        problems += new
        if item is not None:
            found[id] = item
    return found, tuple(problems)


def _check(id: CheckId, found: _CheckFile) -> Check:
    """Build a check, telling bands from phrases by whether it has a unit. Raises ValueError saying what is wrong."""
    bands = _bands(found.outcomes) if found.unit is not None else None
    phrases = (
        {name: _band_phrase(band, found.unit or "") for name, band in bands.items()}
        if bands is not None
        else {name: _phrase(name, phrase) for name, phrase in found.outcomes.items()}
    )
    if found.plausible is not None and len(found.plausible) != 2:
        raise ValueError(f"plausible takes two numbers, found {len(found.plausible)}")
    return Check(
        id=id,
        what=found.what,
        outcomes=tuple(found.outcomes),
        phrases=phrases,
        ask=found.ask,
        how=found.how,
        tool=found.tool,
        minutes=found.minutes,
        skill=found.skill,
        usual=found.usual,
        said=found.said,
        named=found.named,
        unit=found.unit,
        bands=bands,
        resolution=found.resolution,
        plausible=(found.plausible[0], found.plausible[1]) if found.plausible else None,
        working=found.working,
        variants=tuple(Variant(item.fact, item.said, _bands(item.outcomes)) for item in found.variants),
        caution=found.caution,
    )


def _phrase(name: str, phrase: object) -> str:
    if not isinstance(phrase, str):
        raise ValueError(f"{name}: a check without a unit takes a phrase, found {_kind(phrase)}")
    return phrase


def _bands(raw: Mapping[str, object]) -> dict[str, Band]:
    bands: dict[str, Band] = {}
    for name, pair in raw.items():
        if not isinstance(pair, list) or len(pair) != 2:
            raise ValueError(f"{name}: a measured check takes [low, high], found {_kind(pair)}")
        low, high = (_limit(name, value) for value in pair)
        bands[name] = Band(low, high)
    return bands


def _limit(name: str, value: object) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{name}: a limit is a number or null, found {_kind(value)}")
    return float(value)


def _band_phrase(band: Band, unit: str) -> str:
    if band.low is None and band.high is None:
        return f"any value in {unit}"
    if band.low is None:
        return f"under {band.high:g} {unit}"
    if band.high is None:
        return f"{band.low:g} {unit} or more"
    return f"{band.low:g} to {band.high:g} {unit}"


def _structure(
    raw: object, shape: type[T], source: SourcedValue, at: KeyPath, path: Path, outside: Mapping[str, str]
) -> tuple[T | None, tuple[Problem, ...]]:
    """Structure one mapping; `outside` holds the fields that come from elsewhere and may not stand in the file."""
    if not isinstance(raw, dict):
        message = f"{_dotted(at)}: expected a mapping, found {_kind(raw)}"
        return None, (Problem(path, source.line(at), "field", message),)
    strange = tuple(
        Problem(
            path, source.line((*at, key)), "field", f"{_dotted((*at, key))}: comes from the file's place, leave it out"
        )
        for key in outside
        if key in raw
    )
    if strange:
        return None, strange
    try:
        return _CONVERTER.structure({**raw, **outside}, shape), ()
    except ClassValidationError as error:
        return None, tuple(_problems(error, source, at, path))


def _problems(error: BaseException, source: SourcedValue, at: KeyPath, path: Path) -> list[Problem]:
    """Flatten an error tree of cattrs into problems, each on the line of its value or of its parent."""
    if isinstance(error, ClassValidationError | IterableValidationError):
        found: list[Problem] = []
        for inner in error.exceptions:
            step = next((note for note in getattr(inner, "__notes__", ()) if hasattr(note, "type")), None)
            name: Any = getattr(step, "name", getattr(step, "index", None))
            found += _problems(inner, source, at if name is None else (*at, name), path)
        return found
    if isinstance(error, ForbiddenExtraKeysError):
        allowed = ", ".join(item.name for item in fields(error.cl))
        return [
            Problem(path, source.line((*at, key)), "field", f"{_dotted((*at, key))}: no such field; allowed: {allowed}")
            for key in sorted(error.extra_fields)
        ]
    if isinstance(error, KeyError):
        return [Problem(path, source.line(at), "field", f"{_dotted(at)}: missing, this field is required")]
    return [Problem(path, source.line(at), "field", f"{_dotted(at)}: {error}")]


def _dotted(at: KeyPath) -> str:
    return ".".join(str(part) for part in at) or "document"


def _kind(value: object) -> str:
    names: dict[type, str] = {dict: "a mapping", list: "a list", str: "text", bool: "true/false", type(None): "nothing"}
    shown = names.get(type(value), "a number")
    return f"{shown} ({value!r})" if isinstance(value, str | int | float) else shown


def _make_converter() -> cattrs.Converter:
    """Return a converter that refuses coercion: text stays text, numbers numbers, and lists are not text."""
    converter = cattrs.Converter(forbid_extra_keys=True, detailed_validation=True)

    def text(value: Any, _: Any) -> str:
        if not isinstance(value, str):
            raise ValueError(f"expected text, found {_kind(value)}")
        if not value.strip():
            raise ValueError("expected text, found an empty one")
        return value

    def number(value: Any, _: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(f"expected a number, found {_kind(value)}")
        return float(value)

    def truth(value: Any, _: Any) -> bool:
        if not isinstance(value, bool):
            raise ValueError(f"expected true or false, found {_kind(value)}")
        return value

    def member(value: Any, kind: type[StrEnum]) -> StrEnum:
        try:
            return kind(value)
        except ValueError:
            raise ValueError(f"found {value!r}, allowed: {', '.join(kind)}") from None

    def text_or_number(value: Any, _: Any) -> str | float:
        return value if isinstance(value, str) else number(value, _)

    def list_of(kind: Any) -> Callable[[Any, Any], Any]:
        inner = get_args(kind)[0]

        def structure(value: Any, _: Any) -> Any:
            if not isinstance(value, list):
                raise ValueError(f"expected a list, found {_kind(value)}")
            return tuple(_gather(converter, enumerate(value), inner, kind).values())

        return structure

    def mapping_of(kind: Any) -> Callable[[Any, Any], Any]:
        inner = get_args(kind)[1]

        def structure(value: Any, _: Any) -> Any:
            if not isinstance(value, dict):
                raise ValueError(f"expected a mapping, found {_kind(value)}")
            return dict(value) if inner is Any else _gather(converter, value.items(), inner, kind)

        return structure

    converter.register_structure_hook(str, text)
    converter.register_structure_hook(float, number)
    converter.register_structure_hook(bool, truth)
    for enumeration in (Kind, Prevalence, Ride, Skill, SourceKind, ConceptKind, Voice):
        converter.register_structure_hook(enumeration, member)  # by name: else the hook for text would take them
    converter.register_structure_hook_func(lambda kind: kind == str | float, text_or_number)
    converter.register_structure_hook_factory(_is_list, list_of)
    converter.register_structure_hook_factory(lambda kind: get_origin(kind) is _MAPPING_ORIGIN, mapping_of)
    return converter


def _is_list(kind: Any) -> bool:
    return get_origin(kind) is tuple


_MAPPING_ORIGIN = get_origin(Mapping[str, str])


def _gather(converter: cattrs.Converter, items: Any, inner: Any, kind: Any) -> dict[Any, Any]:
    found: dict[Any, Any] = {}
    errors: list[Exception] = []
    for key, value in items:
        try:
            found[key] = converter.structure(value, inner)
        except Exception as error:
            error.add_note(IterableValidationNote(f"at {key}", key, inner))
            errors.append(error)
    if errors:
        raise IterableValidationError("", errors, kind)
    return found


_CONVERTER = _make_converter()
