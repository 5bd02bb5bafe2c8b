"""`fizzwright serve`: the pages, for this machine alone or, when asked, for the network it is on."""

from __future__ import annotations

from pathlib import Path

import click

__all__ = ["serve"]


@click.command()
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port to listen on [a free one].")
@click.option(
    "--data",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="Where the record is kept.",
)
@click.option("--database", metavar="URL", help="A PostgreSQL record for a workshop of several people.")
@click.option("--lan", is_flag=True, help="Let others on this network in, by a passphrase.")
def serve(port: int, data: Path | None, database: str | None, lan: bool) -> None:
    """The pages in a browser: survey, plan, dial-in beside the tank, papers. Ctrl-C stops."""
    from fizzwright.web.run import Wanted, serve_until_stopped

    serve_until_stopped(Wanted(port=port, folder=data, database=database, lan=lan), say=click.echo)
