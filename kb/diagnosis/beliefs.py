"""Probabilities over causes and how one reading changes them: Bayes' rule over the articles' likelihoods.

The causes are all articles of the library in order of id, and "none of ours" as the last entry. A check that an article
doesn't speak of shows its `usual` outcomes under that cause, and always under "none of ours".
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.errors import ImpossibleReading, NotKnown
from kb.library.models import CauseId, CheckId, Library

__all__ = ["Likelihoods", "Probabilities", "entropy_bits", "make_likelihoods", "update"]

Probabilities = NDArray[np.float64]
"""Shape (n_causes + 1,), sums to 1; the last entry is "none of ours"."""


@dataclass(frozen=True, slots=True)
class Likelihoods:
    """P(outcome | cause) of every check, stacked so that all checks are weighed in one product."""

    causes: tuple[CauseId, ...]
    checks: tuple[CheckId, ...]
    outcomes: tuple[tuple[str, ...], ...]
    """Outcome names of each check."""
    table: NDArray[np.float64]
    """table[check, outcome, cause]; outcomes that a check doesn't have are 0."""
    noise_bits: NDArray[np.float64]
    """noise_bits[check, cause]: entropy of the outcome where the cause is known; what a check can't tell."""

    def row(self, check: CheckId) -> int:
        """Return the number of a check.

        Raises: NotKnown if the library doesn't have it.
        """
        try:
            return self.checks.index(check)
        except ValueError:
            raise NotKnown("check", check) from None

    def of(self, check: CheckId) -> NDArray[np.float64]:
        """Return likelihood[outcome, cause] of one check, shape (its outcomes, n_causes + 1)."""
        row = self.row(check)
        table: NDArray[np.float64] = self.table[row, : len(self.outcomes[row])]
        return table


def make_likelihoods(library: Library) -> Likelihoods:
    """Return the likelihood of every outcome of every check under every cause."""
    causes = tuple(library.articles)
    checks = tuple(library.checks)
    outcomes = tuple(check.outcomes for check in library.checks.values())
    widest = max((len(names) for names in outcomes), default=0)
    table = np.zeros((len(checks), widest, len(causes) + 1))
    row_of = {check: row for row, check in enumerate(checks)}
    for row, check in enumerate(library.checks.values()):
        table[row, : len(check.outcomes), :] = _column(check.usual, check.outcomes)[:, None]
    for column, article in enumerate(library.articles.values()):
        for item in article.checks:
            row = row_of[item.check]
            table[row, : len(outcomes[row]), column] = _column(item.shows, outcomes[row])
    return Likelihoods(causes, checks, outcomes, table, _entropy_bits_over_outcomes(table))


def update(prior: Probabilities, likelihood: NDArray[np.float64]) -> Probabilities:
    """Return the probabilities over causes after one reading.

    prior: shape (n,), sums to 1. likelihood: shape (n,), P(reading | cause), each in [0, 1].
    Raises: ImpossibleReading if every cause that is still possible gives the reading probability 0.
    Source: Bayes' rule; no smoothing is applied here, the articles' `shows` carry it.

    >>> update(np.array([0.5, 0.5]), np.array([0.8, 0.2]))
    array([0.8, 0.2])
    """
    joint = prior * likelihood
    total = joint.sum()
    if not total > 0:
        raise ImpossibleReading("reading", None, "one that at least one possible cause allows")
    posterior: Probabilities = joint / total
    return posterior


def entropy_bits(probabilities: NDArray[np.float64]) -> float:
    """Return the entropy of a distribution in bits; 0 log 0 counts as 0.

    >>> entropy_bits(np.array([0.5, 0.25, 0.25, 0.0]))
    1.5
    """
    held = probabilities[probabilities > 0]
    return float(-(held * np.log2(held)).sum()) + 0.0


def _column(values: Mapping[str, float], names: tuple[str, ...]) -> NDArray[np.float64]:
    column = np.array([values[name] for name in names])
    return np.asarray(column / column.sum(), dtype=np.float64)


def _entropy_bits_over_outcomes(table: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the entropy over axis 1 (outcomes) of table[check, outcome, cause]."""
    logs = np.zeros_like(table)
    np.log2(table, out=logs, where=table > 0)
    return np.asarray(-(table * logs).sum(axis=1), dtype=np.float64)
