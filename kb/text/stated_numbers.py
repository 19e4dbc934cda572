"""Which number of a text is the reading of a measured check, and what it amounts to.

The number must convert to the check's unit and be one a real bike can show. Where a check takes a difference, the
difference that the rider names wins ("so 1.2 mm different"), then that of two numbers side by side ("4.1 on one, 5.3 on
the other"). A number without a unit is read only where it has decimals and the check's scale is short.
"""

import re
from collections.abc import Sequence
from itertools import pairwise

from kb.errors import BadQuantity
from kb.library.models import Check
from kb.text.quantities import Quantity
from kb.units import convert

__all__ = ["number_read"]

_SHORT_SCALE = 5.0
_NAMED_BEFORE = re.compile(
    r"\b(?:so|off by|out by|differ\w* (?:by|of)|that is|which is|makes?|gives?)\s*\Z", re.IGNORECASE
)
_NAMED_AFTER = re.compile(
    r"\W*(?:of )?(?:differ\w*|undersize|oversize|of slop|smaller|bigger|thinner|wider|narrower|larger|"
    r"too \w+|out\b|off\b)",
    re.IGNORECASE,
)
_LIMIT_BEFORE = re.compile(
    r"\b(?:min(?:imum)?|max(?:imum)?|stamp\w*|limit\w*|should (?:be|have)|supposed to be|spec\w*|nominal\w*|target)"
    r"(?:\W+(?:is|of|it|on|th))*\W*\Z",
    re.IGNORECASE,
)
_PART_AFTER = re.compile(r"\W*(?:end|side|mark|tip|speed|bolt|key|inch\w* wheel)\b", re.IGNORECASE)
_SHORTFALL = re.compile(r"\W*(?:too )?(?:low|under|below|down|short|less|soft)\b", re.IGNORECASE)
_EACH_DAY = re.compile(
    r"\W*(?:over ?night|(?:each|every|a|per|in a|over a)\s(?:single )?(?:day|night))\b", re.IGNORECASE
)
_EACH_WEEK = re.compile(r"\W*(?:(?:each|every|a|per|in a|over a)\sweek|weekly)\b", re.IGNORECASE)
_REACH = 30
_LIKE = 1.5
"""Two numbers, one without a unit, are of one kind where neither is larger than the other by more than this."""


def number_read(
    check: Check, source: str, quantities: Sequence[Quantity], near: Sequence[Quantity]
) -> tuple[float, int, int] | None:
    """Return the reading in the check's unit, with the span it stands in, or None where no number is its reading.

    quantities: those of the sentences in question, in order. near: those of them inside the windows that state it.
    """
    if not check.is_measured or check.unit is None:
        return None
    usable = [(item, value) for item in near if (value := _value(check, source, item)) is not None]
    if _takes_difference(check):
        named = [(item, value) for item, value in _values(check, source, quantities) if _is_named(source, item)]
        if named:
            return named[0][1], named[0][0].start, named[0][0].end
        found = _difference(check, source, quantities)
        if found is not None:
            return found
    if not usable:
        return None
    item, value = usable[0]
    return value, item.start, item.end


def _values(check: Check, source: str, quantities: Sequence[Quantity]) -> list[tuple[Quantity, float]]:
    found = [(item, _value(check, source, item)) for item in quantities]
    return [(item, value) for item, value in found if value is not None]


def _value(check: Check, source: str, item: Quantity) -> float | None:
    """Return what the quantity is in the check's unit where it can be its reading."""
    before, after = source[max(item.start - _REACH, 0) : item.start], source[item.end : item.end + _REACH]
    if _LIMIT_BEFORE.search(before) or check.unit is None:
        return None
    value = _converted(check, item, after) if item.unit is not None else _unitless(check, source, item, after)
    if value is None:
        return None
    low, high = check.plausible or (float("-inf"), float("inf"))
    if check.unit == "%" and low < 0 < value and _SHORTFALL.match(after):
        value = -value
    return value if low <= value <= high else None


def _converted(check: Check, item: Quantity, after: str) -> float | None:
    """Convert; a rate may be told apart from its unit ("half a bar every day"), or be in the check's name."""
    unit = item.unit or ""
    rate = "day" if _EACH_DAY.match(after) else "week" if _EACH_WEEK.match(after) else ""
    base, _, per = unit.partition("/")
    for candidate in (unit, f"{unit}/{rate}" if rate else "", base if per and f"per {per}" in check.what else ""):
        try:
            if candidate:
                return convert(item.value, candidate, check.unit or "")
        except BadQuantity:
            continue
    return None


def _unitless(check: Check, source: str, item: Quantity, after: str) -> float | None:
    written = source[item.start : item.end]
    has_decimals = any(mark in written for mark in (".", ",", "/", "point"))
    low, high = check.plausible or (float("-inf"), float("inf"))
    short = low >= 0 and high <= _SHORT_SCALE
    return item.value if has_decimals and short and not _PART_AFTER.match(after) else None


def _takes_difference(check: Check) -> bool:
    return any(word in check.what.split() for word in ("minus", "difference", "change"))


def _is_named(source: str, item: Quantity) -> bool:
    before, after = source[max(item.start - _REACH, 0) : item.start], source[item.end : item.end + _REACH]
    return bool(_NAMED_BEFORE.search(before) or _NAMED_AFTER.match(after))


def _difference(check: Check, source: str, quantities: Sequence[Quantity]) -> tuple[float, int, int] | None:
    """Return the difference of the first two numbers side by side that measure the same kind of thing."""
    figures = [
        item for item in quantities if item.unit or any(char.isdigit() for char in source[item.start : item.end])
    ]
    for one, other in pairwise(figures):
        unit = one.unit or other.unit
        both = one.unit == other.unit or _alike(one.value, other.value)
        if unit is None or not both:
            continue
        try:
            ends = [convert(item.value, item.unit or unit, check.unit or "") for item in (one, other)]
        except BadQuantity:
            continue
        value = round(abs(ends[0] - ends[1]), 6)
        low, high = check.plausible or (float("-inf"), float("inf"))
        if low <= value <= high:
            return value, one.start, other.end
    return None


def _alike(one: float, other: float) -> bool:
    small, large = sorted((one, other))
    return small > 0 and large <= _LIKE * small
