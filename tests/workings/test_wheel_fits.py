import pytest

from kb.workings import run_working


@pytest.mark.parametrize(
    ("hub", "hub_axle", "frame", "frame_axle", "steel", "fits"),
    [(135, 10, 135, 10, "no", "yes"), (130, 10, 135, 10, "no", "yes with"), (135, 10, 130, 10, "yes", "yes with"), (135, 10, 130, 10, "no", "no"),
     (135, 10, 142, 12, "no", "yes with"), (148, 12, 142, 12, "no", "no"), (142, 12, 148, 12, "yes", "no"), (100, 15, 100, 12, "no", "yes with"),
     (148, 12, 148, 12, "no", "yes"), (110, 15, 100, 15, "no", "no")],
)  # fmt: skip
def test_a_hub_needs_width_and_axle(
    hub: int, hub_axle: int, frame: int, frame_axle: int, steel: str, fits: str
) -> None:
    # trade widths, from memory; 142 = 135 + 2 x 3.5
    inputs = {
        "hub": f"{hub}",
        "hub_axle": f"{hub_axle}",
        "frame": f"{frame}",
        "frame_axle": f"{frame_axle}",
        "steel": steel,
    }
    assert run_working("axle-fit", inputs).value("fits") == fits


@pytest.mark.parametrize(
    ("body", "speeds", "smallest", "fits", "needs"),
    [("8-10", 8, 11, "yes", "nothing"), ("8-10", 9, 11, "yes", "nothing"), ("11", 10, 11, "yes with", "1.85 mm"), ("8-10", 7, 13, "yes with", "4.5 mm"),
     ("11", 11, 11, "yes", "nothing"), ("8-10", 11, 11, "measure this", "marked"), ("8-10", 12, 10, "no", "nothing"), ("step-down", 12, 10, "yes with", "this very body"),
     ("freewheel", 8, 11, "no", "freewheel"), ("fine-spline", 9, 11, "measure this", "listed")],
)  # fmt: skip
def test_a_cassette_needs_splines_and_length(body: str, speeds: int, smallest: int, fits: str, needs: str) -> None:
    # 1.85 mm between short and long body, 4.5 mm for 7 speeds (trade, from memory)
    result = run_working("freehub-fit", {"body": body, "speeds": f"{speeds}", "smallest": f"{smallest}"})
    assert result.value("fits") == fits
    assert needs in str(result.value("with"))


@pytest.mark.parametrize(
    ("hole", "valve", "fits"),
    [
        ("6.5", "presta", "yes"),
        ("8.5", "presta", "yes with"),
        ("6.5", "schrader", "no"),
        ("8.4", "dunlop", "yes"),
        ("6.5", "thin", "yes"),
    ],
)
def test_a_valve_needs_its_hole(hole: str, valve: str, fits: str) -> None:
    # ISO 4570: bodies 6.0 and 8 mm; holes 6.2-6.5 and 8.3-8.5 (from memory)
    assert run_working("valve-fit", {"hole": hole, "valve": valve}).value("fits") == fits


def test_a_deep_rim_needs_a_longer_valve_or_an_extender() -> None:
    result = run_working("valve-fit", {"hole": "6.5", "valve": "presta", "rim_depth": "50", "valve_length": "48"})
    assert result.value("least_length") == 65
    assert "17 mm" in str(result.value("with"))
    wide = run_working("valve-fit", {"hole": "8.5", "valve": "presta", "rim_depth": "50", "valve_length": "48"})
    assert "bush" in str(wide.value("with"))
    assert "extender" in str(wide.value("with"))


@pytest.mark.parametrize(
    ("gap", "least", "fits"), [("50", "6", "yes"), ("47", "4", "measure this"), ("41", "4", "no"), ("46", "4", "yes")]
)
def test_a_tyre_needs_room_on_both_sides(gap: str, least: str, fits: str) -> None:
    # 16 CFR 1512.11: 1.6 mm at least; EN/ISO 6 mm, 4 racing (from memory)
    width = "41" if gap == "47" else "38"
    result = run_working("tyre-frame", {"tyre_width": width, "gap": gap, "least": least})
    assert result.value("fits") == fits
    assert result.value("widest") == pytest.approx(float(gap) - 2 * float(least))
