"""Gauges: whether a reading keeps a limit, and what a tool's resolution is worth."""

import math

from kb.errors import BadInput
from kb.workings.base import TEXT, Input, Result, Solution, Working
from kb.workings.number import Number, nominal, normal_share, u_of

__all__ = ["GUARD", "WORKINGS", "decide", "probability_conform", "resolution_u"]

GUARD = 2.0
"""Guard band in standard uncertainties. Source: ISO 14253-1:2013, U = 2 u; the 2017 edition's default is 1.65 u."""


def decide(value: float, u: float, limit: float, conform: str, guard: float = GUARD) -> str:
    """Return "conform", "not conform" or "undecided". Source: ISO 14253-1, conform if y <= T - U.

    >>> decide(0.472, 0.0197, 0.5, "below"), decide(0.394, 0.0197, 0.5, "below"), decide(0.551, 0.0197, 0.5, "below")
    ('undecided', 'conform', 'not conform')
    """
    room = limit - value if conform == "below" else value - limit
    slack = 1e-12 * max(abs(limit), abs(value))
    if room >= guard * u - slack:
        return "conform"
    return "not conform" if room <= -guard * u + slack else "undecided"


def probability_conform(value: float, u: float, limit: float, conform: str) -> float:
    """Return the probability that the true value keeps the limit. Source: JCGM 106, Phi((T - y) / u).

    >>> round(probability_conform(-5.47, 0.05, -5.40, "below"), 4)
    0.9192
    """
    return normal_share(limit - value if conform == "below" else value - limit, u)


def resolution_u(step: Number) -> Number:
    """Return the standard uncertainty of a display's step. Source: GUM 4.3.7, d / sqrt 12.

    >>> round(resolution_u(0.05), 5)
    0.01443
    """
    return step / math.sqrt(12)


def _decision(value: Number, uncertainty: Number, limit: Number, conform: str, guard: Number) -> Solution:
    if u_of(value) or u_of(limit):
        raise BadInput("value", "a number with ±", "the uncertainty in its own input, uncertainty=")
    y, u, t, k = nominal(value), nominal(uncertainty), nominal(limit), nominal(guard)
    decision = decide(y, u, t, conform, k)
    sure = probability_conform(y, u, t, conform) * 100
    words = {
        "conform": "It keeps the limit, with room for the uncertainty.",
        "not conform": "It breaks the limit, beyond what the uncertainty could excuse.",
        "undecided": "Too near the limit to tell: measure again, with a finer tool or over a longer length.",
    }[decision]
    says = f"{words} Keeping it has a probability of {sure:.1f} %; the guard band is {k:g} u = {k * u:g}."
    return Solution({"decision": decision, "probability_conform": sure, "guard_band": k * u}, says)


def _resolution(step: Number, spread: Number, readings: Number) -> Solution:
    by_step = resolution_u(step)
    count = round(nominal(readings))
    u = math.hypot(nominal(by_step), nominal(spread) / math.sqrt(count))
    says = f"One standard uncertainty is {u:.4g}; two of it ({2 * u:.4g}) hold the true value about 95 times in 100."
    few = (
        ("A scatter known from fewer than 4 readings is itself only roughly known.",)
        if 1 < count < 4 and nominal(spread) > 0
        else ()
    )
    return Solution({"uncertainty": u, "expanded": 2 * u}, says, few)


WORKINGS = (
    Working(
        name="gauge-decision",
        title="Whether a reading keeps a limit, given its uncertainty",
        inputs=(
            Input(
                "value",
                "1",
                "reading; value, uncertainty and limit in one unit, written without it",
                least=-1e9,
                most=1e9,
            ),
            Input("uncertainty", "1", "standard uncertainty of the reading, above zero", least=1e-12, most=1e9),
            Input("limit", "1", "to keep", least=-1e9, most=1e9),
            Input(
                "conform",
                TEXT,
                "on which side of the limit it is good",
                choices=("below", "above"),
                also={"under": "below", "<": "below", "over": "above", ">": "above"},
                default="below",
            ),
            Input(
                "guard",
                "1",
                "guard band in standard uncertainties (2; 1.65 by the edition of 2017)",
                least=0,
                most=5,
                default=GUARD,
            ),
        ),
        results=(
            Result("decision", TEXT, "conform, not conform or undecided"),
            Result("probability_conform", "%", "that the true value keeps the limit"),
            Result("guard_band", "1", "kept free on both sides of the limit"),
        ),
        formula="conform if y <= T - k u, not conform if y >= T + k u, else undecided; P = Phi((T - y) / u)",
        source="ISO 14253-1:2013 (U = 2 u); JCGM 106",
        solve=_decision,
        assumptions=("The reading is normally distributed about the true value, no known bias left.",),
    ),
    Working(
        name="gauge-uncertainty",
        title="The uncertainty of a reading from step and scatter",
        inputs=(
            Input("step", "1", "smallest step of the display", least=1e-9, most=1e6),
            Input("spread", "1", "standard deviation of repeated readings", least=0, most=1e6, default=0),
            Input("readings", "count", "averaged", least=1, most=1000, default=1),
        ),
        results=(Result("uncertainty", "1", "one standard uncertainty"), Result("expanded", "1", "two of it")),
        formula="u = sqrt(step^2 / 12 + s^2 / n)",
        source="GUM JCGM 100, 4.3.7 and 4.2.3",
        solve=_resolution,
    ),
)
