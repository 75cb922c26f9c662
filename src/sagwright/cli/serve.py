"""`sagwright serve`."""

from __future__ import annotations

import click

from sagwright.cli.workshop import place_of, workshop

PORT = 8137
LOOPBACK = ("127.0.0.1", "::1", "localhost")
PATIENCE = 5  # s, for answers under way when the server is stopped


@click.command()
@click.option("--host", default=LOOPBACK[0], show_default=True, metavar="ADDRESS", help="An address of this machine.")
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(0, 65535), help="0 for any that is free.")
@workshop
def serve(*, host: str, port: int, workshop: str | None) -> int:
    """Serve the pages of the workshop to a browser on this machine, until stopped with Ctrl+C.

    There is no sign-in yet, so no other machine is answered.
    """
    from sagwright.errors import OutOfRange

    if host not in LOOPBACK:
        raise OutOfRange(
            f"must be an address of this machine only: {', '.join(LOOPBACK)}",
            value=host,
            field="--host",
            remedy="Other machines could read and write everything, because there is no sign-in yet.",
        )
    return _served(host, port, workshop)


def _served(host: str, port: int, workshop: str | None) -> int:
    """Serve until stopped; 0 if that was asked for."""
    from sagwright.cli.server import run_server, socket_on
    from sagwright.service.workshop.records import open_workshop
    from sagwright.web.app import create_app
    from sagwright.web.shop import Shop
    from sagwright.web.warming import warm

    with socket_on(host, port) as listening, open_workshop(place_of(workshop)) as records:
        return run_server(create_app(Shop(records), warm=warm), listening, patience=PATIENCE)
