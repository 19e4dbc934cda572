import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.workings import run_working
from kb.workings.indexing import barrel_turns, move_per_click

_BIKE = {"sprocket_pitch": "3.95", "actuation": "1.7"}


@pytest.mark.parametrize(
    ("pull", "ratio", "move"),
    [(2.8, 1.7, 4.76), (2.5, 1.7, 4.25), (2.3, 1.7, 3.91), (2.7, 1.4, 3.78), (3.6, 1.1, 3.96)],
)
def test_a_click_moves_pull_times_ratio(pull: float, ratio: float, move: float) -> None:
    # products of five cable families, recomputed
    assert move_per_click(pull, ratio) == pytest.approx(move)


@pytest.mark.parametrize(
    ("pull", "ratio", "pitch", "sprockets", "indexes"),
    [(2.8, 1.7, 4.8, 8, "yes"), (2.5, 1.7, 4.34, 9, "yes"), (2.3, 1.7, 3.95, 10, "yes"), (2.7, 1.4, 3.75, 11, "yes"),
     (2.8, 1.7, 3.95, 10, "no"), (2.5, 1.7, 4.8, 8, "no")],
)  # fmt: skip
def test_a_family_indexes_its_own_cassette_and_not_another(
    pull: float, ratio: float, pitch: float, sprockets: int, indexes: str
) -> None:
    # sprocket pitches 8: 4.8, 9: 4.34, 10: 3.95, 11: 3.70-3.75 (trade, from memory)
    given_inputs = {
        "pull": f"{pull}",
        "actuation": f"{ratio}",
        "sprocket_pitch": f"{pitch}",
        "sprockets": f"{sprockets}",
    }
    result = run_working("cable-index", given_inputs)
    assert result.value("indexes") == indexes
    assert result.table is not None
    assert len(result.table.rows) == sprockets
    assert float(result.table.rows[-1][1]) == pytest.approx((pull * ratio - pitch) * (sprockets - 1), abs=0.006)


def test_a_quarter_turn_of_the_barrel_moves_a_third_of_a_millimetre() -> None:
    # M5 x 0.8, ratio 1.7: 1.36 mm a turn at the cage, 0.34 a quarter
    assert barrel_turns(1.36, 1.7, 0.8) == pytest.approx(1.0)
    assert barrel_turns(0.34, 1.7, 0.8) == pytest.approx(0.25)


@given(st.floats(-3, 3))
def test_the_other_side_needs_the_same_turns_the_other_way(offset: float) -> None:
    assert barrel_turns(-offset, 1.7, 0.8) == pytest.approx(-barrel_turns(offset, 1.7, 0.8))


def test_no_offset_needs_no_turns() -> None:
    assert run_working("sprocket-offset", {"offset": "0", **_BIKE}).value("barrel_turns") == 0


@pytest.mark.parametrize(
    ("first", "second", "helps", "shim"),
    [
        ("4.5", "4.52", "not needed", None),
        ("4.5", "5.0", "yes", 0.5),
        ("5.0", "4.5", "yes", 0.5),
        ("4.5", "6.5", "no", None),
    ],
)
def test_a_shim_helps_between_a_tenth_and_a_millimetre(first: str, second: str, helps: str, shim: float | None) -> None:
    result = run_working("wheel-swap", {"first": first, "second": second, **_BIKE})
    assert result.value("shim_helps") == helps
    found = {figure.name: figure.value for figure in result.results}.get("shim")
    assert found == (pytest.approx(shim) if shim is not None else None)


def test_the_shim_goes_on_the_wheel_whose_sprockets_sit_further_in() -> None:
    assert "second wheel brings" in run_working("wheel-swap", {"first": "4.5", "second": "5.0", **_BIKE}).explanation
    assert "first wheel brings" in run_working("wheel-swap", {"first": "5.0", "second": "4.5", **_BIKE}).explanation
