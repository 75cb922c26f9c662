from __future__ import annotations

import pytest

from tests.support.command_line import Shell


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    """The command line in this process: `shell("plan", path)`."""
    return Shell(capsys)
