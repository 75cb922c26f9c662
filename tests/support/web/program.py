"""The program itself, serving a workshop from a process of its own until it is ended or killed."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

TOLD: Final = re.compile(r"http://\S+:(\d+)/")
PATIENCE: Final = 60  # s


@dataclass
class Program:
    """`sagwright serve` over one file; the port stays when it is started again."""

    workshop: Path
    port: int = 0
    running: subprocess.Popen[str] | None = field(default=None, init=False)

    @property
    def address(self) -> str:
        """Where it is served."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Serve; back as soon as it says where."""
        command = [sys.executable, "-m", "sagwright", "serve", "--port", str(self.port)]
        command += ["--workshop", str(self.workshop)]
        unheld = os.environ | {"PYTHONUNBUFFERED": "1"}
        self.running = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=unheld
        )
        assert self.running.stdout is not None
        said = self.running.stdout.readline()
        found = TOLD.search(said)
        assert found, said
        self.port = int(found[1])

    def kill(self) -> None:
        """End it at once, as a flat battery would."""
        assert self.running is not None
        self.running.send_signal(signal.SIGKILL)
        self.running.communicate(timeout=PATIENCE)

    def stop(self) -> tuple[int, str]:
        """End it as a person does, with Ctrl+C; its exit code and what it said at the end."""
        assert self.running is not None
        if self.running.poll() is None:
            self.running.send_signal(signal.SIGINT)
        said, _ = self.running.communicate(timeout=PATIENCE)
        return self.running.returncode, said
