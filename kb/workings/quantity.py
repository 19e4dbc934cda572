"""Reads a quantity as a mechanic writes it, into the unit that a working calculates in.

"28.6 mm", "1.125 in", "1-1/8 in", "5Nm", "0,75 %", "31.8 ± 0.05 mm", "31.8 mm +- 0.2 %". A comma is a decimal comma,
never a thousands mark. What a number may be (range, whole) is the business of `base.Input`.
"""

import math
import re

from kb.errors import BadQuantity
from kb.units import SPELLINGS, convert, is_unit, shown
from kb.workings.number import Number, uncertain

__all__ = ["read_quantity"]

_FIGURE = r"\d+[ -]\d+/\d+|\d+/\d+|(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"
_SIDE = re.compile(rf"(?P<sign>[-+−–]?)\s*(?P<figure>{_FIGURE})(?P<unit>(?:\s*-?\s*[^\d\s.,+\-][^±]*)?)", re.DOTALL)
_LONGEST = 60
_FACTOR = r"(?:°?[A-Za-zµ_]+(?:\^\d)?)"
_UNIT = re.compile(rf"%|(?:1/)?{_FACTOR}(?:[*/ ]{_FACTOR})*(?:/\({_FACTOR}(?:\*{_FACTOR})*\))?")
_PLUS_MINUS = re.compile(r"±|\+\s*/?\s*[-−]")
_COUNTED = frozenset(
    [
        "x",
        "bolt",
        "bolts",
        "screw",
        "screws",
        "spoke",
        "spokes",
        "hole",
        "holes",
        "link",
        "links",
        "pitch",
        "pitches",
        "cross",
        "crosses",
        "crossings",
        "sprocket",
        "sprockets",
        "arm",
        "arms",
        "gear",
        "gears",
        "speed",
        "speeds",
    ]
)
_LOCAL: dict[str, dict[str, str]] = {
    "teeth": {"t": "teeth", "tooth": "teeth", "z": "teeth"},
    "links": {"link": "links", "pitch": "links", "pitches": "links"},
    "turns": {"turn": "turns"},
    "degC": {"c": "degC", "°c": "degC", "f": "degF", "°f": "degF", "k": "kelvin"},
    "m/s^2": {"g": "standard_gravity"},
    "N": {"lb": "lbf", "lbs": "lbf", "pounds": "lbf", "kg": "kgf", "kilos": "kgf"},
    "N/mm": {"lb/in": "lbf/inch", "lbs/in": "lbf/inch"},
    "N*m": {
        spelt: unit
        for unit, forms in {"ft*lbf": ("ft lb", "ft-lb", "ft lbs", "lb ft", "lb-ft", "lbf ft", "ft lbf"),
                            "inch*lbf": ("in lb", "in-lb", "in lbs", "lb in", "lb-in", "lbf in", "in lbf"),
                            "kgf*m": ("kgm", "kgf m"), "N*m": ("n m", "n-m", "n·m")}.items()
        for spelt in forms
    },
    "1/min": {"rpm": "1/min", "/min": "1/min", "min-1": "1/min", "per minute": "1/min", "u/min": "1/min"},
    "km/h": {"kmh": "km/h", "km/h": "km/h", "kph": "km/h"},
}  # fmt: skip
"""Spellings that mean something only where a certain unit is asked for: "g" of a deceleration is no gram."""


def read_quantity(field: str, text: str, unit: str) -> Number:
    """Return what `text` says, in `unit`; a bare number is in `unit` already.

    `±` or `+-` gives a standard uncertainty, in the same unit or in per cent of the value.
    Raises: BadQuantity naming `field`.

    >>> read_quantity("bore", "1-1/8 in", "mm"), read_quantity("torque", "5Nm", "N*m")
    (28.575, 5.0)
    >>> print(read_quantity("bore", "31.8 +- 0.05 mm", "mm"))
    31.80+/-0.05
    """
    if len(text) > _LONGEST:
        raise BadQuantity(field, text, f"a quantity of at most {_LONGEST} characters")
    sides = _PLUS_MINUS.split(text.strip())
    if len(sides) > 2:
        raise BadQuantity(field, text, "one ± at most")
    value, written = _side(field, text, sides[0], unit)
    if len(sides) == 1:
        return _converted(field, text, value, written or unit, unit)
    spread, spread_unit = _side(field, text, sides[1], unit)
    if spread < 0:
        raise BadQuantity(field, text, "an uncertainty above zero after ±")
    if spread_unit == "%" and (written or unit) != "%":
        exact = _converted(field, text, value, written or unit, unit)
        return uncertain(exact, abs(exact) * spread / 100)
    value_unit = written or spread_unit or unit
    exact = _converted(field, text, value, value_unit, unit)
    moved = _converted(
        field, text, value + _converted(field, text, spread, spread_unit or value_unit, value_unit), value_unit, unit
    )
    return uncertain(exact, abs(moved - exact))


def _side(field: str, text: str, side: str, unit: str) -> tuple[float, str | None]:
    match = _SIDE.fullmatch(side.strip())
    if match is None:
        raise BadQuantity(field, text, f"a number in {_named(unit)}, as in {_example(unit)}")
    value = _figures(field, text, match["figure"])
    written = match["unit"].strip().lstrip("-").strip()
    return (-value if match["sign"] in ("-", "−", "–") else value), (
        _unit(field, text, written, unit) if written else None
    )


def _figures(field: str, text: str, figure: str) -> float:
    mixed = re.fullmatch(r"(?:(\d+)[ -])?(\d+)/(\d+)", figure)
    if mixed and int(mixed[3]) == 0:
        raise BadQuantity(field, text, "a fraction that does not divide by zero")
    value = int(mixed[1] or 0) + int(mixed[2]) / int(mixed[3]) if mixed else float(figure.replace(",", "."))
    if not math.isfinite(value):
        raise BadQuantity(field, text, "a finite number")
    return value


def _unit(field: str, text: str, written: str, unit: str) -> str:
    """Return the notation of `kb.units` for the unit as written."""
    plain = re.sub(r"\s+", " ", written).replace("·", "*").replace("⋅", "*").replace("²", "^2").replace("³", "^3")
    low = plain.lower()
    if unit in ("1", "count") and low in _COUNTED:
        return "1"
    local = _LOCAL.get(unit, {})
    powered = re.sub(r"(?<=[A-Za-z])([234])\b", r"^\1", plain)
    for form in (local.get(low), local.get(written.lower()), SPELLINGS.get(low), powered, powered.lower()):
        # the shape is judged first: the unit library is at a loss with brackets left open or towers of powers
        if form is not None and _UNIT.fullmatch(form) and is_unit(form):
            return form
    raise BadQuantity(field, text, f"a unit that converts to {_named(unit)}")


def _converted(field: str, text: str, value: float, written: str, unit: str) -> float:
    source, target = (("dimensionless" if name in ("1", "count") else name) for name in (written, unit))
    if source == target:
        return value
    try:
        return float(f"{convert(value, source, target):.12g}")  # 1 in is 25.4 mm, whatever binary fractions make of it
    except BadQuantity:
        raise BadQuantity(field, text, f"a unit that converts to {_named(unit)}") from None


def _named(unit: str) -> str:
    return {"1": "no unit (a plain number)", "count": "no unit (a count)"}.get(unit, shown(unit))


def _example(unit: str) -> str:
    return "12" if unit in ("1", "count") else f"12.5 {shown(unit)}"
