"""Which check to do next: the one that tells most about the causes for its time, safety first.

The gain of a check is the mutual information between its outcome and the cause, in bits: the entropy of the outcome
less the entropy it would still have if the cause were known. Its cost is its own minutes and those of asking and
answering. A check that can rule out a cause with which the bike must not be ridden goes first.
"""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.diagnosis.beliefs import Likelihoods, Probabilities, update
from kb.library.models import CauseId, Check, CheckId, Library, Ride, Skill

__all__ = ["NextCheck", "OutcomeMeaning", "gains_bits", "next_checks"]

ASKING_MINUTES = 1.5
"""Time that any check costs besides its own: to read the question, and to say what was found (our own judgement)."""
DANGER_SHARE = 0.05
"""From this probability on, a cause with which the bike must not be ridden is checked first."""
LEAST_GAIN_BITS = 0.005
_MEANT = 2


@dataclass(frozen=True, slots=True)
class OutcomeMeaning:
    """What one outcome of a check would make of the causes."""

    outcome: str
    p_outcome: float
    leading: tuple[tuple[CauseId, float], ...]
    """The causes that would then lead, with their probabilities."""


@dataclass(frozen=True, slots=True)
class NextCheck:
    """A check worth doing now."""

    check: CheckId
    gain_bits: float
    minutes: float
    between: tuple[CauseId, CauseId] | None
    """The two likely causes that it tells apart best."""
    rules_out: CauseId | None
    """The dangerous cause because of which it goes first, if it does."""
    outcomes: tuple[OutcomeMeaning, ...]


def gains_bits(probabilities: Probabilities, likelihoods: Likelihoods) -> NDArray[np.float64]:
    """Return the expected gain of every check in bits, shape (n_checks,), each between 0 and the entropy over causes.

    Source: mutual information I(cause; outcome) = H(outcome) - H(outcome | cause), Cover & Thomas (from memory).
    """
    p_outcome = likelihoods.table @ probabilities
    logs = np.zeros_like(p_outcome)
    np.log2(p_outcome, out=logs, where=p_outcome > 0)
    gains = -(p_outcome * logs).sum(axis=1) - likelihoods.noise_bits @ probabilities
    return np.asarray(np.maximum(gains, 0.0), dtype=np.float64)


def next_checks(
    library: Library,
    likelihoods: Likelihoods,
    probabilities: Probabilities,
    done: Collection[CheckId],
    skill: Skill,
    count: int,
) -> tuple[NextCheck, ...]:
    """Return up to `count` checks by gain for their time, those already done left out.

    Checks that need more skill than the asker has are left out too. Ties go by id.
    """
    gains = gains_bits(probabilities, likelihoods)
    open_rows = [
        row
        for row, id in enumerate(likelihoods.checks)
        if id not in done and library.checks[id].skill.rank <= skill.rank and gains[row] >= LEAST_GAIN_BITS
    ]
    costs = {row: ASKING_MINUTES + library.checks[likelihoods.checks[row]].minutes for row in open_rows}
    ordered = sorted(open_rows, key=lambda row: (-gains[row] / costs[row], likelihoods.checks[row]))
    first, danger = _safety_first(library, likelihoods, probabilities, ordered, costs)
    if first is not None:
        ordered.remove(first)
        ordered.insert(0, first)
    return tuple(
        _described(library, likelihoods, probabilities, row, float(gains[row]), danger if row == first else None)
        for row in ordered[:count]
    )


def _safety_first(
    library: Library,
    likelihoods: Likelihoods,
    probabilities: Probabilities,
    rows: list[int],
    costs: dict[int, float],
) -> tuple[int | None, CauseId | None]:
    """Return the check that tells most for its time about the likeliest cause that forbids riding, and that cause.

    None where no such cause has DANGER_SHARE, or where one already leads: then the next check is the best one anyway.
    """
    dangerous = [
        (float(probabilities[column]), cause, column)
        for column, cause in enumerate(likelihoods.causes)
        if library.articles[cause].ride is Ride.DO_NOT_RIDE and probabilities[column] >= DANGER_SHARE
    ]
    if not dangerous or not rows:
        return None, None
    p_cause, cause, column = max(dangerous, key=lambda item: (item[0], item[1]))
    asked = {item.check for item in library.articles[cause].checks}
    telling = [row for row in rows if likelihoods.checks[row] in asked]
    if not telling:
        return None, None
    rates = {row: _gain_about(likelihoods.table[row], probabilities, column) / costs[row] for row in telling}
    best = max(telling, key=lambda row: (rates[row], likelihoods.checks[row]))
    return (best, cause) if rates[best] * costs[best] >= LEAST_GAIN_BITS * p_cause else (None, None)


def _gain_about(table: NDArray[np.float64], probabilities: Probabilities, column: int) -> float:
    """Return the gain in bits about one cause against all others, from table[outcome, cause]."""
    p_cause = float(probabilities[column])
    if p_cause >= 1:
        return 0.0
    under = table[:, column]
    others = (table @ probabilities - p_cause * under) / (1 - p_cause)
    mixed = p_cause * under + (1 - p_cause) * others
    gain = 0.0
    for share, p_outcome in ((p_cause, under), (1 - p_cause, others)):
        held = (p_outcome > 0) & (mixed > 0)
        gain += share * float((p_outcome[held] * np.log2(p_outcome[held] / mixed[held])).sum())
    return gain


def _described(
    library: Library,
    likelihoods: Likelihoods,
    probabilities: Probabilities,
    row: int,
    gain: float,
    danger: CauseId | None,
) -> NextCheck:
    check = library.checks[likelihoods.checks[row]]
    table = likelihoods.of(check.id)
    return NextCheck(
        check=check.id,
        gain_bits=gain,
        minutes=check.minutes,
        between=_told_apart(likelihoods, probabilities, table),
        rules_out=danger,
        outcomes=_meanings(likelihoods, probabilities, check, table),
    )


def _told_apart(
    likelihoods: Likelihoods, probabilities: Probabilities, table: NDArray[np.float64]
) -> tuple[CauseId, CauseId] | None:
    """Return the pair of likely causes whose outcomes differ most, weighed by their probabilities."""
    likely = np.argsort(-probabilities[:-1], kind="stable")[:6]
    best: tuple[float, int, int] | None = None
    for place, one in enumerate(likely):
        for other in likely[place + 1 :]:
            distance = 0.5 * float(np.abs(table[:, one] - table[:, other]).sum())
            weight = distance * float(np.sqrt(probabilities[one] * probabilities[other]))
            if best is None or weight > best[0]:
                best = (weight, int(one), int(other))
    if best is None or best[0] <= 0:
        return None
    return likelihoods.causes[best[1]], likelihoods.causes[best[2]]


def _meanings(
    likelihoods: Likelihoods, probabilities: Probabilities, check: Check, table: NDArray[np.float64]
) -> tuple[OutcomeMeaning, ...]:
    p_outcome = table @ probabilities
    meanings = []
    for number, outcome in enumerate(check.outcomes):
        if p_outcome[number] <= 0:
            continue
        after = update(probabilities, table[number])
        leaders = np.argsort(-after[:-1], kind="stable")[:_MEANT]
        leading = tuple((likelihoods.causes[int(column)], float(after[column])) for column in leaders)
        meanings.append(OutcomeMeaning(outcome, float(p_outcome[number]), leading))
    return tuple(meanings)
