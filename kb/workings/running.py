"""Runs a working on texts: reads and judges every input, calculates, gathers what has to be said with the figure."""

from collections.abc import Mapping
from difflib import get_close_matches

from kb.errors import BadInput
from kb.units import shown
from kb.workings.base import TEXT, USUAL_CAUTION, Figure, Input, Working, WorkingResult, figure_of
from kb.workings.number import Number, nominal, u_of, uncertain
from kb.workings.quantity import read_quantity

__all__ = ["input_faults", "read_input", "run"]

Value = Number | str | None


def run(working: Working, given: Mapping[str, str]) -> WorkingResult:
    """Return the working's results for the inputs as written.

    Raises: BadInput naming the first input that is missing, unknown, unreadable or impossible.
    """
    faults = input_faults(working, given)
    if faults:
        raise faults[0]
    values = {item.name: _taken(item, given) for item in working.inputs}
    solution = working.solve(**values)
    drawing = working.drawing(**{name: _plain(value) for name, value in values.items()}) if working.drawing else None
    return WorkingResult(
        name=working.name,
        title=working.title,
        inputs=tuple(_figure(item, value) for item in working.inputs if (value := values[item.name]) is not None),
        results=tuple(
            figure_of(item, solution.values[item.name]) for item in working.results if item.name in solution.values
        ),
        explanation=solution.says,
        formula=working.formula,
        source=working.source,
        assumptions=(*_taken_for_granted(working, given), *solution.assumptions, *working.assumptions),
        warnings=(*_outside_usual(working, values), *solution.warnings),
        cautions=(*working.cautions, USUAL_CAUTION),
        table=solution.table,
        drawing=drawing,
    )


def input_faults(working: Working, given: Mapping[str, str]) -> tuple[BadInput, ...]:
    """Return everything wrong with the inputs as written, each naming its field."""
    faults = []
    names = [item.name for item in working.inputs]
    for name in given:
        if name not in names:
            near = get_close_matches(name, names, 1, 0.6)
            hint = f"; did you mean {near[0]}?" if near else ""
            faults.append(BadInput(name, given[name], f"one of the inputs {', '.join(names)}{hint}"))
    for item in working.inputs:
        if not given.get(item.name, "").strip():
            if not item.may_be_left_out or item.name in given:
                faults.append(BadInput(item.name, given.get(item.name, "nothing"), item.allowed))
            continue
        try:
            read_input(item, given[item.name])
        except BadInput as fault:
            faults.append(fault)
    return tuple(faults)


def read_input(item: Input, text: str) -> Number | str:
    """Return what was written for one input, in its unit.

    Raises: BadInput naming the input.
    """
    if item.unit == TEXT:
        return _word(item, text)
    number = read_quantity(item.name, text, item.unit)
    value = nominal(number)
    too_small = item.least is not None and value < item.least - 1e-9 * abs(item.least)
    too_large = item.most is not None and value > item.most + 1e-9 * abs(item.most)
    if too_small or too_large:
        raise BadInput(item.name, text, item.allowed)
    if item.is_whole:
        if abs(value - round(value)) > 1e-9 or u_of(number) > 0:
            raise BadInput(item.name, text, item.allowed)
        return float(round(value))
    if u_of(number) == 0 and item.tool_u is not None:
        return uncertain(value, item.tool_u)
    return number


def _word(item: Input, text: str) -> str:
    word = " ".join(text.split())
    if len(word) > 200:
        raise BadInput(item.name, text, item.allowed)
    if not item.choices:
        return word
    low = word.lower()
    found = item.also.get(low) or next((choice for choice in item.choices if choice.lower() == low), None)
    if found is None and item.choices == ("yes", "no"):
        found = {"true": "yes", "1": "yes", "y": "yes", "false": "no", "0": "no", "n": "no"}.get(low)
    if found is None:
        raise BadInput(item.name, text, item.allowed)
    return found


def _taken(item: Input, given: Mapping[str, str]) -> Value:
    if given.get(item.name, "").strip():
        return read_input(item, given[item.name])
    return item.default


def _plain(value: Value) -> float | str | None:
    return value if value is None or isinstance(value, str) else nominal(value)


def _figure(item: Input, value: Number | str) -> Figure:
    if isinstance(value, str):
        return Figure(item.name, value, item.unit, item.what)
    exact = float(f"{nominal(value):.10g}")
    return Figure(item.name, round(exact) if item.is_whole else exact, item.unit, item.what, u_of(value) or None)


def _taken_for_granted(working: Working, given: Mapping[str, str]) -> tuple[str, ...]:
    said = []
    for item in working.inputs:
        if not given.get(item.name, "").strip():
            if item.default is not None:
                said.append(f"{item.name} taken as {_short(item, item.default)}, since none was given ({item.what}).")
        elif item.tool_u is not None and u_of(read_quantity(item.name, given[item.name], item.unit)) == 0:
            said.append(
                f"{item.name}: standard uncertainty taken as {item.tool_u:g} {shown(item.unit)}; give yours after ±."
            )
    return tuple(said)


def _outside_usual(working: Working, values: Mapping[str, Value]) -> tuple[str, ...]:
    said = []
    for item in working.inputs:
        value = values[item.name]
        if item.usual is None or value is None or isinstance(value, str):
            continue
        low, high = item.usual
        if not low <= nominal(value) <= high:
            noun = {"count": "", "1": ""}.get(item.unit, " " + shown(item.unit))
            said.append(
                f"{item.name} {_short(item, nominal(value))} lies outside {low:g} to {high:g}{noun}, "
                "where this sum is known to hold; check the figure."
            )
    return tuple(said)


def _short(item: Input, value: float | str) -> str:
    if isinstance(value, str):
        return value
    return f"{value:g}{ {'count': '', '1': ''}.get(item.unit, ' ' + shown(item.unit)) }"
