"""Many logistic regressions over the same rows at once, one a column of targets, by limited-memory BFGS.

Each column has its own directions and steps (its problem is apart from the others'), but products with the rows are
shared, which a solver called once a column could not do. Arithmetic is in single precision.
Source: Nocedal and Wright, Numerical Optimization, 2nd ed., algorithm 7.4, with backtracking by halves.
"""

from collections import deque

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

__all__ = ["fit_each"]

Matrix = NDArray[np.float32]

_MEMORY = 4
_ENOUGH = 1e-4
_MOST_HALVINGS = 8
_START_BIAS = -4.0


def fit_each(
    rows: csr_matrix, targets: Matrix, weights: Matrix, penalty: float, iterations: int
) -> tuple[Matrix, Matrix]:
    """Return weights (n_features, n_columns) and biases (n_columns,).

    rows: (n_rows, n_features); targets: 0 or 1, (n_rows, n_columns); weights of the same shape, 0 leaves an entry out.
    Minimises for each column the weighted log loss plus penalty / 2 times the squared weights; the bias is free.
    """
    loss = _Loss(rows, targets, weights, penalty)
    point = np.zeros((rows.shape[1] + 1, targets.shape[1]), dtype=np.float32)
    point[-1] = _START_BIAS
    value, slope = loss.at(point)
    memory: deque[tuple[Matrix, Matrix, Matrix]] = deque(maxlen=_MEMORY)
    for _ in range(iterations):
        direction = _direction(slope, memory)
        descent = (direction * slope).sum(axis=0)
        step = np.where(descent < 0, 1.0, 0.0).astype(np.float32)
        if not memory:
            step /= np.maximum(np.sqrt((slope * slope).sum(axis=0)), 1.0)
        for _ in range(_MOST_HALVINGS):
            moved = point + step * direction
            after, new_slope = loss.at(moved)
            worse = (after > value + _ENOUGH * step * descent) & (step > 0)
            if not worse.any():
                break
            step[worse] *= 0.5
        else:
            step[worse] = 0
            moved = point + step * direction
            after, new_slope = loss.at(moved)
        change, bend = moved - point, new_slope - slope
        curvature = (change * bend).sum(axis=0)
        inverse = np.where(curvature > 1e-10, 1 / np.maximum(curvature, 1e-10), 0).astype(np.float32)
        memory.append((change, bend, inverse))
        point, value, slope = moved, after, new_slope
    return point[:-1], point[-1]


class _Loss:
    """The losses of all columns and their slopes."""

    def __init__(self, rows: csr_matrix, targets: Matrix, weights: Matrix, penalty: float) -> None:
        self._rows = rows
        self._columns = rows.T.tocsr()
        self._targets = targets
        self._weights = weights
        self._penalty = np.float32(penalty)

    def at(self, point: Matrix) -> tuple[Matrix, Matrix]:
        """Return the losses (n_columns,) and slopes, shaped as `point`."""
        logits = self._rows @ point[:-1] + point[-1]
        small = np.exp(-np.abs(logits))
        losses = np.maximum(logits, 0) - logits * self._targets + np.log1p(small)
        value = (self._weights * losses).sum(axis=0, dtype=np.float64)
        value += 0.5 * self._penalty * (point[:-1] * point[:-1]).sum(axis=0, dtype=np.float64)
        p_one = np.where(logits >= 0, 1, small) / (1 + small)
        rest = self._weights * (p_one - self._targets)
        slope = np.empty_like(point)
        slope[:-1] = self._columns @ rest + self._penalty * point[:-1]
        slope[-1] = rest.sum(axis=0)
        return value.astype(np.float32), slope


def _direction(slope: Matrix, memory: deque[tuple[Matrix, Matrix, Matrix]]) -> Matrix:
    direction = -slope
    shares: list[Matrix] = []
    for change, bend, inverse in reversed(memory):
        share = inverse * (change * direction).sum(axis=0)
        direction -= share * bend
        shares.append(share)
    if memory:
        change, bend, inverse = memory[-1]
        scale = np.where(inverse > 0, 1 / np.maximum(inverse * (bend * bend).sum(axis=0), 1e-10), 1)
        direction *= scale.astype(np.float32)
    for (change, bend, inverse), share in zip(memory, reversed(shares), strict=True):
        direction += change * (share - inverse * (bend * direction).sum(axis=0))
    return direction
