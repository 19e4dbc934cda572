"""Readings: what a check showed on this bike, as a share for each of its outcomes.

A named outcome is certain, a hedged one keeps a part for the others. A number is the mean of a normal distribution with
the uncertainty of the tool; its share in each band is the distribution's mass there, so that a marginal value tells
little.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np
from numpy.typing import NDArray

from kb.errors import BadInput, ImpossibleReading, UnknownOutcome
from kb.library.models import Band, Check, CheckId
from kb.text.stated import StatedReading

__all__ = ["Reading", "from_stated", "likelihood_of", "make_reading", "outcome_shares"]

HEDGE_SHARE = 0.3
"""Share of a hedged reading that is spread evenly over all outcomes (our own judgement, no source)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What one check showed."""

    check: CheckId
    outcome: str
    """For a number, the outcome in whose band it lies."""
    value: float | None = None
    """In the check's unit."""
    uncertainty: float | None = None
    """Standard uncertainty of `value`, in the same unit."""
    hedged: bool = False
    quote: str | None = None
    """The words of the complaint that state it; None where the person entered it."""
    bands: Mapping[str, Band] | None = None
    """The bands that apply to this bike, where they are not the check's own (a variant chosen by a stated fact)."""

    @property
    def is_stated(self) -> bool:
        """Whether the complaint itself gave it."""
        return self.quote is not None


def make_reading(check: Check, given: str | float, bands: Mapping[str, Band] | None = None) -> Reading:
    """Return the reading for an outcome name or a number in the check's unit; `bands` replaces the check's own.

    Raises: UnknownOutcome for a name the check doesn't have, BadInput for a number where the check isn't measured,
    ImpossibleReading for a number no real bike can show.
    """
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise BadInput(f"readings.{check.id}", given, "an outcome name or a number")
    if isinstance(given, str):
        if given not in check.outcomes:
            near = get_close_matches(given, check.outcomes, 1)
            hint = f" (near: {near[0]})" if near else ""
            number = f" or a number in {check.unit}" if check.is_measured else ""
            raise UnknownOutcome(f"readings.{check.id}", given, f"one of {', '.join(check.outcomes)}{number}{hint}")
        return Reading(check.id, given)
    if check.bands is None:
        raise BadInput(f"readings.{check.id}", given, f"one of {', '.join(check.outcomes)}; this check has no number")
    value = float(given)
    if not math.isfinite(value):
        raise ImpossibleReading(f"readings.{check.id}", given, f"a finite number in {check.unit}")
    if check.plausible is not None and not check.plausible[0] <= value <= check.plausible[1]:
        low, high = check.plausible
        raise ImpossibleReading(f"readings.{check.id}", given, f"{low:g} to {high:g} {check.unit}")
    used = bands or check.bands
    outcome = next(name for name in check.outcomes if used[name].holds(value))
    return Reading(check.id, outcome, value=value, uncertainty=check.resolution, bands=bands)


def from_stated(check: Check, stated: StatedReading) -> Reading:
    """Return the reading that the complaint states."""
    return Reading(
        check=stated.check,
        outcome=stated.outcome,
        value=stated.value,
        uncertainty=check.resolution if stated.value is not None else None,
        hedged=stated.hedged,
        quote=stated.quote,
    )


def outcome_shares(check: Check, reading: Reading) -> NDArray[np.float64]:
    """Return P(outcome | reading) in the order of the check's outcomes; shape (n_outcomes,), sums to 1.

    Source: shares of a normal distribution between limits, as in JCGM 106:2012 for conformance probability.
    """
    bands = reading.bands or check.bands
    if reading.value is not None and bands is not None and reading.uncertainty:
        shares = np.array([_mass(bands[name], reading.value, reading.uncertainty) for name in check.outcomes])
    else:
        shares = np.array([1.0 if name == reading.outcome else 0.0 for name in check.outcomes])
    if reading.hedged:
        shares = (1 - HEDGE_SHARE) * shares + HEDGE_SHARE / len(shares)
    return np.asarray(shares / shares.sum(), dtype=np.float64)


def likelihood_of(shares: NDArray[np.float64], likelihood: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return P(reading | cause), shape (n_causes,), from shares (n_outcomes,) and likelihood[outcome, cause]."""
    return np.asarray(shares @ likelihood, dtype=np.float64)


def _mass(band: Band, mean: float, deviation: float) -> float:
    below_high = 1.0 if band.high is None else _normal_below((band.high - mean) / deviation)
    below_low = 0.0 if band.low is None else _normal_below((band.low - mean) / deviation)
    return max(below_high - below_low, 0.0)


def _normal_below(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))
