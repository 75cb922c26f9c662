"""How long the command line takes to start."""

from __future__ import annotations

import sys
from pathlib import Path

from benchmarks.timing import Timed, benchmark, process


@benchmark("help")
def help_of_the_command() -> Timed[int]:
    return process(str(Path(sys.executable).with_name("sagwright")), "--help", runs=10)
