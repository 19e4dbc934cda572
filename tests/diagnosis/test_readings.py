import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.diagnosis.readings import make_reading, outcome_shares
from kb.errors import BadInput, ImpossibleReading, UnknownOutcome
from kb.library.models import Library


def test_a_marginal_number_is_shared_between_the_outcomes(small_library: Library) -> None:
    """Normal distribution: value at the limit gives half to each side; 2 u beyond it 0.97725 (from the usual table)."""
    check = small_library.checks["chain-length"]
    assert outcome_shares(check, make_reading(check, 0.5)).tolist() == pytest.approx([0.5, 0.5])
    assert outcome_shares(check, make_reading(check, 0.6)).tolist() == pytest.approx([0.02275, 0.97725], abs=1e-5)


@given(value=st.floats(0, 5))
def test_shares_of_any_plausible_number_sum_to_one(small_library: Library, value: float) -> None:
    check = small_library.checks["chain-length"]
    shares = outcome_shares(check, make_reading(check, value))
    assert (shares >= 0).all()
    assert shares.sum() == pytest.approx(1)


@given(value=st.floats(0, 5))
def test_the_outcome_is_the_band_of_the_number(small_library: Library, value: float) -> None:
    check = small_library.checks["chain-length"]
    assert check.bands is not None
    assert check.bands[make_reading(check, value).outcome].holds(value)


@pytest.mark.parametrize(("value", "error"), [(-1.0, ImpossibleReading), (40.0, ImpossibleReading), (float("nan"), ImpossibleReading), ("longish", UnknownOutcome), (True, BadInput)])
def test_what_no_bike_shows_is_refused_with_what_is_allowed(small_library: Library, value, error) -> None:
    with pytest.raises(error, match="chain-length"):
        make_reading(small_library.checks["chain-length"], value)


def test_a_number_for_a_check_that_is_looked_at_is_refused(small_library: Library) -> None:
    with pytest.raises(BadInput, match="even, hooked"):
        make_reading(small_library.checks["teeth"], 3.0)


def test_a_hedged_reading_leaves_something_for_the_other_outcomes(small_library: Library) -> None:
    from dataclasses import replace

    check = small_library.checks["teeth"]
    reading = make_reading(check, "hooked")
    assert outcome_shares(check, reading).tolist() == [0.0, 1.0]
    assert np.all(outcome_shares(check, replace(reading, hedged=True)) > 0)
