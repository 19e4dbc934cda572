"""The learnt part of finding stated readings: which check a window speaks of, and which outcome it reports.

One logistic regression a check, against all else a rider may say, gives P(the window states this check). For each
check a small multinomial one gives P(outcome | it states the check). Learning is `stated_training`'s; here the
weights are applied, and turned into arrays and back for storage.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from kb.library.models import CheckId

__all__ = [
    "ArrayLike",
    "OutcomeWeights",
    "StatementModel",
    "outcome_scale",
    "rows_of",
    "statement_arrays",
    "statement_model",
]

ArrayLike = NDArray[np.float64] | NDArray[np.float32] | NDArray[np.float16] | NDArray[np.int32] | NDArray[np.uint8]

_OUTCOME_SCALE = {"n": 2.0, "c": 0.3, "p": 0.7, "s": 0.5}
"""How much each kind of feature counts for outcomes, against 1: whether a word is denied counts most."""
_PREFIX = "statement_"


@dataclass(frozen=True, slots=True)
class OutcomeWeights:
    """The model of one check's outcomes."""

    names: tuple[str, ...]
    columns: NDArray[np.int32]
    """The features it knows, ascending."""
    matrix: NDArray[np.float32]
    """matrix[feature, outcome], features as in `columns`."""
    bias: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class StatementModel:
    """What was learnt."""

    columns: Mapping[str, int] = field(repr=False)
    """Feature -> its number."""
    idf: NDArray[np.float32]
    checks: tuple[CheckId, ...]
    matrix: NDArray[np.float16]
    """matrix[feature, check]"""
    bias: NDArray[np.float32]
    outcomes: Mapping[CheckId, OutcomeWeights] = field(repr=False)

    def p_checks(self, bags: Sequence[Mapping[str, float]]) -> NDArray[np.float64]:
        """Return P(window states the check), shape (n_windows, n_checks)."""
        rows = rows_of(bags, self.columns, self.idf)
        used, places = np.unique(rows.indices, return_inverse=True)
        narrow = csr_matrix((rows.data, places, rows.indptr), shape=(len(bags), len(used)))
        logits = narrow @ self.matrix[used].astype(np.float32) + self.bias
        return np.asarray(1 / (1 + np.exp(-logits.astype(np.float64))), dtype=np.float64)

    def p_outcomes(self, check: CheckId, bags: Sequence[Mapping[str, float]]) -> NDArray[np.float64]:
        """Return P(outcome | the window states the check), shape (n_windows, n_outcomes), as in `outcomes[check]`."""
        weights = self.outcomes[check]
        rows = rows_of(bags, self.columns, self.idf, scaled=True)
        logits = np.tile(weights.bias.astype(np.float64), (len(bags), 1))
        place = np.searchsorted(weights.columns, rows.indices)
        known = place < len(weights.columns)
        known[known] = weights.columns[place[known]] == rows.indices[known]
        of_row = np.repeat(np.arange(len(bags)), np.diff(rows.indptr))
        np.add.at(logits, of_row[known], rows.data[known, None] * weights.matrix[place[known]])
        shares = np.exp(logits - logits.max(axis=1, keepdims=True))
        return np.asarray(shares / shares.sum(axis=1, keepdims=True), dtype=np.float64)


def outcome_scale(feature: str) -> float:
    """Return how much a feature counts for outcomes."""
    return 1.0 if feature.startswith("@") else _OUTCOME_SCALE.get(feature[0], 1.0)


def rows_of(
    bags: Sequence[Mapping[str, float]], columns: Mapping[str, int], idf: NDArray[np.float32], scaled: bool = False
) -> csr_matrix:
    """Return the rows of bags, each of unit length, shape (n_bags, n_features); unknown features are left out.

    scaled: with the weights of features for outcomes.
    """
    starts = [0]
    indices: list[int] = []
    values: list[float] = []
    for bag in bags:
        for feature, value in bag.items():
            column = columns.get(feature)
            if column is not None:
                indices.append(column)
                values.append(value * outcome_scale(feature) if scaled else value)
        starts.append(len(indices))
    places = np.asarray(indices, dtype=np.int32)
    data = np.asarray(values, dtype=np.float32) * idf[places]
    of_row = np.repeat(np.arange(len(bags)), np.diff(starts))
    lengths = np.sqrt(np.bincount(of_row, weights=data.astype(np.float64) ** 2, minlength=len(bags)))
    data = (data / np.maximum(lengths, 1e-9)[of_row]).astype(np.float32)
    return csr_matrix((data, places, np.asarray(starts)), shape=(len(bags), len(columns)))


def statement_arrays(model: StatementModel) -> dict[str, ArrayLike]:
    """Return the model as named arrays, to be stored."""
    head = {
        "features": sorted(model.columns, key=lambda feature: model.columns[feature]),
        "checks": list(model.checks),
        "outcomes": {check: list(weights.names) for check, weights in model.outcomes.items()},
    }
    weights = model.outcomes.values()
    return {
        f"{_PREFIX}head": np.frombuffer(json.dumps(head, ensure_ascii=False).encode(), dtype=np.uint8),
        f"{_PREFIX}idf": model.idf,
        f"{_PREFIX}matrix": model.matrix,
        f"{_PREFIX}bias": model.bias,
        f"{_PREFIX}lengths": np.array([len(item.columns) for item in weights], dtype=np.int32),
        f"{_PREFIX}columns": _joined([item.columns for item in weights]).astype(np.int32),
        f"{_PREFIX}outcomes": _joined([item.matrix.ravel() for item in weights]).astype(np.float16),
        f"{_PREFIX}outcome_bias": _joined([item.bias for item in weights]).astype(np.float32),
    }


def statement_model(arrays: Mapping[str, ArrayLike]) -> StatementModel | None:
    """Return the model that the arrays hold, or None where they hold none.

    Raises: KeyError or ValueError if they are not whole.
    """
    if f"{_PREFIX}head" not in arrays:
        return None
    head = json.loads(arrays[f"{_PREFIX}head"].tobytes())
    outcomes: dict[CheckId, OutcomeWeights] = {}
    columns, matrix = arrays[f"{_PREFIX}columns"], arrays[f"{_PREFIX}outcomes"]
    bias = arrays[f"{_PREFIX}outcome_bias"]
    at = cell = name = 0
    for (check, names), length in zip(head["outcomes"].items(), arrays[f"{_PREFIX}lengths"], strict=True):
        size = int(length) * len(names)
        outcomes[CheckId(check)] = OutcomeWeights(
            tuple(names),
            columns[at : at + int(length)].astype(np.int32),
            matrix[cell : cell + size].reshape(int(length), len(names)).astype(np.float32),
            bias[name : name + len(names)].astype(np.float32),
        )
        at, cell, name = at + int(length), cell + size, name + len(names)
    return StatementModel(
        columns={feature: number for number, feature in enumerate(head["features"])},
        idf=arrays[f"{_PREFIX}idf"].astype(np.float32),
        checks=tuple(CheckId(check) for check in head["checks"]),
        matrix=arrays[f"{_PREFIX}matrix"].astype(np.float16),
        bias=arrays[f"{_PREFIX}bias"].astype(np.float32),
        outcomes=outcomes,
    )


def _joined(parts: Sequence[NDArray[np.int32] | NDArray[np.float32]]) -> NDArray[np.float64]:
    return np.concatenate([part.astype(np.float64) for part in parts]) if parts else np.zeros(0)
