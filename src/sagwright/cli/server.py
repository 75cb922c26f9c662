"""A server in this process: where it listens, and how it starts and stops."""

from __future__ import annotations

import signal
import socket
from typing import TYPE_CHECKING

import click

from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.web.guard import Guard

STOPS = (signal.SIGINT, signal.SIGTERM)


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


def address(listening: socket.socket) -> str:
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
    click.echo(f"Sagwright serves {address(listening)} Stop it with Ctrl+C.")
    for stop in STOPS:  # the server passes on what stopped it when it has ended; that is no failure
        signal.signal(stop, lambda *_: None)
    uvicorn.Server(config).run(sockets=[listening])
    click.echo("Stopped. Everything that was recorded is kept.")
    return 0
