import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.chain_length import inch_rule, joinable, open_length, pitch_diameter, wrap_angle

_STAYS, _TEETH = st.floats(380, 560), st.integers(11, 60)


def _handbook_length(chainstay_mm: float, one: int, other: int) -> float:
    """Shigley's equation for L/p: 2 C + (N + n)/2 + (N - n)^2 / (4 pi^2 C), C in pitches."""
    pitches = chainstay_mm / 12.7
    return 2 * pitches + (one + other) / 2 + (one - other) ** 2 / (4 * math.pi**2 * pitches)


@pytest.mark.parametrize(
    ("teeth", "pitches"),
    [
        (9, 2.9238),
        (10, 3.2361),
        (11, 3.5495),
        (15, 4.8097),
        (17, 5.4422),
        (20, 6.3925),
        (25, 7.9787),
        (40, 12.7455),
        (50, 15.9260),
    ],
)
def test_pitch_diameters_agree_with_the_standard(teeth: int, pitches: float) -> None:
    # ISO 606 annex A, for a pitch of 1
    assert pitch_diameter(teeth) / 12.7 == pytest.approx(pitches, abs=0.0001)


@given(st.integers(9, 130))
def test_neighbouring_pins_on_the_pitch_circle_are_one_pitch_apart(teeth: int) -> None:
    radius, step = pitch_diameter(teeth) / 2, 2 * math.pi / teeth
    assert math.dist((radius, 0), (radius * math.cos(step), radius * math.sin(step))) == pytest.approx(12.7)


@pytest.mark.parametrize(
    ("chainstay_mm", "ring", "cog", "handbook"),
    [(508, 65, 17, 122.46), (405, 50, 34, 105.983), (435, 32, 50, 109.744), (420, 42, 16, 95.660)],
)
def test_open_length_is_near_the_handbook_equation(chainstay_mm: float, ring: int, cog: int, handbook: float) -> None:
    # first line: Mott, Machine Elements, C = 40 pitches; the rest recomputed from the same equation
    assert _handbook_length(chainstay_mm, ring, cog) == pytest.approx(handbook, abs=0.006)
    assert open_length(chainstay_mm, ring, cog) == pytest.approx(handbook, abs=0.12)


@given(_STAYS, _TEETH, _TEETH)
def test_open_length_is_the_hull_of_the_two_pitch_circles(chainstay_mm: float, ring: int, cog: int) -> None:
    turn = np.linspace(0, 2 * np.pi, 4001)
    circle = np.column_stack([np.cos(turn), np.sin(turn)])
    points = np.vstack([circle * pitch_diameter(ring) / 2, circle * pitch_diameter(cog) / 2 + [chainstay_mm, 0]])
    assert open_length(chainstay_mm, ring, cog) == pytest.approx(ConvexHull(points).area / 12.7, rel=1e-5)


@given(_STAYS, _TEETH, _TEETH)
def test_ring_and_sprocket_may_change_places(chainstay_mm: float, ring: int, cog: int) -> None:
    assert open_length(chainstay_mm, ring, cog) == pytest.approx(open_length(chainstay_mm, cog, ring))


@given(_STAYS, _TEETH, _TEETH)
def test_a_longer_stay_and_more_teeth_need_a_longer_chain(chainstay_mm: float, ring: int, cog: int) -> None:
    assert open_length(chainstay_mm + 1, ring, cog) > open_length(chainstay_mm, ring, cog)
    assert open_length(chainstay_mm, ring + 1, cog) > open_length(chainstay_mm, ring, cog)


def test_the_inch_rule_agrees_with_the_worked_example() -> None:
    # L = 2 C + F/4 + R/4 + 1: 405 mm, 50/34 gives 53.89 in -> 54 in = 108 pitches (common practice, from memory)
    assert inch_rule(405.0, 50, 34) / 2 == pytest.approx(53.89, abs=0.005)
    assert joinable(inch_rule(405.0, 50, 34), open_length(405.0, 50, 34)) == 108


@given(_STAYS, _TEETH, _TEETH)
def test_links_to_cut_are_even_and_leave_one_to_four_in_reserve(chainstay_mm: float, ring: int, cog: int) -> None:
    result = run_working(
        "chain-length", {"chainstay": repr(chainstay_mm), "chainring": str(max(ring, 16)), "sprocket": str(cog)}
    )
    links, exact = result.value("links"), result.value("exact")
    assert isinstance(links, int)
    assert links % 2 == 0
    assert 1 <= links - float(exact) <= 4.001


@given(_STAYS, _TEETH, _TEETH)
def test_wraps_on_both_wheels_make_a_full_turn(chainstay_mm: float, ring: int, cog: int) -> None:
    assert wrap_angle(chainstay_mm, ring, cog) + wrap_angle(chainstay_mm, cog, ring) == pytest.approx(2 * math.pi)


def test_equal_wheels_carry_on_half_their_teeth() -> None:
    result = run_working("chain-wrap", {"chainstay": "420", "chainring": "20", "sprocket": "20"})
    assert result.value("teeth_engaged") == pytest.approx(10)


def test_a_smaller_sprocket_carries_on_fewer_teeth_than_half() -> None:
    result = run_working("chain-wrap", {"chainstay": "405", "chainring": "50", "sprocket": "11"})
    assert 4 < float(result.value("teeth_engaged")) < 5.5


def test_slack_on_every_pair_spans_the_capacity_of_the_trade_rule() -> None:
    # trade rule: (50 - 34) + (34 - 11) = 39 teeth; a tooth of difference on both wheels is half a link of chain
    result = run_working(
        "chain-slack", {"chainstay": "405", "rings": "50/34", "sprockets": "11-13-15-34", "links": "108"}
    )
    span = float(result.value("most")) - float(result.value("least"))
    assert 2 * span == pytest.approx(39, abs=0.8)
    assert result.table is not None
    assert len(result.table.rows) == 8


def test_a_chain_too_short_for_the_largest_pair_is_warned_of() -> None:
    result = run_working("chain-slack", {"chainstay": "405", "rings": "50/34", "sprockets": "11-34", "links": "104"})
    assert "50 x 34" in result.warnings[0]


def test_wheels_that_would_overlap_are_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("chain-length", {"chainstay": "200", "chainring": "80", "sprocket": "60"})
    assert refusal.value.field == "chainstay"
