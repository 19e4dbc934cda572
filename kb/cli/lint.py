"""`truestand lint`: every problem in the articles, or the JSON Schema of their front matter."""

import click

from kb.cli.session import session_of
from kb.library.load import articles_folder, read_library
from kb.library.schema import article_schema
from kb.wire import dumps

__all__ = ["lint"]

EXIT_PROBLEMS = 1


@click.command()
@click.option("--schema", is_flag=True, help="Print the JSON Schema of an article's front matter, for an editor.")
@click.option("--json", "as_json", is_flag=True, help="Print the problems as a JSON list.")
@click.pass_context
def lint(context: click.Context, schema: bool, as_json: bool) -> None:
    """Check all articles, checks, the lexicon and the labelled complaints; exit 1 if anything is wrong."""
    library, problems = read_library(articles_folder(session_of(context).articles))
    if schema:
        click.echo(dumps(article_schema(library), indent=2))
        return
    if as_json:
        rows = [{"path": str(p.path), "line": p.line, "rule": p.rule, "message": p.message} for p in problems]
        click.echo(dumps(rows, indent=2))
    else:
        for problem in problems:
            click.echo(str(problem))
        click.echo(
            f"{len(problems)} problem(s) in {len(library.articles)} articles, {len(library.checks)} checks, "
            f"{len(library.lexicon)} concepts, {len(library.complaints)} complaints"
        )
    if problems:
        context.exit(EXIT_PROBLEMS)
