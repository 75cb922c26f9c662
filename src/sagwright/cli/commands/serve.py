"""`sagwright serve`: where the server listens, and how it starts and stops."""

from __future__ import annotations

import signal
import socket
from typing import TYPE_CHECKING

import click

from sagwright.cli.commands.record_options import place_of, workshop
from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.web.http.guard import Guard


PORT = 8137
_LOOPBACK = ("127.0.0.1", "::1", "localhost")
_PATIENCE = 5  # s, for answers under way when the server is stopped

STOPS = (signal.SIGINT, signal.SIGTERM)


@click.command()
@click.option("--host", default=_LOOPBACK[0], show_default=True, metavar="ADDRESS", help="An address of this machine.")
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(0, 65535), help="0 for any that is free.")
@workshop
def serve_command(*, host: str, port: int, workshop: str | None) -> int:
    """Serve the pages of the workshop to a browser on this machine, until stopped with Ctrl+C.

    There is no sign-in yet, so no other machine is answered.
    """
    from sagwright.errors import OutOfRange

    if host not in _LOOPBACK:
        raise OutOfRange(
            f"must be an address of this machine only: {', '.join(_LOOPBACK)}",
            value=host,
            field="--host",
            remedy="Other machines could read and write everything, because there is no sign-in yet.",
        )
    return _served(host, port, workshop)


def _served(host: str, port: int, workshop: str | None) -> int:
    """Serve until stopped; 0 if that was asked for."""
    from sagwright.service.workshop.records import open_workshop
    from sagwright.web.app import create_app, warm
    from sagwright.web.http.request import Shop

    with socket_on(host, port) as listening, open_workshop(place_of(workshop)) as records:
        return run_server(create_app(Shop(records), warm=warm), listening, patience=_PATIENCE)


def socket_on(host: str, port: int) -> socket.socket:
    """A socket that listens there.

    Its protocol is named: only then does the event loop send a short answer at once instead of holding it back until
    the one before was acknowledged, 40 ms later.

    Raises
    ------
    OutOfRange
        If somebody else does already, or the system does not let us.
    """
    listening = socket.socket(_family(host), socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
        listening.listen(128)
    except OSError as error:
        listening.close()
        raise OutOfRange(
            "must be a port that is free and may be listened on",
            value=str(port),
            field="--port",
            remedy=f"The system says: {error.strerror or error}. Choose another, or 0 for any.",
        ) from error
    return listening


def _family(host: str) -> socket.AddressFamily:
    return socket.AF_INET6 if ":" in host else socket.AF_INET


def _address(listening: socket.socket) -> str:
    """What a browser is told to open."""
    host, port = listening.getsockname()[:2]
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def run_server(app: Guard, listening: socket.socket, *, patience: int) -> int:
    """Serve until SIGINT or SIGTERM, let what is under way end, and say 0."""
    import uvicorn

    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=patience,
        ws="none",
    )
    click.echo(f"Sagwright serves {_address(listening)} Stop it with Ctrl+C.")
    for stop in STOPS:  # the server passes on what stopped it when it has ended; that is no failure
        signal.signal(stop, lambda *_: None)
    uvicorn.Server(config).run(sockets=[listening])
    click.echo("Stopped. Everything that was recorded is kept.")
    return 0
