"""`truestand work NAME key=value ...`: one calculation of the trade, or the list of all."""

import textwrap

import click

from kb.cli.output import WIDTH
from kb.errors import BadInput
from kb.units import shown
from kb.wire import dumps
from kb.workings import Input, Working, WorkingResult, all_workings, run_working, working
from kb.workings.running import input_faults
from kb.workings.wire import result_to_wire, working_to_wire

__all__ = ["work"]


@click.command()
@click.argument("name", required=False)
@click.argument("given", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--about", is_flag=True, help="Print what NAME takes and gives, without calculating.")
@click.option("--svg", "as_svg", is_flag=True, help="Print the drawing alone, where NAME has one.")
def work(name: str | None, given: tuple[str, ...], as_json: bool, about: bool, as_svg: bool) -> None:
    """Calculate NAME from KEY=VALUE, as in: clamp-fit bore="31.8 ± 0.05 mm" diameter=1.25in.

    Without NAME all workings are listed. A bare number is in the unit listed by --about; any unit that converts is
    taken, and ± or +- gives a standard uncertainty.
    """
    if name is None:
        listed = [working_to_wire(item) for item in all_workings()]
        click.echo(dumps(listed, indent=2) if as_json else "\n".join(_list_lines()))
        return
    item = working(name)
    if about:
        click.echo(dumps(working_to_wire(item), indent=2) if as_json else "\n".join(_about_lines(item)))
        return
    inputs = _inputs(given)
    for fault in input_faults(item, inputs)[1:]:
        click.echo(f"truestand: {fault}", err=True)
    result = run_working(name, inputs)
    if as_svg:
        if result.drawing is None:
            raise BadInput("--svg", name, "a working that has a drawing")
        click.echo(result.drawing)
        return
    click.echo(dumps(result_to_wire(result), indent=2) if as_json else "\n".join(_result_lines(result)))


def _inputs(given: tuple[str, ...]) -> dict[str, str]:
    inputs: dict[str, str] = {}
    for item in given:
        key, equals, value = item.partition("=")
        key = key.strip()
        if not equals or not key:
            raise BadInput("key=value", item, "an input and its value, as in length=306.4mm")
        if key in inputs:
            raise BadInput(key, value, "each input once")
        inputs[key] = value.strip()
    return inputs


def _list_lines() -> list[str]:
    widest = max(len(item.name) for item in all_workings())
    return [f"{item.name:<{widest}}  {item.title}" for item in all_workings()]


def _about_lines(item: Working) -> list[str]:
    lines = [item.title, "", "Inputs"]
    for taken in item.inputs:
        lines += _wrapped(f"{taken.name} {_bounds(taken)}: {taken.what}", "  ", "      ")
    lines += [
        "Results",
        *(
            line
            for given in item.results
            for line in _wrapped(f"{given.name} ({given.unit}): {given.what}", "  ", "      ")
        ),
    ]
    return [*lines, *_wrapped(f"Formula: {item.formula}", "", "  "), *_wrapped(f"Source: {item.source}", "", "  ")]


def _bounds(taken: Input) -> str:
    noun = ", ".join(taken.choices) if taken.choices else shown(taken.unit) or "number"
    span = f", {taken.least:g} to {taken.most:g}" if taken.least is not None and taken.most is not None else ""
    left_out = (
        f"; {taken.default} if left out" if taken.default is not None else "; may be left out" if taken.optional else ""
    )
    return f"({noun}{span}{left_out})"


def _result_lines(result: WorkingResult) -> list[str]:
    lines = [result.title, "=" * min(len(result.title), WIDTH)]
    widest = max(len(figure.name) for figure in (*result.inputs, *result.results))
    for heading, figures in (("Inputs", result.inputs), ("Results", result.results)):
        lines.append(heading)
        for figure in figures:
            what = f"  ({figure.what})" if figure.what else ""
            lines += _wrapped(f"{figure.name:<{widest}}  {figure.text}{what}", "  ", " " * (widest + 4))
    if any(figure.uncertainty for figure in result.results):
        lines += _wrapped("± is one standard uncertainty: the true value lies within twice that 95 times in 100.", "  ")
    lines += ["", *_wrapped(result.explanation)]
    if result.table is not None:
        lines += ["", *_table_lines(result.table.head, result.table.rows)]
    lines += ["", *_wrapped(f"Formula: {result.formula}", "", "  "), *_wrapped(f"Source: {result.source}", "", "  ")]
    lines += [line for text in result.assumptions for line in _wrapped(f"Assumed: {text}", "", "  ")]
    lines += [line for text in result.warnings for line in _wrapped(f"Warning: {text}", "", "  ")]
    return lines + [line for text in result.cautions for line in _wrapped(text, "  ! ", "    ")]


def _table_lines(head: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> list[str]:
    widths = [max(len(line[column]) for line in (head, *rows)) for column in range(len(head))]
    return [
        "  " + "  ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True)) for line in (head, *rows)
    ]


def _wrapped(text: str, first: str = "", following: str | None = None) -> list[str]:
    indent = " " * len(first) if following is None else following
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=indent) or [""]
