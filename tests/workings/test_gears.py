import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.gears import capacity, development_m, gear_inches, speed_kmh

_RINGS, _COGS = st.integers(20, 60), st.integers(10, 52)


@pytest.mark.parametrize(
    ("ring", "cog", "wheel_in", "inches"), [(46, 16, 27, 77.6), (48, 16, 26, 78.0), (24, 30, 26, 20.8)]
)
def test_gear_inches_are_wheel_times_ratio(ring: int, cog: int, wheel_in: float, inches: float) -> None:
    # encyclopaedia article on gear inches: D x F/R
    assert gear_inches(development_m(ring, cog, math.pi * wheel_in * 25.4)) == pytest.approx(inches, abs=0.05)


def test_development_speed_and_inches_agree_with_the_figures_read() -> None:
    # 50/16 x 2.105 m = 6.578 m; 90 x 6.578 x 0.06 = 35.52 km/h; 6.67 m of 16 CFR 1512.5 = 83.6 in
    assert development_m(50, 16, 2105.0) == pytest.approx(6.578, abs=0.0005)
    assert speed_kmh(6.578, 90) == pytest.approx(35.52, abs=0.005)
    assert gear_inches(6.67) == pytest.approx(83.6, abs=0.05)


@given(_RINGS, _COGS, st.floats(1300, 2300), st.floats(40, 120))
def test_speed_is_distance_over_time(ring: int, cog: int, round_mm: float, cadence: float) -> None:
    turns_of_wheel_an_hour = cadence * 60 * ring / cog
    assert speed_kmh(development_m(ring, cog, round_mm), cadence) == pytest.approx(
        turns_of_wheel_an_hour * round_mm / 1e6
    )


@given(_RINGS, _COGS)
def test_a_larger_ring_or_a_smaller_sprocket_is_a_higher_gear(ring: int, cog: int) -> None:
    assert (
        development_m(ring + 1, cog, 2105.0) > development_m(ring, cog, 2105.0) > development_m(ring, cog + 1, 2105.0)
    )


@given(st.integers(20, 50), st.integers(0, 20), st.integers(10, 20), st.integers(0, 30))
def test_capacity_is_the_sum_of_both_spans(ring: int, ring_span: int, cog: int, cog_span: int) -> None:
    assert capacity(ring + ring_span, ring, cog + cog_span, cog) == ring_span + cog_span


def test_smallest_larger_than_largest_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working(
            "derailleur-capacity",
            {"largest_ring": "34", "smallest_ring": "50", "largest_sprocket": "34", "smallest_sprocket": "11"},
        )
    assert refusal.value.field == "smallest_ring"


@pytest.mark.parametrize(
    ("rated_capacity", "rated_sprocket", "fits"),
    [(39, 34, "yes"), (38, 34, "no"), (41, 32, "measure this"), (41, 28, "no")],
)
def test_a_derailleur_needs_capacity_and_reach(rated_capacity: int, rated_sprocket: int, fits: str) -> None:
    bike = {"largest_ring": "50", "smallest_ring": "34", "largest_sprocket": "34", "smallest_sprocket": "11"}
    rated = {"rated_capacity": str(rated_capacity), "rated_sprocket": str(rated_sprocket)}
    assert run_working("derailleur-fit", bike | rated).value("fits") == fits


def test_every_gear_of_a_bike_is_in_the_table_in_order() -> None:
    result = run_working("gear-table", {"rings": "50/34", "sprockets": "11-12-13-14-15-17-19-21-23-25-28"})
    assert result.table is not None
    metres = [float(row[2]) for row in result.table.rows]
    assert len(metres) == 22
    assert metres == sorted(metres)
    # range of the two ends: (50/11) / (34/28)
    assert result.value("range") == pytest.approx(50 / 11 / (34 / 28) * 100)
    assert result.value("largest_step") == pytest.approx((17 / 15 - 1) * 100)
    assert result.drawing is not None


def test_a_single_gear_has_no_steps() -> None:
    result = run_working("gear-table", {"rings": "42", "sprockets": "16"})
    assert result.value("largest_step") == 0
    assert result.value("alike") == 0
