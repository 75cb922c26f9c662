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

    Raises
    ------
    OutOfRange
        If somebody else does already, or the system does not let us.
    """
    try:
        return socket.create_server((host, port), family=_family(host), backlog=128)
    except OSError as error:
        raise OutOfRange(
            "must be a port that is free and may be listened on",
            value=str(port),
            field="--port",
            remedy=f"The system says: {error.strerror or error}. Choose another, or 0 for any.",
        ) from error


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
    return 0
