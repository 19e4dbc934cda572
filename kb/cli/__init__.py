"""The `truestand` command of the core; `service.commands` adds `serve` to it.

Exit codes: 0 answered (also "none of ours"), 1 problems found or an id not known, 2 bad input or usage.
"""

import sys
from collections.abc import Sequence

import click

from kb.cli.ask import ask
from kb.cli.evaluate import evaluate
from kb.cli.lexicon import lexicon
from kb.cli.lint import lint
from kb.cli.session import Session
from kb.cli.show import article, check
from kb.cli.train import train
from kb.cli.work import work
from kb.errors import BadInput, KbError, LibraryInvalid, NotKnown

__all__ = ["EXIT_CODES", "cli", "main", "run"]

EXIT_CODES: dict[type[KbError], int] = {BadInput: 2, NotKnown: 1, LibraryInvalid: 1, KbError: 1}


@click.group()
@click.option("--articles", metavar="DIR", help="Folder of articles; also TRUESTAND_ARTICLES; else the installed ones.")
@click.version_option(package_name="truestand")
@click.pass_context
def cli(context: click.Context, articles: str | None) -> None:
    """Answer riders' bicycle complaints: probable causes, the check to do next, the fix."""
    context.obj = Session(articles)


for command in (ask, article, check, work, lint, evaluate, lexicon, train):
    cli.add_command(command)


def run(group: click.Group, arguments: Sequence[str] | None = None) -> int:
    """Run a command line and return its exit code; errors of ours become one message on standard error."""
    try:
        code = group.main(args=list(arguments) if arguments is not None else None, standalone_mode=False)
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except click.Abort:
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except KbError as error:
        click.echo(f"truestand: {error}", err=True)
        return next(code for kind, code in EXIT_CODES.items() if isinstance(error, kind))
    return code if isinstance(code, int) else 0


def main() -> None:
    """Entry point of `python -m kb`."""
    sys.exit(run(cli))
