import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from kb.workings import number
from kb.workings.number import nominal, normal_share, u_of, uncertain


def test_a_number_without_uncertainty_stays_a_plain_float() -> None:
    assert type(uncertain(31.8, 0.0)) is float
    assert u_of(31.8) == 0.0
    assert nominal(uncertain(31.8, 0.05)) == 31.8


def test_a_quantity_that_occurs_twice_is_not_taken_for_two() -> None:
    wall = uncertain(2.0, 0.1)
    assert u_of(wall - wall) == 0.0
    assert u_of(wall + wall) == pytest.approx(0.2)


@given(st.floats(-5, 5), st.floats(0.01, 10))
def test_normal_share_agrees_with_scipy(value: float, u: float) -> None:
    assert normal_share(value, u) == pytest.approx(norm.cdf(value / u), abs=1e-12)


def test_normal_share_without_uncertainty_is_a_plain_decision() -> None:
    assert [normal_share(value, 0.0) for value in (-1.0, 0.0, 1.0)] == [0.0, 0.5, 1.0]


@pytest.mark.parametrize("name", ["sqrt", "sin", "cos", "tan", "asin", "acos", "atan"])
def test_functions_carry_uncertainty_by_their_slope(name: str) -> None:
    at, u, step = 0.4, 0.01, 1e-6
    function, plain = getattr(number, name), getattr(math, name)
    slope = (plain(at + step) - plain(at - step)) / (2 * step)
    assert function(at) == plain(at)
    assert u_of(function(uncertain(at, u))) == pytest.approx(abs(slope) * u, rel=1e-6)
