"""A real Chromium for the tests: found, or installed where that is possible; and the screens it shows pages on."""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.support.machine import one_at_a_time, system_path

TABLET, PHONE, DESKTOP = (1180, 820), (390, 844), (1440, 900)
SIZES = (TABLET, PHONE, DESKTOP)
PATIENCE_MS = 30_000
"""How long a page may take on a machine that is busy with other tests."""

expect.set_options(timeout=PATIENCE_MS)

Opener = Callable[..., Page]

NAMES: Final = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
INSTALL_S: Final = 300


def found() -> str:
    """The path of a Chromium on this machine; empty if there is none."""
    return next((path for path in map(shutil.which, NAMES) if path), "")


def installed() -> str:
    """The same, installed by the system's own package manager if we may."""
    if (there := found()) or os.geteuid() != 0 or shutil.which("apt-get") is None:
        return there
    with one_at_a_time("apt-get"):
        return found() or _install()


def _install() -> str:
    lists = pathlib.Path("/var/lib/apt/lists")
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive", "PATH": system_path()}
    install = ["apt-get", "install", "--yes", "--no-install-recommends", "chromium"]
    commands = [install] if any(lists.glob("*Packages*")) else [["apt-get", "update"], install]
    for command in commands:
        subprocess.run(command, check=False, capture_output=True, timeout=INSTALL_S, env=environment)
    return found()


@contextmanager
def launched(home: pathlib.Path) -> Iterator[Browser]:
    """A Chromium that keeps what it writes in a folder; where none can be had the test is skipped, but not under CI."""
    path = installed()
    if not path:
        if os.environ.get("CI"):
            pytest.fail("there is no Chromium here and it could not be installed")
        pytest.skip("there is no Chromium here; install your system's chromium to run these tests")
    with sync_playwright() as playwright:
        environment: dict[str, str | float | bool] = {**os.environ, "HOME": str(home)}
        opened = playwright.chromium.launch(executable_path=path, args=list(FLAGS), env=environment)
        yield opened
        opened.close()
