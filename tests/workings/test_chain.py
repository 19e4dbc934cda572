import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.workings import run_working
from kb.workings.chain import elongation, life_left


@pytest.mark.parametrize(
    ("length_mm", "links", "percent"),
    [(255.27, 20, 0.5), (255.91, 20, 0.75), (256.54, 20, 1.0), (306.32, 24, 0.5), (307.09, 24, 0.75), (307.85, 24, 1.0),
     (127.64, 10, 0.5), (127.95, 10, 0.75), (128.27, 10, 1.0), (254.0, 20, 0.0), (306.0, 24, 0.394)],
)  # fmt: skip
def test_elongation_agrees_with_the_table_of_lengths(length_mm: float, links: int, percent: float) -> None:
    # lengths at 0.5, 0.75 and 1 %, recomputed from w = L / (n p) - 1 with p = 12.7 (ISO 9633), printed to 0.01 mm
    assert elongation(length_mm, links) == pytest.approx(percent, abs=0.005 / (links * 12.7) * 100 + 0.0005)


@given(st.floats(200, 400), st.floats(0.01, 5), st.integers(16, 30))
def test_a_longer_chain_is_a_more_worn_one(length_mm: float, more_mm: float, links: int) -> None:
    assert elongation(length_mm + more_mm, links) > elongation(length_mm, links)
    assert elongation(length_mm, links + 1) < elongation(length_mm, links)


def test_reading_near_a_limit_is_called_so() -> None:
    # 255.20 mm, u 0.05, limit 0.5 %: w 0.472 %, u 0.0197 %; 0.461 to 0.539 is undecided (ISO 14253-1 with k 2)
    near = run_working("chain-elongation", {"length": "255.20 ± 0.05 mm", "links": "20"})
    assert near.results[0].uncertainty == pytest.approx(0.0197, abs=0.0001)
    assert any("0.5 % limit" in text for text in near.warnings)
    clear = run_working("chain-elongation", {"length": "255.00 ± 0.05 mm", "links": "20"})
    assert clear.warnings == ()


def test_a_chain_shorter_than_new_is_called_a_miscount() -> None:
    assert "count the links again" in run_working("chain-elongation", {"length": "292", "links": "24"}).warnings[0]


@given(st.floats(100, 10000), st.floats(0.1, 0.49), st.floats(0.5, 1.0))
def test_life_runs_out_exactly_at_the_limit(km: float, worn: float, limit: float) -> None:
    left = life_left(km, worn, limit)
    assert worn * (km + left) / km == pytest.approx(limit)


@pytest.mark.parametrize(
    ("width", "speeds", "fits"), [(6.6, 9, "yes"), (5.5, 11, "yes"), (7.2, 10, "no"), (5.5, 9, "measure this")]
)
def test_chain_width_is_held_against_the_number_of_sprockets(width: float, speeds: int, fits: str) -> None:
    # widths over the pins: 9 speeds 6.5-6.7, 10 5.8-6.1, 11 5.4-5.6 (trade, from memory)
    assert run_working("chain-fit", {"width": f"{width}", "speeds": f"{speeds}"}).value("fits") == fits


@pytest.mark.parametrize(("joint", "fits"), [("5.6", "yes"), ("6.1", "no")])
def test_a_pin_that_stands_proud_is_not_home(joint: str, fits: str) -> None:
    assert run_working("chain-joint", {"joint_width": joint, "link_width": "5.55"}).value("fits") == fits
