import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.gauges import decide, probability_conform, resolution_u


@pytest.mark.parametrize(
    ("value", "decision"),
    [(0.472, "undecided"), (0.394, "conform"), (0.551, "not conform"), (0.460, "conform"), (0.540, "not conform")],
)
def test_chain_readings_are_decided_as_worked_out(value: float, decision: str) -> None:
    # limit 0.5 %, u 0.0197 %, U (k 2) 0.0394 %: undecided from 0.461 to 0.539 (ISO 14253-1)
    assert decide(value, 0.0197, 0.5, "below") == decision


def test_a_micrometer_within_its_error_limit_conforms() -> None:
    # error 0.0017 + U 0.0010 = 0.0027 <= 0.0030, uncertainty guide, micrometer at 21.5 mm
    assert decide(0.0017, 0.00051, 0.0030, "below") == "conform"


@given(st.floats(-10, 10), st.floats(0.01, 2), st.floats(-10, 10))
def test_above_is_the_mirror_of_below(value: float, u: float, limit: float) -> None:
    assert decide(value, u, limit, "above") == decide(-value, u, -limit, "below")
    assert probability_conform(value, u, limit, "above") == pytest.approx(
        1 - probability_conform(value, u, limit, "below")
    )


@pytest.mark.parametrize(("z", "share"), [(0.84, 0.80), (1.28, 0.90), (1.645, 0.95), (2.33, 0.99), (3.09, 0.999)])
def test_probabilities_agree_with_the_table(z: float, share: float) -> None:
    # JCGM 106 table 1
    assert probability_conform(0.0, 1.0, z, "below") == pytest.approx(share, abs=0.001)


def test_zener_limit_agrees_with_the_worked_example() -> None:
    # JCGM 106: limit -5.40 V, y -5.47, u 0.05 -> 0.92
    assert probability_conform(-5.47, 0.05, -5.40, "below") == pytest.approx(0.92, abs=0.002)


@given(st.floats(-3, 3), st.floats(0.05, 2))
def test_probability_agrees_with_scipy(value: float, u: float) -> None:
    assert probability_conform(value, u, 0.5, "below") == pytest.approx(norm.cdf((0.5 - value) / u), abs=1e-12)


def test_a_wider_guard_decides_less() -> None:
    plain = {"value": "0.465", "uncertainty": "0.0197", "limit": "0.5"}
    assert run_working("gauge-decision", plain).value("decision") == "undecided"
    assert run_working("gauge-decision", {**plain, "guard": "1.65"}).value("decision") == "conform"


@pytest.mark.parametrize(("step", "u"), [(0.01, 0.00289), (0.05, 0.01443), (0.001, 0.00029)])
def test_resolution_agrees_with_the_guide(step: float, u: float) -> None:
    # GUM 4.3.7: d / sqrt 12
    assert resolution_u(step) == pytest.approx(u, abs=0.000005)


def test_resolution_is_the_deviation_of_an_even_spread() -> None:
    even = np.linspace(-0.5, 0.5, 100_001)
    assert resolution_u(1.0) == pytest.approx(even.std(), rel=1e-4)


def test_scatter_and_step_add_as_squares() -> None:
    # u_rep 0.00033 and u_res 0.00029 (uncertainty guide)
    result = run_working("gauge-uncertainty", {"step": "0.001", "spread": "0.00033"})
    assert result.value("uncertainty") == pytest.approx(math.hypot(0.00033, 0.001 / math.sqrt(12)))


def test_an_uncertainty_written_into_the_value_is_sent_to_its_own_input() -> None:
    with pytest.raises(BadInput, match="uncertainty="):
        run_working("gauge-decision", {"value": "0.47 ± 0.02", "uncertainty": "0.02", "limit": "0.5"})
