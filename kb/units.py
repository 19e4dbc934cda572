"""The units we know and their conversion; everything else asks this module.

Built on pint. Article files, checks and workings write units in pint's own notation (`mm`, `N*m`, `bar/day`), plus
the counting units of the trade (`teeth`, `links`, `turns`, `spokes`), which do not convert into each other.
"""

from functools import lru_cache

import pint

from kb.errors import BadQuantity

__all__ = ["SPELLINGS", "convert", "is_unit", "same_kind", "shown"]

SPELLINGS: dict[str, str] = {
    '"': "in", "inch": "in", "inches": "in", "″": "in", "mil": "mil", "thou": "thou",
    "mms": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mill": "mm",
    "cms": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "nm": "N*m", "n.m": "N*m", "newton metres": "N*m", "newton meters": "N*m",
    "percent": "%", "per cent": "%", "pct": "%", "prozent": "%",
    "bars": "bar", "psi": "psi", "lbs": "lb", "pounds": "lb", "kpa": "kPa",
    "month": "months", "mths": "months", "mth": "months", "yr": "year", "yrs": "year", "years": "year",
    "wks": "week", "weeks": "week", "days": "day", "kilos": "kg", "kgs": "kg", "grams": "g",
    "deg": "degree", "degrees": "degree", "°": "degree",
}  # fmt: skip
"""How riders write units, mapped to the notation of this module (lower case on the left)."""


def shown(unit: str) -> str:
    """Return a unit as a person reads it.

    >>> shown("N*m"), shown("degC"), shown("bar/day")
    ('N·m', '°C', 'bar/day')
    """
    return {"degC": "°C", "1": ""}.get(unit, unit.replace("*", "·").replace("^2", "²").replace("^3", "³"))


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[float]":
    registry: pint.UnitRegistry[float] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    for counted in ("teeth", "links", "turns", "spokes", "clicks", "speeds"):
        registry.define(f"{counted} = [{counted}]")
    return registry


@lru_cache(maxsize=512)
def _dimensions(unit: str) -> str | None:
    try:
        return str(_registry().parse_units(unit).dimensionality)
    except (pint.errors.PintError, ValueError, TypeError, AttributeError, SyntaxError):
        return None


def is_unit(unit: str) -> bool:
    """Tell whether `unit` is one we can calculate with.

    >>> is_unit("N*m"), is_unit("bar/day"), is_unit("%"), is_unit("furlongs per pint of")
    (True, True, True, False)
    """
    return _dimensions(unit) is not None


def same_kind(unit: str, other: str) -> bool:
    """Tell whether the two units measure the same quantity (mm and in do, mm and kg don't)."""
    dimensions = _dimensions(unit)
    return dimensions is not None and dimensions == _dimensions(other)


@lru_cache(maxsize=4096)
def convert(value: float, unit: str, to: str) -> float:
    """Return `value` given in `unit`, in the unit `to`.

    Raises: BadQuantity if a unit is not known or the two measure different things.

    >>> round(convert(1.0, "in", "mm"), 4)
    25.4
    """
    if unit == to:
        return value
    try:
        return float(_registry().Quantity(value, unit).to(to).magnitude)
    except (pint.errors.PintError, ValueError, TypeError, AttributeError, SyntaxError) as error:
        raise BadQuantity("unit", unit, f"a unit that converts to {to}") from error
