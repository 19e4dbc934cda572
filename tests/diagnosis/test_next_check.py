import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.diagnosis.beliefs import entropy_bits, make_likelihoods, update
from kb.diagnosis.next_check import gains_bits, next_checks
from kb.library.models import Library, Ride, Skill


def priors(n: int) -> st.SearchStrategy[np.ndarray]:
    return st.lists(st.floats(0.001, 1), min_size=n, max_size=n).map(lambda values: np.array(values) / sum(values))


@given(prior=priors(6))
def test_gain_is_the_expected_drop_of_entropy(small_library: Library, prior: np.ndarray) -> None:
    likelihoods = make_likelihoods(small_library)
    for gain, id in zip(gains_bits(prior, likelihoods), likelihoods.checks, strict=True):
        table = likelihoods.of(id)
        after = sum((table[o] @ prior) * entropy_bits(update(prior, table[o])) for o in range(len(table)))
        assert gain == pytest.approx(entropy_bits(prior) - after, abs=1e-9)
        assert -1e-12 <= gain <= entropy_bits(prior) + 1e-12


def test_done_checks_and_those_beyond_the_askers_skill_are_not_proposed(answerer: Answerer) -> None:
    prior = np.full(len(answerer.likelihoods.causes) + 1, 1.0)
    prior /= prior.sum()
    first = next_checks(answerer.library, answerer.likelihoods, prior, (), Skill.WORKSHOP, 5)
    again = next_checks(answerer.library, answerer.likelihoods, prior, [first[0].check], Skill.WORKSHOP, 5)
    assert first[0].check not in {step.check for step in again}
    for skill in Skill:
        for step in next_checks(answerer.library, answerer.likelihoods, prior, (), skill, 20):
            assert answerer.library.checks[step.check].skill.rank <= skill.rank


def test_a_dangerous_cause_of_some_weight_is_checked_first(answerer: Answerer) -> None:
    causes = answerer.likelihoods.causes
    prior = np.full(len(causes) + 1, 1e-4)
    prior[causes.index("cassette-worn")], prior[causes.index("chain-worn")] = 0.45, 0.4
    prior[causes.index("handlebar-cracked")] = 0.1
    prior /= prior.sum()
    assert answerer.library.articles["handlebar-cracked"].ride is Ride.DO_NOT_RIDE
    step = next_checks(answerer.library, answerer.likelihoods, prior, (), Skill.WORKSHOP, 1)[0]
    assert step.rules_out == "handlebar-cracked"
    assert answerer.library.articles["handlebar-cracked"].shows(step.check) is not None


def test_outcomes_of_a_step_are_a_distribution_and_say_what_they_would_mean(answerer: Answerer) -> None:
    prior = answerer.ranker.rank(answerer.analyser.analyse("chain jumps under load")).probabilities
    for step in next_checks(answerer.library, answerer.likelihoods, prior, (), Skill.HOME, 3):
        assert sum(meaning.p_outcome for meaning in step.outcomes) == pytest.approx(1)
        assert all(meaning.leading for meaning in step.outcomes)
