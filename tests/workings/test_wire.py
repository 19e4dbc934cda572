import json

from kb.workings import all_workings, run_working
from kb.workings.wire import result_to_wire, working_to_wire


def test_a_result_is_plain_values_with_a_unit_beside_each() -> None:
    wire = result_to_wire(run_working("tyre-rim", {"tyre_width": "28 ± 0.5", "rim_width": "17"}))
    assert json.loads(json.dumps(wire)) == wire
    assert wire["results"]["fits"] == {"value": "yes", "unit": "text"}
    assert wire["inputs"]["tyre_width"] == {"value": 28.0, "unit": "mm", "uncertainty": 0.5}
    assert set(wire) >= {"name", "inputs", "results", "formula", "source", "cautions", "warnings", "explanation"}


def test_a_table_goes_with_the_result_that_has_one() -> None:
    wire = result_to_wire(
        run_working("cable-index", {"pull": "2.8", "actuation": "1.7", "sprocket_pitch": "4.8", "sprockets": "8"})
    )
    assert len(wire["table"]["rows"]) == 8
    assert "table" not in result_to_wire(run_working("sag", {"travel": "100", "sag": "20"}))


def test_what_a_working_takes_can_be_read_by_a_form() -> None:
    for item in all_workings():
        wire = working_to_wire(item)
        assert set(wire["inputs"]) == {taken.name for taken in item.inputs}
        assert json.loads(json.dumps(wire)) == wire
