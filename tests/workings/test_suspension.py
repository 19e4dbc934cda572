import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.suspension import coil_rate_n_mm, sag_pressure_bar, sag_share


@pytest.mark.parametrize(
    ("travel", "sag", "kind", "words"),
    [(120, 30, "fork", "about right"), (120, 12, "fork", "less air"), (60, 27, "shock", "more air")],
)
def test_sag_is_judged_by_the_usual_band(travel: int, sag: int, kind: str, words: str) -> None:
    # forks 15 to 30 %, shocks 20 to 35 % (common practice)
    result = run_working("sag", {"travel": f"{travel}", "sag": f"{sag}", "kind": kind})
    assert result.value("share") == pytest.approx(sag / travel * 100)
    assert words in result.explanation


@given(st.floats(50, 200), st.floats(1, 40))
def test_sag_share_is_one_number_in_any_size(travel: float, sag: float) -> None:
    assert sag_share(travel * 2, sag * 2) == pytest.approx(sag_share(travel, sag))


def test_sag_beyond_the_travel_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("sag", {"travel": "100", "sag": "101"})
    assert refusal.value.field == "sag"


@given(st.floats(2, 20), st.floats(12, 40), st.floats(12, 40))
def test_pressure_for_a_sag_and_back_is_the_pressure_before(pressure: float, now: float, wanted: float) -> None:
    there = float(sag_pressure_bar(pressure, now, wanted))
    assert sag_pressure_bar(there, wanted, now) == pytest.approx(pressure)
    assert (there > pressure) == (wanted < now) or wanted == now


def test_spring_carries_the_load_at_the_wanted_sag() -> None:
    result = run_working("spring-rate", {"load": "50", "compression": "15", "leverage": "2.5"})
    force_on_shock = 50 * 9.80665 * 2.5
    assert float(result.value("rate")) * 15 == pytest.approx(force_on_shock)


@given(st.floats(3, 14), st.floats(35, 80), st.floats(4, 12))
def test_coil_rate_agrees_with_the_energy_of_the_twisted_wire(wire: float, diameter: float, coils: float) -> None:
    # Castigliano: deflection of 1 N is the integral of T^2 / (G J) along the wire, T = D/2 (Shigley, helical springs)
    polar = math.pi * wire**4 / 32
    deflection = quad(lambda _: (diameter / 2) ** 2 / (79_300 * polar), 0, math.pi * diameter * coils)[0]
    assert coil_rate_n_mm(wire, diameter, coils) == pytest.approx(1 / deflection, rel=1e-6)


def test_a_coil_narrower_than_its_wire_allows_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("coil-rate", {"wire": "10", "mean_diameter": "15", "coils": "6"})
    assert refusal.value.field == "mean_diameter"
