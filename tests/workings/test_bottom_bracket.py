import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.workings import run_working
from kb.workings.bottom_bracket import SHELLS, spacers_mm


@pytest.mark.parametrize(("shell", "spacers", "rings"), [(73, 2.5, 1), (68, 7.5, 3)])
def test_a_mountain_crank_takes_the_rings_of_the_trade(shell: float, spacers: float, rings: int) -> None:
    # 97.5 mm spindle, flanges of 11 mm: one ring at 73, two plus one at 68 (common practice)
    result = run_working("shell-spacers", {"spindle_length": "97.5", "shell_width": f"{shell}", "cup_flange": "11"})
    assert result.value("spacers") == pytest.approx(spacers)
    assert result.value("rings") == rings


@given(st.floats(85, 150), st.floats(66, 100), st.floats(0, 15))
def test_stack_adds_up_to_the_spindle(spindle: float, shell: float, flange: float) -> None:
    assert shell + 2 * flange + spacers_mm(spindle, shell, flange) == pytest.approx(spindle)


def test_a_spindle_too_short_is_said_to_be() -> None:
    result = run_working("shell-spacers", {"spindle_length": "90", "shell_width": "73", "cup_flange": "11"})
    assert result.value("spacers") == pytest.approx(-5)
    assert "too short" in result.explanation
    assert result.warnings


def test_bearing_in_its_shell_grips_as_recomputed() -> None:
    # 42 mm bearing, outside 0/-11 um (ISO 492), in a 41.96 bore: 29 to 40 um
    for outside, grip in (("42.000", 0.040), ("41.989", 0.029)):
        result = run_working("press-fit", {"bore": "41.960 ± 0.001", "cup": f"{outside} ± 0.001"})
        assert result.value("interference") == pytest.approx(grip, abs=1e-9)
        assert result.value("loose_probability") < 0.01


@pytest.mark.parametrize(
    ("bore", "cup", "word"),
    [("46.02", "46.0", "does not grip"), ("46", "46.005", "creaking"), ("46", "46.2", "Too tight")],
)
def test_grip_is_put_into_words(bore: str, cup: str, word: str) -> None:
    assert word in run_working("press-fit", {"bore": bore, "cup": cup}).explanation


def test_equal_sizes_are_loose_or_tight_with_even_odds() -> None:
    assert run_working("press-fit", {"bore": "46", "cup": "46"}).value("loose_probability") == pytest.approx(50)


@pytest.mark.parametrize(
    ("shell", "spindle", "fits"),
    [("italian", "30 mm", "yes with"), ("bsa", "24", "yes with"), ("english", "square taper", "yes with"), ("t47", "30", "yes with"),
     ("bb30", "30", "yes"), ("pf30", "24 mm", "yes with"), ("bb86", "24", "yes"), ("bb86", "30", "no"), ("bb92", "29", "no"),
     ("french", "30", "no"), ("mid", "22", "yes"), ("spanish", "30", "no"), ("one-piece", "one-piece", "yes"), ("bsa", "one-piece", "no")],
)  # fmt: skip
def test_which_spindle_goes_into_which_shell(shell: str, spindle: str, fits: str) -> None:
    # trade sizes, from memory; 30 mm in a 41 mm bore: bearing 6806 is 30 x 42 x 7 (ISO 15)
    assert run_working("crank-fit", {"shell": shell, "spindle": spindle}).value("fits") == fits


def test_the_thirty_millimetre_spindle_in_an_italian_shell_is_held_against_its_length() -> None:
    short = {"shell": "italian", "spindle": "30 mm", "spindle_length": "86.5", "shell_width": "70"}
    assert run_working("crank-fit", short).value("fits") == "no"
    enough = run_working("crank-fit", {**short, "spindle_length": "92.5"})
    assert enough.value("fits") == "yes with"
    assert enough.value("spacers") == pytest.approx(0.5)
    assert "both sides right-hand" in enough.explanation


def test_a_width_no_shell_of_that_kind_has_is_warned_of() -> None:
    assert run_working("crank-fit", {"shell": "italian", "spindle": "24", "shell_width": "68"}).warnings


def test_cores_of_the_threads_follow_from_the_standard_form() -> None:
    # D1 = d - 1.082532 P: BSA 34.80 x 24 TPI 33.65, Italian 36 x 24 TPI 34.854, T47 x 1 45.917, French 35 x 1 33.917
    for name, outside, pitch in (
        ("bsa", 34.798, 25.4 / 24),
        ("italian", 36, 25.4 / 24),
        ("t47", 47, 1),
        ("french", 35, 1),
    ):
        assert SHELLS[name].bore_mm == pytest.approx(outside - 1.082532 * pitch, abs=0.01)
