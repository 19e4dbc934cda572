"""Numbers with or without an uncertainty, and the few functions our formulas need of them.

The only place that knows the `uncertainties` library. A number without uncertainty stays a plain float, so that an
exact input costs nothing and never shows a made-up ±.
"""

import math
from typing import TypeAlias

from uncertainties import UFloat, ufloat, umath  # type: ignore[import-untyped]

__all__ = [
    "Number",
    "acos",
    "asin",
    "atan",
    "cos",
    "nominal",
    "normal_share",
    "sin",
    "sqrt",
    "tan",
    "u_of",
    "uncertain",
]

Number: TypeAlias = float | UFloat
"""A float, or a float with a standard uncertainty that remembers what it depends on."""


def uncertain(value: float, u: float) -> Number:
    """Return `value` with the standard uncertainty `u`; a plain float when `u` is zero.

    >>> u_of(uncertain(31.8, 0.05)), uncertain(31.8, 0.0)
    (0.05, 31.8)
    """
    if u == 0:
        return value
    number: Number = ufloat(value, u)
    return number


def nominal(number: Number) -> float:
    """Return the number without its uncertainty."""
    return float(getattr(number, "nominal_value", number))


def u_of(number: Number) -> float:
    """Return the standard uncertainty of the number, 0 for a plain one."""
    return float(getattr(number, "std_dev", 0.0))


def sqrt(number: Number) -> Number:
    """Return the square root."""
    root: Number = umath.sqrt(number)
    return root


def sin(angle_rad: Number) -> Number:
    """Return the sine."""
    value: Number = umath.sin(angle_rad)
    return value


def cos(angle_rad: Number) -> Number:
    """Return the cosine."""
    value: Number = umath.cos(angle_rad)
    return value


def tan(angle_rad: Number) -> Number:
    """Return the tangent."""
    value: Number = umath.tan(angle_rad)
    return value


def asin(share: Number) -> Number:
    """Return the angle in rad whose sine is `share`."""
    angle: Number = umath.asin(share)
    return angle


def acos(share: Number) -> Number:
    """Return the angle in rad whose cosine is `share`."""
    angle: Number = umath.acos(share)
    return angle


def atan(ratio: Number) -> Number:
    """Return the angle in rad whose tangent is `ratio`."""
    angle: Number = umath.atan(ratio)
    return angle


def normal_share(value: float, u: float) -> float:
    """Return the probability that a normal quantity with mean `value` and deviation `u` is above zero.

    With `u` zero it is 1, 0, or 0.5 exactly at zero.

    >>> round(normal_share(0.07, 0.05), 4), normal_share(1.0, 0.0)
    (0.9192, 1.0)
    """
    if u == 0:
        return 0.5 if value == 0 else float(value > 0)
    return 0.5 * (1 + math.erf(value / (u * math.sqrt(2))))
