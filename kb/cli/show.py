"""`truestand article ID` and `truestand check ID`."""

from collections.abc import Iterable
from difflib import get_close_matches

import click

from kb.cli.output import article_lines, check_lines
from kb.cli.session import session_of
from kb.errors import NotKnown
from kb.library.load import articles_folder, load_library
from kb.library.models import CauseId, CheckId
from kb.wire import article_to_wire, check_to_wire, dumps

__all__ = ["article", "check"]


@click.command()
@click.argument("id")
@click.option("--json", "as_json", is_flag=True, help="Print the article as one JSON object.")
@click.pass_context
def article(context: click.Context, id: str, as_json: bool) -> None:
    """Print the article ID: what it is, how to tell, how to fix it, what can hurt."""
    found = load_library(articles_folder(session_of(context).articles)).articles
    if id not in found:
        raise _not_known("article", id, found)
    item = found[CauseId(id)]
    click.echo(dumps(article_to_wire(item), indent=2) if as_json else "\n".join(article_lines(item)))


@click.command()
@click.argument("id")
@click.option("--json", "as_json", is_flag=True, help="Print the check as one JSON object.")
@click.pass_context
def check(context: click.Context, id: str, as_json: bool) -> None:
    """Print the check ID: what to ask, how to do it, what each outcome is."""
    found = load_library(articles_folder(session_of(context).articles)).checks
    if id not in found:
        raise _not_known("check", id, found)
    item = found[CheckId(id)]
    click.echo(dumps(check_to_wire(item), indent=2) if as_json else "\n".join(check_lines(item)))


def _not_known(kind: str, id: str, known: Iterable[str]) -> NotKnown:
    return NotKnown(kind, id, get_close_matches(id, list(known), 3, 0.5))
