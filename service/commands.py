"""The `truestand` command with everything: the core's commands and `serve`."""

import sys

import click

from kb.cli import cli, run
from kb.cli.session import answerer_of

__all__ = ["main", "serve"]


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8080, show_default=True, help="Port; 0 picks a free one."
)
@click.option("--threads", type=click.IntRange(1, 64), default=4, show_default=True, help="Requests answered at once.")
@click.pass_context
def serve(context: click.Context, host: str, port: int, threads: int) -> None:
    """Serve the rider's pages and the JSON interface; refuses to start while the articles have problems."""
    # Imported here so that the other commands start without a web framework.
    from waitress.server import create_server  # noqa: PLC0415

    from service.app import create_app  # noqa: PLC0415

    app = create_app(answerer_of(context))
    try:
        server = create_server(app, host=host, port=port, threads=threads, ident="")
    except OSError as error:
        raise click.ClickException(f"cannot listen on {host}:{port}: {error.strerror}") from None
    except ValueError as error:  # waitress: a host name that cannot be resolved
        raise click.ClickException(f"cannot listen on {host}:{port}: {error}") from None
    click.echo(f"serving on http://{host}:{server.effective_port}/ (stop with Ctrl-C)")
    try:
        server.run()
    finally:
        server.close()


cli.add_command(serve)


def main() -> None:
    """Entry point of the console script."""
    sys.exit(run(cli))
