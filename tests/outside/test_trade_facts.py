"""Figures of the trade: what articles and checks say against tables kept apart from them.

`cases/trade_facts.yaml` lists quantities with their right figures, source and standing, and where in a text they stand.
Every place in the articles and checks that states a figure for a listed quantity must agree. Wrong advice that an
article quotes in order to warn of it (`never: says`) is left out.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import pytest
import yaml

from kb.library.load import articles_folder, load_library
from kb.library.models import Article, Band, Check
from kb.units import convert, is_unit, same_kind
from kb.workings.chain import PITCH_MM, elongation

CASES = Path(__file__).parent / "cases" / "trade_facts.yaml"
LEAST_FACTS = 60

_NUMBER = r"(?:\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
_UNIT = (
    r"(?:N·m|N\*m|kPa|kJ|mm|bar\b|psi\b|%|per ?cent\b|degrees?(?: C\b)?|TPI\b|threads to the inch|links\b|"
    r"inch(?:es)?\b|in\b(?! (?:the|a|front|all|any)\b)|N\b)"
)
_UNITS = {
    "N·m": "N*m", "percent": "%", "per cent": "%", "degrees C": "degC", "degree": "degree", "degrees": "degree",
    "TPI": "1/in", "threads to the inch": "1/in", "inch": "in", "inches": "in",
}  # fmt: skip
_DECIMAL = r"\d+(?:\.\d+)?"
_START, _END = r"(?<![A-LN-Za-z\d.,/-])", r"(?!\d|\.\d|/\d|-\d)"  # not inside a code such as BB86; M47 is a size
_SPAN = rf"{_START}(?P<low>{_NUMBER})(?:(?:-| to | or )(?P<high>{_NUMBER}))?{_END}"
_LISTED = rf"{_DECIMAL}(?:\s?mm)?(?:(?:, x |, | ?/ ?| and (?:x )?| or |, and |x){_DECIMAL}(?:\s?mm)?)+"
_PLACES = {
    "{gap}": r"[^.;|\d]{0,90}?",
    "{n}": rf"{_SPAN}[ -]?(?P<unit>{_UNIT})",
    "{b}": rf"{_SPAN}(?:[ -]?(?P<unit>{_UNIT}))?",
    "{list}": rf"(?<![\d.])(?P<list>{_LISTED}){_END}(?: (?P<unit>{_UNIT}))?",
}


@dataclass(frozen=True, slots=True)
class Fact:
    """One quantity with its right figures, in `unit`."""

    id: str
    unit: str
    source: str
    standing: str
    patterns: tuple[re.Pattern[str], ...]
    where: re.Pattern[str]
    values: tuple[float, ...] = ()
    range: tuple[float, float] | None = None
    tolerance: float = 0.0

    def holds(self, figure: "Figure") -> bool:
        """Tell whether a figure agrees; one printed to fewer digits is a right one rounded."""
        if self.range is not None:
            return self.range[0] - 1e-9 <= figure.value <= self.range[1] + 1e-9
        allowed = max(self.tolerance, figure.half_digit) + 1e-9
        return any(abs(figure.value - value) <= allowed for value in self.values)


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as a text prints it, in the unit of its fact."""

    printed: str
    value: float
    half_digit: float
    """Half a step in its last printed digit."""
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch of an article or a check that speaks of one thing."""

    origin: str
    text: str


@dataclass(frozen=True, slots=True)
class Statement:
    """A place where a passage gives a figure for a fact."""

    passage: Passage
    figure: Figure

    def __str__(self) -> str:
        return f"{self.passage.origin}: {self.figure.printed!r} in “{self.passage.text}”"


# Reading the table


def _fact(entry: dict[str, object]) -> Fact:
    fields = dict(entry)
    patterns = tuple(re.compile(_filled(pattern)) for pattern in _texts(fields.pop("patterns")))
    where = re.compile(str(fields.pop("where", "")))
    values = tuple(float(str(value)) for value in _texts(fields.pop("values", [])))
    span = [float(value) for value in _texts(fields.pop("range", []))]
    tolerance = float(str(fields.pop("tolerance", 0)))
    known = {name: str(fields.pop(name)) for name in ("id", "unit", "source", "standing")}
    assert not fields, f"{known['id']}: unknown keys {sorted(fields)}"
    return Fact(
        **known, patterns=patterns, where=where, values=values, range=(span[0], span[1]) if span else None,
        tolerance=tolerance,
    )  # fmt: skip


def _texts(values: object) -> list[str]:
    assert isinstance(values, list)
    return [str(value) for value in values]


def _filled(pattern: str) -> str:
    for place, meaning in _PLACES.items():
        pattern = pattern.replace(place, meaning)
    return pattern


@lru_cache(maxsize=1)
def _facts() -> dict[str, Fact]:
    entries = yaml.safe_load(CASES.read_text(encoding="utf-8"))
    facts = [_fact(entry) for entry in entries]
    assert len({fact.id for fact in facts}) == len(facts), "an id stands twice"
    return {fact.id: fact for fact in facts}


# Reading the articles


@lru_cache(maxsize=1)
def _passages() -> tuple[Passage, ...]:
    library = load_library(articles_folder())
    return tuple(
        Passage(origin, " ".join(text.split()))
        for origin, text in (
            *(item for article in library.articles.values() for item in _article_texts(article)),
            *(item for check in library.checks.values() for item in _check_texts(check)),
        )
    )


def _article_texts(article: Article) -> Iterator[tuple[str, str]]:
    id = article.id
    texts = [article.title, *article.cautions, *(item.because for item in article.never)]
    texts += [f"{source.title}: {source.note}" for source in article.sources]
    if article.fix is not None:
        texts += article.fix.steps
        yield from ((f"{id}, torque", f"{t.bolt}: {t.min:g} to {t.max:g} {t.unit}") for t in article.fix.torque)
    yield from ((id, sentence) for text in texts for sentence in _sentences(text))
    yield from ((id, part) for part in _body_parts(article.body))


def _check_texts(check: Check) -> Iterator[tuple[str, str]]:
    texts = [check.what, check.ask, *check.how, check.caution or ""]
    yield from ((f"check {check.id}", sentence) for text in texts for sentence in _sentences(text))
    for name, bands in (("", check.bands or {}), *((f" {v.fact}", v.outcomes) for v in check.variants)):
        for outcome, band in bands.items():
            yield f"check {check.id}", f"band {check.id}{name} {outcome}: {_limits(band)} {check.unit}"


def _limits(band: Band) -> str:
    """Return the limits of a band in words: "under 1.5", "from 1.5 to 1.6", "from 1.6"."""
    if band.low is None:
        return f"under {band.high:g}"
    return f"from {band.low:g}" if band.high is None else f"from {band.low:g} and under {band.high:g}"


def _sentences(text: str) -> list[str]:
    return [sentence for sentence in re.split(r"(?<=[.!?;])\s+", text) if sentence]


def _body_parts(body: str) -> Iterator[str]:
    """Yield sentences, and table rows each behind the heads of its table."""
    head = ""
    for line in body.splitlines():
        if not line.startswith("|"):
            head = ""
            yield from _sentences(line)
        elif not head:
            head = line
        elif not line.startswith("|-"):
            yield f"{head} {line}"


# Finding and judging figures


def _statements(fact: Fact, passages: Sequence[Passage]) -> list[Statement]:
    found: dict[tuple[Passage, int], Statement] = {}
    for passage in passages:
        if fact.where.search(passage.text):
            for pattern in fact.patterns:
                for match in pattern.finditer(passage.text):
                    for figure in _figures(match, fact.unit):
                        found.setdefault((passage, figure.start), Statement(passage, figure))
    return list(found.values())


def _figures(match: re.Match[str], unit: str) -> Iterator[Figure]:
    """Yield the figures of a match in `unit`; none where its unit measures another thing."""
    groups = match.groupdict()
    given = _UNITS.get(groups["unit"] or "", groups["unit"] or unit)
    if not same_kind(given, unit):
        return
    for name in ("low", "high", "list"):
        if groups.get(name):
            for number in re.finditer(_DECIMAL if name == "list" else _NUMBER, groups[name]):
                start = match.start(name) + number.start()
                value, half = _value(number.group()), _half_digit(number.group())
                yield Figure(
                    number.group(), convert(value, given, unit), convert(half, given, unit), start, start + len(number.group())
                )  # fmt: skip


def _value(number: str) -> float:
    mixed = re.fullmatch(r"(?:(\d+)-)?(\d+)/(\d+)", number)
    if mixed:
        return int(mixed[1] or 0) + int(mixed[2]) / int(mixed[3])
    return float(number)


def _half_digit(number: str) -> float:
    if "/" in number:
        return 0.0005
    return 0.5 * 10.0 ** -len(number.partition(".")[2])


def _disagreeing(fact: Fact, passages: Sequence[Passage]) -> list[Statement]:
    return [statement for statement in _statements(fact, passages) if not fact.holds(statement.figure)]


def _with_another_figure(fact: Fact, statement: Statement) -> Passage:
    """Return the passage with the figure replaced by one half above the largest right one."""
    text, figure = statement.passage.text, statement.figure
    scale = _value(figure.printed) / figure.value
    wrong = 1.5 * max(fact.range or fact.values) * scale
    return Passage(statement.passage.origin, f"{text[: figure.start]}{wrong:.9g}{text[figure.end :]}")


# The tests


def test_the_table_is_long_enough_and_every_fact_has_source_unit_and_figures() -> None:
    facts = _facts()
    assert len(facts) >= LEAST_FACTS
    for fact in facts.values():
        assert fact.source
        assert fact.standing in {"read", "computed", "memory", "low"}
        assert is_unit(fact.unit)
        assert bool(fact.values) != (fact.range is not None)


@pytest.mark.parametrize("id", _facts())
def test_every_text_that_states_the_figure_agrees(id: str) -> None:
    fact = _facts()[id]
    statements = _statements(fact, _passages())
    assert statements, f"no article or check states {id} where the patterns look: mend a pattern or drop the fact"
    assert [str(statement) for statement in statements if not fact.holds(statement.figure)] == []


@pytest.mark.parametrize("id", _facts())
def test_a_changed_figure_in_any_of_those_texts_is_found(id: str) -> None:
    fact = _facts()[id]
    missed = [
        str(statement)
        for statement in _statements(fact, _passages())
        if not _disagreeing(fact, [_with_another_figure(fact, statement)])
    ]
    assert missed == []


@pytest.mark.parametrize(
    ("id", "text", "agrees"),
    [
        ("torque-cassette-lockring", "Tighten the lockring to about 40 N·m.", True),
        ("torque-cassette-lockring", "Tighten the lockring to about 60 N·m.", False),
        ("torque-cassette-lockring", "Tighten the lockring to 30-40 N·m.", False),
        ("thread-pedal-diameter", "an adult crank has 9/16 in x 20 threads", True),
        ("thread-pedal-diameter", "an adult crank has 5/8 in x 20 threads", False),
        ("spindles", "a 24 mm spindle", True),
        ("spindles", "a 27 mm spindle", False),
        ("hookless-limit", "On a hookless rim 72.5 psi is the end", True),
        ("hookless-limit", "On a hookless rim 90 psi is the end", False),
        ("bar-clamps", "bar clamp 22.2, 25.4, 26.0, 31.8, 35.0 mm", True),
        ("bar-clamps", "bar clamp 22.2, 25.4, 26.0, 31.6, 35.0 mm", False),
    ],
)
def test_right_and_wrong_sentences_are_told_apart(id: str, text: str, agrees: bool) -> None:
    fact = _facts()[id]
    made = [Passage("made", text)]
    assert _statements(fact, made)
    assert (_disagreeing(fact, made) == []) is agrees


def test_a_figure_of_another_kind_is_not_taken_for_the_quantity() -> None:
    made = [Passage("made", "On a hookless rim about 28 mm is the least.")]
    assert _statements(_facts()["hookless-limit"], made) == []


@pytest.mark.parametrize(
    ("length_mm", "links", "percent"),
    [
        (254.0, 20, 0), (255.27, 20, 0.5), (255.91, 20, 0.75), (256.54, 20, 1.0),
        (304.8, 24, 0), (306.32, 24, 0.5), (307.09, 24, 0.75), (307.85, 24, 1.0),
        (127.0, 10, 0), (127.64, 10, 0.5), (127.95, 10, 0.75), (128.27, 10, 1.0),
    ],
)  # fmt: skip
def test_lengths_of_worn_chain_in_the_table_are_what_the_working_makes_of_them(
    length_mm: float, links: int, percent: float
) -> None:
    """w = L / (n p) - 1; the table's lengths are rounded to 0.01 mm, which is 0.004 % over ten links."""
    assert convert(0.5, "in", "mm") == pytest.approx(PITCH_MM, abs=1e-9)
    assert elongation(length_mm, links) == pytest.approx(percent, abs=0.005)
