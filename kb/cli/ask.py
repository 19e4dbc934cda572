"""`truestand ask`: one complaint, a batch of them, or a walk from check to check."""

import logging
import sys
from collections.abc import Iterator
from dataclasses import replace

import click

from kb.answer import Answer, Answerer, Question
from kb.cli.output import WIDTH, answer_lines
from kb.cli.session import answerer_of
from kb.errors import BadInput, KbError
from kb.library.models import CheckId, Skill
from kb.wire import answer_to_wire, dumps, error_to_wire, question_from_line

__all__ = ["ask"]

_LOG = logging.getLogger(__name__)
_LONGEST_INPUT = 10_000_000


@click.command()
@click.argument("text", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print the answer as one JSON object.")
@click.option(
    "--batch", is_flag=True, help="Read one JSON object a line from standard input, write one a line, in order."
)
@click.option("--walk", is_flag=True, help="Go on from check to check until the cause is settled or you stop.")
@click.option(
    "--reading", "-r", "given", multiple=True, metavar="CHECK=OUTCOME", help="What a check showed; may be repeated."
)
@click.option(
    "--not-stated", "struck", multiple=True, metavar="CHECK", help="Strike out a reading misread from the text."
)
@click.option(
    "--skill",
    type=click.Choice(list(Skill)),
    default=Skill.HOME,
    show_default=True,
    help="Propose checks up to this skill.",
)
@click.option("--top", type=click.IntRange(1, 500), default=5, show_default=True, help="How many causes to show.")
@click.pass_context
def ask(
    context: click.Context,
    text: str | None,
    as_json: bool,
    batch: bool,
    walk: bool,
    given: tuple[str, ...],
    struck: tuple[str, ...],
    skill: Skill,
    top: int,
) -> None:
    """Answer a complaint in plain words: probable causes, the next check, whether to ride.

    Without TEXT the complaint is read from standard input.
    """
    if batch:
        if text is not None or walk:
            raise click.UsageError("--batch reads from standard input; leave TEXT and --walk out")
        _answer_batch(answerer_of(context))
        return
    complaint = text if text is not None else _standard_input()
    question = Question(complaint, _readings(given), Skill(skill), top, frozenset(CheckId(id) for id in struck))
    answerer = answerer_of(context)
    if walk:
        _walk(answerer, question)
        return
    answer = answerer.answer(question)
    click.echo(dumps(answer_to_wire(answer), indent=2) if as_json else "\n".join(answer_lines(answer)))


def _standard_input() -> str:
    if sys.stdin.isatty():
        click.echo("Write the complaint, then Ctrl-D:", err=True)
    raw = sys.stdin.buffer.read(_LONGEST_INPUT + 1)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadInput("text", f"a byte that is not UTF-8 at {error.start}", "text in UTF-8") from None


def _readings(given: tuple[str, ...]) -> dict[CheckId, str | float]:
    readings: dict[CheckId, str | float] = {}
    for item in given:
        id, equals, value = item.partition("=")
        if not equals or not id or not value:
            raise BadInput("--reading", item, "CHECK=OUTCOME or CHECK=NUMBER")
        readings[CheckId(id.strip())] = _outcome_or_number(value.strip())
    return readings


def _outcome_or_number(value: str) -> str | float:
    try:
        return float(value.replace(",", "."))
    except ValueError:
        return value


def _answer_batch(answerer: Answerer) -> None:
    for line in _lines():
        try:
            wire = answer_to_wire(answerer.answer(question_from_line(line)))
        except KbError as error:
            wire = error_to_wire(str(error))
        except Exception:  # one bad line must not end the run; the log keeps what a person needs to mend it
            _LOG.exception("a line of the batch failed")
            wire = error_to_wire("this line could not be answered; the log says why")
        click.echo(dumps(wire))


def _lines() -> Iterator[str]:
    for raw in sys.stdin.buffer:
        line = raw.decode("utf-8", errors="replace")
        if line.strip():
            yield line


def _walk(answerer: Answerer, question: Question) -> None:
    """Ask for one check after the other; an empty line leaves a check out, "q" stops."""
    skipped: set[CheckId] = set()
    while True:
        answer = answerer.answer(replace(question, checks=1 + len(skipped)))
        click.echo("\n".join(answer_lines(answer)))
        step = next((step for step in answer.next if step.check.id not in skipped), None)
        if answer.settled or not answer.answered or step is None:
            click.echo("\n" + _ending(answer))
            return
        click.echo("-" * WIDTH)
        found = _prompt(answerer, answer, step.check.id)
        if found is None:
            return
        if found == "":
            skipped.add(step.check.id)
        else:
            question = replace(question, readings={**question.readings, step.check.id: _outcome_or_number(found)})


def _prompt(answerer: Answerer, answer: Answer, id: CheckId) -> str | None:
    """Return what the person found: "" to leave the check out, None to stop. Repeats until it can be used."""
    check = answerer.check(id)
    allowed = ", ".join(check.outcomes) + (f", or a number in {check.unit}" if check.is_measured else "")
    while True:
        try:
            found = click.prompt(
                f"{id} ({allowed}; Enter to leave it out, q to stop)", default="", show_default=False
            ).strip()
        except click.Abort:
            return None
        if found.lower() in ("q", "quit"):
            return None
        if not found:
            return ""
        try:
            answerer.answer(
                replace(answer.question, readings={**answer.question.readings, id: _outcome_or_number(found)})
            )
        except BadInput as error:
            click.echo(f"  {error}", err=True)
        else:
            return found


def _ending(answer: Answer) -> str:
    if answer.settled:
        return f"Settled: {answer.causes[0].article.title} ({answer.causes[0].probability:.0%})."
    if not answer.answered:
        return "Nothing of ours fits; a workshop should look at the bike."
    return "No further check would tell more; try the fix of the likeliest cause first, or hand the bike to a workshop."
