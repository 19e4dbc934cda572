import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.workings import run_working
from kb.workings.part_fits import bolt_circle_mm


@pytest.mark.parametrize(
    ("circle", "bolts", "chord"),
    [(144, 5, 84.64), (135, 5, 79.35), (130, 5, 76.41), (110, 5, 64.66), (94, 5, 55.25), (74, 5, 43.50), (58, 5, 34.09),
     (110, 4, 77.78), (104, 4, 73.54), (96, 4, 67.88), (64, 4, 45.25)],
)  # fmt: skip
def test_bolt_circles_agree_with_the_table_of_chords(circle: float, bolts: int, chord: float) -> None:
    # chord = D sin(pi/n), recomputed to 0.01 mm
    assert bolt_circle_mm(chord, bolts) == pytest.approx(circle, abs=0.02)
    assert run_working("bolt-circle", {"chord": f"{chord}", "bolts": f"{bolts}"}).value("known") == f"{circle}"


@given(st.floats(40, 150), st.sampled_from([3, 4, 5, 6]))
def test_the_circle_goes_through_the_bolts(circle: float, bolts: int) -> None:
    turn = 2 * math.pi / bolts
    chord = math.dist((circle / 2, 0), (circle / 2 * math.cos(turn), circle / 2 * math.sin(turn)))
    assert bolt_circle_mm(chord, bolts) == pytest.approx(circle)


def test_six_holes_of_a_rotor_are_half_the_circle_apart() -> None:
    # 6-bolt rotor: circle 44, adjacent holes 22.0 apart
    assert bolt_circle_mm(22.0, 6) == pytest.approx(44)


@pytest.mark.parametrize(
    ("ring", "holes", "crank", "arms", "teeth", "fits"),
    [(110, 5, 110, 5, 34, "yes"), (104, 4, 110, 4, 34, "no"), (110, 5, 110, 4, 50, "no"), (130, 5, 130, 5, 39, "yes"), (130, 5, 130, 5, 34, "no"),
     (110, 5, 110, 5, 30, "no"), (64, 4, 64, 4, 22, "yes"), (104, 4, 104, 4, 32, "yes"), (144, 5, 144, 5, 41, "yes")],
)  # fmt: skip
def test_a_ring_needs_circle_holes_and_room(
    ring: int, holes: int, crank: int, arms: int, teeth: int, fits: str
) -> None:
    # smallest usual rings: 144 41, 130 38, 110 33-34, 104 30-32, 64 22 (trade, from memory)
    inputs = {"ring_circle": ring, "ring_bolts": holes, "crank_circle": crank, "crank_bolts": arms, "teeth": teeth}
    assert run_working("chainring-fit", {name: str(value) for name, value in inputs.items()}).value("fits") == fits


@pytest.mark.parametrize(
    ("thread", "crank", "pedal_side", "crank_side", "fits"),
    [("9/16 in", "three-piece", "right", "right", "yes"), ("1/2 in", "three-piece", "left", "left", "no"), ("14.3", "one-piece", "r", "r", "no"),
     ("14.3", "three-piece", "left", "right", "no"), ("14.0", "french", "left", "left", "yes"), ("13.3", "three-piece", "r", "r", "measure this")],
)  # fmt: skip
def test_a_pedal_needs_thread_and_hand(thread: str, crank: str, pedal_side: str, crank_side: str, fits: str) -> None:
    # 9/16 x 20 (14.288), 1/2 x 20 (12.7), French 14 x 1.25: ISO 6695 / BSC, from memory
    inputs = {"thread": thread, "crank": crank, "pedal_side": pedal_side, "crank_side": crank_side}
    assert run_working("pedal-fit", inputs).value("fits") == fits


@pytest.mark.parametrize(
    ("hub", "rotor", "diameter", "most", "fits"),
    [("6-bolt", "6-bolt", 160, 180, "yes"), ("6-bolt", "splined", 160, 180, "no"), ("splined", "6-bolt", 160, 180, "yes with"),
     ("splined", "splined", 180, 180, "yes with"), ("splined", "splined", 203, 180, "no"), ("splined", "splined", 140, 180, "no")],
)  # fmt: skip
def test_a_rotor_needs_pattern_size_and_permission(hub: str, rotor: str, diameter: int, most: int, fits: str) -> None:
    assert (
        run_working("rotor-fit", {"hub": hub, "rotor": rotor, "diameter": f"{diameter}", "most": f"{most}"}).value(
            "fits"
        )
        == fits
    )


@pytest.mark.parametrize(
    ("frame", "caliper", "native", "rotor", "fits", "lift"),
    [("post", "post", 160, 160, "yes", 0), ("post", "post", 160, 180, "yes with", 10), ("is", "post", 160, 160, "yes with", 0),
     ("post", "flat", 160, 160, "no", 0), ("flat", "flat", 140, 160, "yes with", 10), ("post", "post", 180, 160, "no", -10), ("post", "is", 160, 160, "no", 0)],
)  # fmt: skip
def test_a_caliper_is_lifted_by_half_the_difference(
    frame: str, caliper: str, native: int, rotor: int, fits: str, lift: float
) -> None:
    # steps of 20 mm in diameter are 10 mm of adapter (trade, from memory)
    result = run_working(
        "brake-mount", {"frame": frame, "caliper": caliper, "native": f"{native}", "rotor": f"{rotor}"}
    )
    assert result.value("fits") == fits
    assert result.value("lift") == pytest.approx(lift)
