"""`suppertide api`: the JSON API as an OpenAPI description, for whoever reads it or tries it out."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from webapp.machine.settings import Settings


@click.command("api")
def api_command() -> None:
    """Print the JSON API of the kitchen screen as an OpenAPI 3.1 description."""
    # Imported here, so that the dough maths start without the web.
    from webapp.web.app import addresses_of, create_app
    from webapp.web.phone.described.openapi import openapi

    with TemporaryDirectory() as folder:  # an app has a database; this one is asked for its addresses only
        found = openapi(addresses_of(create_app(Settings(data=Path(folder)))))
    click.echo(json.dumps(found, indent=1))
