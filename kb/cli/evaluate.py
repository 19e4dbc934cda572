"""`truestand evaluate`: how good the search is on labelled complaints it has not learnt from."""

import sys
from collections.abc import Iterable
from pathlib import Path

import click

from kb.answer import Answerer
from kb.cli.evaluation_output import comparison_lines, evaluation_lines
from kb.cli.evaluation_wire import comparison_to_wire, evaluation_to_wire, judged_from_file
from kb.cli.reliability_picture import reliability_picture
from kb.cli.session import answerer_of
from kb.errors import BadInput
from kb.measuring import Part, judge_all, training_parts, untouched_parts
from kb.search.comparison import compare
from kb.search.evaluation import evaluate as evaluate_judged
from kb.search.judging import Judged
from kb.wire import dumps

__all__ = ["evaluate"]

_FILE = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.option(
    "--part",
    type=click.Choice(["test", "training"]),
    default="test",
    show_default=True,
    help="test: what nothing was fitted to. training: cross-validated, each round left out in turn; takes minutes.",
)
@click.option("--with-stated", is_flag=True, help="Weigh in the readings that the texts state, as `ask` does.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object, every complaint in it.")
@click.option("--compare", "earlier", type=_FILE, metavar="FILE", help="Compare with an earlier run's --json.")
@click.option("--plot", type=_FILE, metavar="FILE.svg", help="Write a picture of confidence against right answers.")
@click.pass_context
def evaluate(
    context: click.Context, part: str, with_stated: bool, as_json: bool, earlier: Path | None, plot: Path | None
) -> None:
    """Measure the answers to labelled complaints: right first, in three, calibration, refusals, what gets swapped."""
    before = judged_from_file(earlier) if earlier else None
    judged = _judge(answerer_of(context, with_complaints=True), part, with_stated)
    if not judged:
        raise BadInput("--part", part, "a part that has labelled complaints")
    evaluation = evaluate_judged(judged)
    comparison = compare(before, judged) if before is not None else None
    if plot:
        _write(plot, reliability_picture(evaluation.bins, f"{part} part"))
    if as_json:
        wire = evaluation_to_wire(evaluation, part, with_stated)
        if comparison:
            wire["comparison"] = comparison_to_wire(comparison)
        click.echo(dumps(wire))
        return
    lines = evaluation_lines(evaluation, part, with_stated)
    if comparison:
        lines += ["", *comparison_lines(comparison)]
    click.echo("\n".join(lines))


def _judge(answerer: Answerer, part: str, with_stated: bool) -> tuple[Judged, ...]:
    """Ask all complaints of a part, with a bar on standard error."""
    parts: Iterable[Part] = untouched_parts(answerer)
    if part == "training":
        parts = training_parts(answerer, lambda what: click.echo(what, err=True))
    judged: list[Judged] = []
    for item in parts:
        with click.progressbar(item.complaints, label=f"asking {len(item.complaints)}", file=sys.stderr) as complaints:
            judged += judge_all(item.answerer, complaints, with_stated)
    return tuple(judged)


def _write(path: Path, picture: str) -> None:
    try:
        path.write_text(picture, encoding="utf-8")
    except OSError as error:
        raise BadInput("--plot", str(path), f"a file that can be written ({error.strerror})") from None
