"""`truestand train`: train the search on the articles and write the result beside them."""

import click

from kb.cli.session import session_of
from kb.opening import train_file

__all__ = ["train"]


@click.command()
@click.pass_context
def train(context: click.Context) -> None:
    """Train the search and write trained.npz beside the articles, so that the next answer comes at once.

    To be run after a change to articles, labelled complaints, search or text analysis. Takes about a minute.
    """
    path = train_file(session_of(context).articles, progress=lambda what: click.echo(f"training: {what}", err=True))
    click.echo(f"wrote {path} ({path.stat().st_size / 1e6:.1f} MB)")
