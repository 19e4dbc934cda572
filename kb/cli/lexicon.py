"""`truestand lexicon`: the words of the trade, and with `--suggest` those it may lack."""

import sys
import textwrap
from collections.abc import Sequence
from typing import Any

import click

from kb.answer import Answerer
from kb.cli.output import WIDTH
from kb.cli.session import answerer_of, session_of
from kb.library.load import articles_folder, load_library
from kb.library.models import Concept
from kb.measuring import judge_all, training_parts
from kb.search.synonyms import Heard, Proposal, propose_synonyms
from kb.wire import dumps

__all__ = ["lexicon"]

_INDENT = " " * 25


@click.command()
@click.option(
    "--suggest",
    is_flag=True,
    help="Propose words that the lexicon lacks, from complaints that the search missed; takes minutes.",
)
@click.option(
    "--most", type=click.IntRange(1, 1000), default=60, show_default=True, help="How many proposals to print."
)
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list.")
@click.pass_context
def lexicon(context: click.Context, suggest: bool, most: int, as_json: bool) -> None:
    """List the concepts of the lexicon with their words, or propose words that it may lack.

    A proposal stands much oftener in complaints of one article than elsewhere and in one at least that was answered
    wrong while its round was left out of training. Only the training part is looked at. Many proposals are effects or
    circumstances: whether one names the part is for a person to say. Under odds stands what the log odds are at least.
    """
    if not suggest:
        concepts = load_library(articles_folder(session_of(context).articles)).lexicon
        listed = [_concept_to_wire(concept) for concept in concepts.values()]
        click.echo(dumps(listed, indent=2) if as_json else "\n".join(_concept_lines(tuple(concepts.values()))))
        return
    answerer = answerer_of(context, with_complaints=True)
    heard = _hear(answerer)
    proposals = propose_synonyms(heard, answerer.library, most)
    if as_json:
        click.echo(dumps([_proposal_to_wire(item) for item in proposals], indent=2))
        return
    missed = sum(item.missed for item in heard)
    click.echo("\n".join([f"{missed} of {len(heard)} complaints were answered wrong", *_proposal_lines(proposals)]))


def _hear(answerer: Answerer) -> list[Heard]:
    """Ask the training part of rankers that have not seen it, with a bar on standard error."""
    heard: list[Heard] = []
    for part in training_parts(answerer, lambda what: click.echo(what, err=True)):
        answerable = tuple(item for item in part.complaints if item.gold is not None)
        with click.progressbar(answerable, label=f"asking {len(answerable)}", file=sys.stderr) as complaints:
            judged = judge_all(part.answerer, complaints, with_stated=False)
        heard += (
            Heard(answerer.analyser.analyse(item.text), item.gold, not item.placing.success_at_1)
            for item in judged
            if item.gold is not None and item.placing is not None
        )
    return heard


def _concept_lines(concepts: Sequence[Concept]) -> list[str]:
    return [
        line
        for concept in concepts
        for line in textwrap.wrap(
            f"{concept.id} ({concept.kind}): {', '.join(concept.phrases)}", WIDTH, subsequent_indent="    "
        )
    ]


def _proposal_lines(proposals: Sequence[Proposal]) -> list[str]:
    lines = [f"{'odds':>5} {'texts':>5} {'missed':>6} {'other':>5}  {'phrase':<18}{'may name':<20}article"]
    for item in proposals:
        may_name = item.concepts[0] if item.concepts else "-"
        numbers = f"{item.at_least:>5.1f} {item.texts:>5} {item.missed:>6} {item.elsewhere:>5}"
        lines.append(f"{numbers}  {item.phrase:<17} {may_name:<19} {item.article}")
        lines += textwrap.wrap(f"“… {item.example} …”", WIDTH, initial_indent=_INDENT, subsequent_indent=_INDENT)
    return lines


def _concept_to_wire(concept: Concept) -> dict[str, Any]:
    return {
        "id": concept.id,
        "kind": str(concept.kind),
        "words": list(concept.words),
        "uk": list(concept.uk),
        "us": list(concept.us),
        "lay": list(concept.lay),
        "misspelt": list(concept.misspelt),
        "broader": list(concept.broader),
    }


def _proposal_to_wire(item: Proposal) -> dict[str, Any]:
    return {
        "phrase": item.phrase,
        "article": item.article,
        "concepts": list(item.concepts),
        "unnamed": item.unnamed,
        "texts": item.texts,
        "missed": item.missed,
        "elsewhere": item.elsewhere,
        "log_odds": item.log_odds,
        "z": item.z,
        "at_least": item.at_least,
        "example": item.example,
    }
