"""What all commands of one run share: which folder of articles, and the answerer, opened when first needed."""

from dataclasses import dataclass

import click

from kb.answer import Answerer
from kb.opening import open_answerer

__all__ = ["Session", "answerer_of", "session_of"]


@dataclass(frozen=True, slots=True)
class Session:
    """The options given before the command."""

    articles: str | None


def session_of(context: click.Context) -> Session:
    """Return the session of this run."""
    session = context.find_object(Session)
    return session if session is not None else Session(None)


def answerer_of(context: click.Context, *, with_complaints: bool = False) -> Answerer:
    """Return an answerer for this run, telling on standard error what it does where that takes time."""
    return open_answerer(
        session_of(context).articles,
        progress=lambda what: click.echo(f"training: {what}", err=True),
        with_complaints=with_complaints,
    )
