"""A working and its result as plain values, for `--json` and the web interface alike."""

from typing import Any

from kb.workings.base import Figure, Working, WorkingResult

__all__ = ["result_to_wire", "working_to_wire"]


def result_to_wire(result: WorkingResult) -> dict[str, Any]:
    """Return a result in the order of the contract; keys past `cautions` are additions."""
    wire: dict[str, Any] = {
        "name": result.name,
        "inputs": {figure.name: _figure(figure) for figure in result.inputs},
        "results": {figure.name: _figure(figure) for figure in result.results},
        "formula": result.formula,
        "source": result.source,
        "cautions": list(result.cautions),
        "warnings": list(result.warnings),
        "assumptions": list(result.assumptions),
        "explanation": result.explanation,
    }
    if result.table is not None:
        wire["table"] = {"head": list(result.table.head), "rows": [list(row) for row in result.table.rows]}
    return wire


def working_to_wire(working: Working) -> dict[str, Any]:
    """Return what a working takes and gives."""
    return {
        "name": working.name,
        "title": working.title,
        "inputs": {
            item.name: {
                "unit": item.unit,
                "what": item.what,
                "optional": item.may_be_left_out,
                "choices": list(item.choices),
            }
            for item in working.inputs
        },
        "results": {item.name: {"unit": item.unit, "what": item.what} for item in working.results},
        "formula": working.formula,
        "source": working.source,
    }


def _figure(figure: Figure) -> dict[str, Any]:
    wire: dict[str, Any] = {"value": figure.value, "unit": figure.unit}
    if figure.uncertainty is not None:
        wire["uncertainty"] = float(f"{figure.uncertainty:.3g}")
    return wire
