"""`truestand lint`: every problem in the articles, the matrix of checks by articles, or the JSON Schema of articles."""

from pathlib import Path

import click

from kb.cli.matrix import matrix_lines, matrix_rows, write_matrix_picture
from kb.cli.session import session_of
from kb.library.load import articles_folder, read_library
from kb.library.schema import article_schema
from kb.wire import dumps

__all__ = ["lint"]

EXIT_PROBLEMS = 1


@click.command()
@click.option("--schema", is_flag=True, help="Print the JSON Schema of an article's front matter, for an editor.")
@click.option("--matrix", is_flag=True, help="Print which article uses which check, contradictions, alike rivals.")
@click.option("--svg", metavar="FILE", type=click.Path(path_type=Path), help="With --matrix: draw it as well.")
@click.option("--json", "as_json", is_flag=True, help="Print the problems as a JSON list; with --matrix, the matrix.")
@click.pass_context
def lint(context: click.Context, schema: bool, matrix: bool, svg: Path | None, as_json: bool) -> None:
    """Check all articles, checks, the lexicon and the labelled complaints; exit 1 if anything is wrong."""
    if svg and not matrix:
        raise click.UsageError("--svg draws the matrix: give --matrix with it")
    library, problems = read_library(articles_folder(session_of(context).articles))
    if schema:
        click.echo(dumps(article_schema(library), indent=2))
        return
    if matrix:
        click.echo(dumps(matrix_rows(library), indent=2) if as_json else "\n".join(matrix_lines(library)))
        if svg:
            write_matrix_picture(library, svg)
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
