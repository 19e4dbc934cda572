"""What holds for every working: limits, units, uncertainty, and a finite answer for any possible input."""

import inspect
import json
import math
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given, reject
from hypothesis import strategies as st

from kb.errors import BadInput
from kb.workings import Input, Working, WorkingResult, all_workings, run_working
from kb.workings.base import USUAL_CAUTION
from kb.workings.running import input_faults
from kb.workings.wire import result_to_wire

_FREE_WORDS = {
    "rings": ("50/34", "40"),
    "sprockets": ("11-13-15-17", "10, 12, 14, 16, 18", "16"),
    "size": ("M5", "M6", "M8x1"),
}
_OTHER_UNIT = {
    "mm": ("in", 25.4), "N": ("kN", 1000), "N*m": ("N*cm", 0.01), "kg": ("g", 0.001), "bar": ("kPa", 0.01), "km/h": ("m/s", 3.6),
    "m": ("cm", 0.01), "day": ("h", 1 / 24), "g": ("kg", 1000), "m/s^2": ("cm/s^2", 0.01), "%": ("1", 100), "km": ("m", 0.001),
}  # fmt: skip
_EACH = pytest.mark.parametrize("working", all_workings(), ids=lambda item: item.name)


def _possible(item: Input) -> st.SearchStrategy[str]:
    if item.unit == "text":
        return st.sampled_from(item.choices or _FREE_WORDS[item.name])
    low, high = item.usual or (item.least, item.most)
    assert item.least is not None
    assert item.most is not None
    low, high = max(low or item.least, item.least), min(high if high is not None else item.most, item.most)
    if item.is_whole:
        return st.integers(math.ceil(low), math.floor(high)).map(str)
    return st.floats(low, high).map(lambda value: f"{value:.8g}")


def _inputs(working: Working) -> st.SearchStrategy[dict[str, str]]:
    needed = {item.name: _possible(item) for item in working.inputs if not item.may_be_left_out}
    spare = {item.name: _possible(item) for item in working.inputs if item.may_be_left_out}
    return st.fixed_dictionaries(needed, optional=spare)


def _run(working: Working, inputs: dict[str, str]) -> WorkingResult:
    """Run, leaving aside inputs that contradict each other."""
    try:
        return run_working(working.name, inputs)
    except BadInput as refusal:
        if refusal.field not in inputs:
            raise
        reject()


@_EACH
def test_its_function_takes_its_inputs_by_name(working: Working) -> None:
    names = [item.name for item in working.inputs]
    assert list(inspect.signature(working.solve).parameters) == names
    if working.drawing is not None:
        assert set(inspect.signature(working.drawing).parameters) <= set(names) or working.name == "gear-table"


@_EACH
def test_it_says_formula_source_and_what_each_figure_is(working: Working) -> None:
    assert working.formula
    assert working.source
    assert working.title[0].isupper()
    assert all(item.what for item in working.inputs)
    assert len({item.name for item in (*working.inputs,)}) == len(working.inputs)


@_EACH
@given(data=st.data())
def test_any_possible_input_gets_a_finite_answer_with_all_its_results(working: Working, data: st.DataObject) -> None:
    result = _run(working, data.draw(_inputs(working)))
    wire = result_to_wire(result)
    json.dumps(wire, allow_nan=False)
    assert {item.name for item in working.results if not item.optional} <= set(wire["results"])
    assert result.explanation.endswith((".", "!"))
    assert result.cautions[-1] == USUAL_CAUTION
    if result.drawing is not None:
        drawn = ElementTree.fromstring(result.drawing)
        assert drawn[0].tag.endswith("title")
        assert "nan" not in result.drawing


@_EACH
@given(data=st.data())
def test_the_unit_a_value_is_written_in_changes_nothing(working: Working, data: st.DataObject) -> None:
    inputs = data.draw(_inputs(working))
    units = {item.name: item.unit for item in working.inputs}
    rewritten = {}
    for name, text in inputs.items():
        if units[name] in _OTHER_UNIT and units[name] != "text":
            other, size = _OTHER_UNIT[units[name]]
            rewritten[name] = f"{float(text) / size!r} {other if other != '1' else ''}"
        else:
            rewritten[name] = text
    rewritten = {name: text if units[name] != "%" else f"{inputs[name]} percent" for name, text in rewritten.items()}
    first, second = _run(working, inputs), _run(working, rewritten)
    for one, other in zip(first.results, second.results, strict=True):
        if isinstance(one.value, str):
            assert one.value == other.value
        else:
            assert other.value == pytest.approx(one.value, rel=1e-6, abs=1e-6)


def _measured(working: Working) -> list[Input]:
    """Return the inputs a tool reads, so that ± makes sense for them."""
    return [item for item in working.inputs if not item.is_whole and item.unit not in ("text", "degC")]


@pytest.mark.parametrize(
    "working",
    [item for item in all_workings() if _measured(item) and not item.name.startswith("gauge-")],
    ids=lambda item: item.name,
)
@given(data=st.data())
def test_the_uncertainty_is_that_of_finite_differences(working: Working, data: st.DataObject) -> None:
    inputs = data.draw(_inputs(working))
    tools = {item.name for item in working.inputs if item.tool_u is not None}
    varied = data.draw(st.sampled_from(_measured(working)))
    assume(varied.name in inputs)
    value = float(inputs[varied.name])
    u = max(abs(value), 0.1) * 1e-5
    assume(
        varied.least is not None and varied.most is not None and varied.least < value - u and value + u < varied.most
    )
    exact = {name: text + (" ± 1e-12" if name in tools else "") for name, text in inputs.items()}
    low, middle, high = (_run(working, {**exact, varied.name: f"{value + side * u!r} ± {u!r}"}) for side in (-1, 0, 1))
    for figure in middle.results:
        if figure.uncertainty is None:
            continue
        below, at, above = (float(result.value(figure.name)) for result in (low, middle, high))
        assume(abs((above - at) - (at - below)) <= 0.01 * abs(above - below) + 1e-9 * abs(at))  # no kink here
        assert figure.uncertainty == pytest.approx(abs(above - below) / 2, rel=2e-2, abs=1e-9 + abs(at) * 1e-9)


@_EACH
def test_out_of_bounds_input_is_refused_and_named(working: Working) -> None:
    for item in working.inputs:
        if item.unit == "text":
            continue
        assert item.least is not None
        assert item.most is not None
        for beyond in (item.least - max(1, abs(item.least) * 0.01), item.most + max(1, abs(item.most) * 0.01)):
            faults = input_faults(working, {item.name: f"{beyond!r}"})
            assert item.name in {fault.field for fault in faults}


@_EACH
def test_nothing_given_names_every_input_that_is_needed(working: Working) -> None:
    missing = [fault.field for fault in input_faults(working, {})]
    assert missing == [item.name for item in working.inputs if not item.may_be_left_out]


def test_what_was_taken_for_granted_is_said() -> None:
    result = run_working("bolt-preload", {"torque": "5", "diameter": "5"})
    assert any(text.startswith("friction taken as 0.2") for text in result.assumptions)
    stated: Any = run_working("bolt-preload", {"torque": "5", "diameter": "5", "friction": "0.2"})
    assert not any(text.startswith("friction") for text in stated.assumptions)


def test_a_typing_slip_in_an_input_gets_a_suggestion() -> None:
    with pytest.raises(BadInput, match="did you mean chainstay"):
        run_working("chain-length", {"chainstya": "405"})


@pytest.mark.parametrize("word", ["yes", "Y", "true", "1"])
def test_yes_may_be_said_in_several_ways(word: str) -> None:
    result = run_working("tyre-rim", {"tyre_width": "30", "rim_width": "23", "hookless": word})
    assert result.value("max_pressure") == 5.0


def test_a_word_without_end_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("bolt-proof-share", {"preload": "5000", "size": "M" * 300, "grade": "8.8"})
    assert refusal.value.field == "size"
