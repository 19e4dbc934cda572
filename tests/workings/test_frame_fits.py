import pytest

from kb.errors import BadInput
from kb.workings import run_working


@pytest.mark.parametrize(
    ("bore", "post", "fits"),
    [("27.2", "27.2", "yes"), ("31.6", "27.2", "yes with"), ("34.9", "30.9", "yes with"), ("27.2", "31.6", "no"), ("27.4", "27.2", "measure this"),
     ("28.0", "27.2", "no"), ("31.6", "30.9", "yes with"), ("30.0", "30.9", "no")],
)  # fmt: skip
def test_a_post_fits_its_own_size_or_a_made_shim(bore: str, post: str, fits: str) -> None:
    # posts in steps of 0.2 mm; usual shims 27.2 to 28.6, 30.0, 30.9, 31.6, 30.9 to 31.6 and 34.9 (trade, from memory)
    assert run_working("seatpost-fit", {"bore": bore, "post": post}).value("fits") == fits


def test_insertion_is_length_less_what_shows() -> None:
    # 16 CFR 1512.15: mark at two diameters from the bottom, 27.2 -> 54.4 and 31.6 -> 63.2
    for minimum, enough in (("54.4", "yes"), ("60", "yes"), ("63.2", "no")):
        result = run_working("post-insertion", {"post_length": "350", "exposed": "290", "minimum": minimum})
        assert result.value("insertion") == 60
        assert result.value("enough") == enough


def test_insertion_near_the_least_is_warned_of() -> None:
    assert run_working("post-insertion", {"post_length": "350 ± 1", "exposed": "290 ± 1", "minimum": "59"}).warnings


def test_a_post_cannot_show_more_than_it_is_long() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("post-insertion", {"post_length": "350", "exposed": "360", "minimum": "60"})
    assert refusal.value.field == "exposed"


@pytest.mark.parametrize(
    ("steerer", "bore", "kind", "fits"),
    [("1-1/8 in", "28.6", "clamp", "yes"), ("25.4", "28.6", "clamp", "yes with"), ("28.6", "1-1/4 in", "clamp", "yes with"),
     ("28.6", "25.4", "clamp", "no"), ("28.6", "35", "clamp", "no"), ("22.2", "22.2", "quill", "yes"), ("22.0", "22.2", "quill", "no"),
     ("22.2", "22.0", "quill", "no")],
)  # fmt: skip
def test_a_stem_fits_its_steerer_or_a_made_shim(steerer: str, bore: str, kind: str, fits: str) -> None:
    # steerers 25.4, 28.575, 31.75 (encyclopaedia); quills 22.2, French 22.0 (trade, from memory)
    assert run_working("steerer-fit", {"steerer": steerer, "bore": bore, "kind": kind}).value("fits") == fits


@pytest.mark.parametrize(
    ("code", "steerer", "race", "fits"),
    [("EC34", "28.6", "30.0", "yes"), ("EC34", "38.1", "39.8", "no"), ("ec44", "38.1", "39.8", "yes"), ("EC44", "28.6", "30", "yes with"),
     ("ZS44", "28.6", "26.4", "no"), ("IS42", "28.6", "30", "measure this"), ("ZS56", "38.1", "39.8", "yes")],
)  # fmt: skip
def test_a_headset_half_takes_the_steerers_of_its_code(code: str, steerer: str, race: str, fits: str) -> None:
    # trade code, number = nominal bore; crown seats 30.0 (1-1/8) and 39.8 (1-1/2), from memory
    assert run_working("headset-fit", {"code": code, "steerer": steerer, "race": race}).value("fits") == fits


def test_a_stem_with_a_fifth_of_a_millimetre_to_spare_is_measured_again() -> None:
    assert run_working("steerer-fit", {"steerer": "28.6", "bore": "28.8"}).value("fits") == "measure this"
