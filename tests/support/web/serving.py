"""The application served to clients: requests without a network, or a server at an address of this machine."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread

import uvicorn
from starlette.testclient import TestClient

from sagwright.cli.commands.serve import socket_on
from sagwright.web.http.guard import Guard


def asking(site: Guard) -> TestClient:
    """A tablet of its own, without a network."""
    return TestClient(
        site,
        base_url="http://127.0.0.1",
        headers={"sec-fetch-site": "same-origin"},
        follow_redirects=False,
        raise_server_exceptions=True,
    )


@contextmanager
def served(site: Guard, port: int = 0) -> Iterator[str]:
    """A server in a thread, as long as it is needed; at a free port where none is given."""
    listening = socket_on("127.0.0.1", port)
    running = uvicorn.Server(uvicorn.Config(site, log_level="warning", access_log=False, ws="none"))
    thread = Thread(target=running.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        running.should_exit = True
        thread.join(10)
        listening.close()
