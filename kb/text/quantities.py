"""Numbers and units in running text: "0,75 %", "3/4 mm", "5Nm", "12-1/16 in", "thirty-one point seven", "half a mm".

Finds them and reads them; what they measure is for `stated` to say.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kb.units import SPELLINGS, is_unit

__all__ = ["Quantity", "find_quantities"]

_FIGURES = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_ONES = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10,
    "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
    "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}
_NUMBER_WORD = "|".join(sorted([*_ONES, *_TENS, "hundred"], key=len, reverse=True))
_SPELT = (
    rf"(?:(?:three|a)[ -]quarters?(?: of an?)?|half(?: of)?(?: an?)?|(?:a )?quarter(?: of)?(?: an?)?|nought point \w+"
    rf"|(?:an? |one )?tenths?(?: of an?)?|(?:{_NUMBER_WORD}) tenths?(?: of an?)?|point (?:{_NUMBER_WORD})(?: of an?)?"
    rf"|(?:{_NUMBER_WORD})(?:[ -](?:{_NUMBER_WORD}))*(?: and a half| point (?:{_NUMBER_WORD})(?: (?:{_NUMBER_WORD}))*)?"
    r"|an?(?= (?:millimet|mm|mil|inch|cm|centimet|year|month|week|fortnight|bar|percent|per cent)))"
)
_UNIT_WORD = (
    r"(?:%|per ?cent\b|percent\b|pct\b|°\s?C\b|″|\"|mm\b|mms\b|mill?imet(?:re|er)s?\b|mil\b|mill\b|cms?\b|"
    r"centimet(?:re|er)s?\b|inch(?:es)?\b|in\b(?!\s+(?:the|a|my|an|it|this|that|each|all)\b)|"
    r"n\.?\s?m\b|newton met(?:re|er)s?\b|bars?\b|psi\b|kpa\b|kgs?\b|kilos?\b|lbs?\b|pounds\b|"
    r"months?\b|mths?\b|mo\b|years?\b|yrs?\b|weeks?\b|wks?\b|fortnights?\b|days?\b|teeth\b|t\b|links\b|turns?\b|speeds?\b|deg(?:rees)?\b|°|g\b|grams?\b|km\b)"
)
_QUANTITY = re.compile(
    rf"(?<![\w.,/])(?P<number>{_FIGURES}|\b{_SPELT})(?:\s?-?\s?(?P<unit>{_UNIT_WORD})(?P<half> and a half)?)?"
    r"(?:\s?(?:/|per|a|every)\s?(?P<time>day|week|month)\b)?",
    re.IGNORECASE,
)
_RANGE = re.compile(r"\s?(?:-|–|to|or|,? ?maybe)\s?", re.IGNORECASE)
_BETWEEN = re.compile(r"\bbetween\s+\Z", re.IGNORECASE)
_WIDEST_RANGE = 3
"""A range whose ends differ more is two numbers."""
_EXACT = {
    "n.m": "N*m",
    "nm": "N*m",
    "n m": "N*m",
    "mo": "months",
    "t": "teeth",
    "bar": "bar",
    "°c": "degC",
    "psi": "psi",
    "mil": "mm",
    "fortnights": "fortnight",
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number found in a text, with its unit where one stands beside it."""

    value: float
    unit: str | None
    start: int
    end: int
    """`source[start:end]` is the quantity as written."""


def find_quantities(source: str) -> tuple[Quantity, ...]:
    """Return the numbers of `source` with their units, in order.

    >>> [(q.value, q.unit) for q in find_quantities('0,75 % and 3/4 mm, 5Nm; 12-1/16 in; point five mm')]
    [(0.75, '%'), (0.75, 'mm'), (5.0, 'N*m'), (12.0625, 'in'), (0.5, 'mm')]
    """
    found = []
    for match in _QUANTITY.finditer(source):
        value = _value(match["number"].lower().strip())
        if value is None:
            continue
        unit = _unit(match["unit"])
        if match["half"]:
            value += 0.5
        end = match.end("half" if match["half"] else "unit" if match["unit"] else "number")
        if unit is not None and match["time"] and is_unit(f"{unit}/{match['time'].lower()}"):
            unit = f"{unit}/{match['time'].lower()}"
            end = match.end("time")
        found.append(Quantity(value, unit, match.start("number"), end))
    return tuple(_ranges_joined(source, found))


def _ranges_joined(source: str, found: Sequence[Quantity]) -> Iterator[Quantity]:
    """Yield the quantities, "5-6 mm" and "between 5 and 6 mm" as one of the mean value."""
    before: Quantity | None = None
    for quantity in found:
        if before is not None and _is_range(source, before, quantity):
            quantity = Quantity(
                (before.value + quantity.value) / 2, quantity.unit or before.unit, before.start, quantity.end
            )
        elif before is not None:
            yield before
        before = quantity
    if before is not None:
        yield before


def _is_range(source: str, low: Quantity, high: Quantity) -> bool:
    between = source[low.end : high.start]
    both_ends = between.strip().lower() == "and" and bool(_BETWEEN.search(source, 0, low.start))
    one_unit = low.unit in (None, high.unit) if high.unit else both_ends and low.unit is not None
    joined = both_ends or bool(_RANGE.fullmatch(between))
    return joined and one_unit and low.value < high.value <= _WIDEST_RANGE * max(low.value, 0.1)


def _unit(raw: str | None) -> str | None:
    if raw is None:
        return None
    text = re.sub(r"\s+", " ", raw.lower()).strip()
    return _EXACT.get(text) or SPELLINGS.get(text) or (text if is_unit(text) else None)


def _value(text: str) -> float | None:
    if text[0].isdigit() or text[0] in ".,":
        return _figures(text)
    return _words(text.replace("-", " "))


def _figures(text: str) -> float | None:
    mixed = re.fullmatch(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)", text)
    if mixed:
        if int(mixed[3]) == 0:
            return None
        return int(mixed[1] or 0) + int(mixed[2]) / int(mixed[3])
    return float(text.replace(",", "."))


def _words(text: str) -> float | None:
    if "tenth" in text:
        count = _whole(text.partition("tenth")[0].replace("an ", "one ").replace("a ", "one ").split() or ["one"])
        return None if count is None else count / 10
    text = text.removesuffix(" an").removesuffix(" a").removesuffix(" of")
    if text.startswith("three quarter"):
        return 0.75
    if text.startswith("half"):
        return 0.5
    if "quarter" in text:
        return 0.25
    if text in ("a", "an"):
        return 1.0
    whole, _, after = text.partition("point ")
    half = whole.endswith(" and a half")
    total = _whole(whole.removesuffix(" and a half").replace("nought", "zero").split())
    if total is None:
        return None
    digits = [_ONES.get(word) for word in after.split()]
    if None in digits:
        return None
    fraction = float("0." + "".join(str(digit) for digit in digits)) if digits else 0.0
    return total + fraction + (0.5 if half else 0.0)


def _whole(words: list[str]) -> float | None:
    total = 0
    for word in words:
        if word == "hundred":
            total = max(total, 1) * 100
        elif word in _TENS or word in _ONES:
            total += _TENS.get(word, _ONES.get(word, 0))
        else:
            return None
    return float(total)
