"""A real Chromium for the tests: found, or installed where that is possible."""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess
from typing import Final

NAMES: Final = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
PATIENCE: Final = 300  # s


def found() -> str:
    """The path of a Chromium on this machine; empty if there is none."""
    return next((path for path in map(shutil.which, NAMES) if path), "")


def installed() -> str:
    """The same, installed by the system's own package manager if we may."""
    if (there := found()) or os.geteuid() != 0 or shutil.which("apt-get") is None:
        return there
    lists = pathlib.Path("/var/lib/apt/lists")
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    install = ["apt-get", "install", "--yes", "--no-install-recommends", "chromium"]
    commands = [install] if any(lists.glob("*Packages*")) else [["apt-get", "update"], install]
    for command in commands:
        subprocess.run(command, check=False, capture_output=True, timeout=PATIENCE, env=environment)
    return found()
