"""The `suppertide` command: the server, the demo and the dough maths for scripts."""

from __future__ import annotations

from pathlib import Path

import click

from webapp.cli_dough import COMMANDS as DOUGH_COMMANDS


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="suppertide", prog_name="suppertide")
def main() -> None:
    """The dough waits for the person: tray pizza and focaccia on a weeknight.

    Start the app with `suppertide serve`; fill a kitchen with an invented day with `suppertide demo`; use the dough
    maths in scripts with scale, rise, yeast and water (each takes --json).
    """


@main.command()
@click.option("--port", default=8080, show_default=True, type=click.IntRange(0, 65535), help="Port; 0 picks a free one.")
@click.option("--network", is_flag=True, help="Listen on the network too and print a QR picture of the address.")
@click.option("--data", type=click.Path(path_type=Path, file_okay=False), help="Folder of the database and keys.")
def serve(port: int, network: bool, data: Path | None) -> None:
    """Start the app (on this machine only, unless --network)."""
    from webapp.serve import serve as run
    from webapp.settings import Settings

    run(Settings.load(data=data), port=port, network=network)


@main.command()
@click.option("--data", type=click.Path(path_type=Path, file_okay=False), help="Folder of the database and keys.")
def demo(data: Path | None) -> None:
    """Fill a new kitchen with an invented day and print the address that opens it."""
    from webapp.settings import Settings
    from webapp.usecases_demo import demo as fill

    click.echo(fill(Settings.load(data=data)))


for command in DOUGH_COMMANDS:
    main.add_command(command)


if __name__ == "__main__":
    main()
