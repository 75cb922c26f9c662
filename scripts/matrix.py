"""Run the fast tests with every Python from 3.11 to 3.14 that this machine has, and say which it has not.

Each gets an environment of its own in .matrix, with the locked dependencies. Arguments go to pytest.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent
FOLDER: Final = ROOT / ".matrix"
VERSIONS: Final = ("3.11", "3.12", "3.13", "3.14")
FAST: Final = ("-m", "not long and not law", "--ignore=tests/web", "--quiet")
"""No drawn cases and no browser: what differs between versions shows without them."""


def found() -> dict[str, str]:
    """The interpreters on this machine, by version; one only where it can also make an environment."""
    there = {version: shutil.which(f"python{version}") for version in VERSIONS}
    return {version: path for version, path in there.items() if path and _makes_environments(path)}


def _makes_environments(python: str) -> bool:
    return subprocess.run([python, "-c", "import ensurepip, venv"], check=False, capture_output=True).returncode == 0


def prepared(version: str, python: str) -> Path:
    """The Python of an environment with everything that is locked; made once, and again when the lock changes."""
    folder = FOLDER / version
    inside = folder / "bin" / "python"
    lock, stamp = ROOT / "requirements" / "dev.lock", folder / "installed"
    if not stamp.is_file() or stamp.read_text("utf-8") != lock.read_text("utf-8"):
        subprocess.run([python, "-m", "venv", "--clear", str(folder)], check=True)
        pip = [str(inside), "-m", "pip", "--disable-pip-version-check", "--quiet", "install"]
        subprocess.run([*pip, "--require-hashes", "-r", str(lock)], check=True)
        subprocess.run([*pip, "--no-deps", "--no-build-isolation", "--editable", str(ROOT)], check=True)
        stamp.write_text(lock.read_text("utf-8"), "utf-8")
    return inside


def main(arguments: list[str]) -> int:
    """Run them, and print a line for every version; 1 if tests failed with one, or there is none."""
    interpreters = found()
    results = {}
    for version, python in interpreters.items():
        print(f"{version}: {python}", flush=True)
        inside = prepared(version, python)
        done = subprocess.run([str(inside), "-m", "pytest", *(arguments or FAST)], check=False, cwd=ROOT)
        results[version] = "passed" if done.returncode == 0 else "FAILED"
    for version in VERSIONS:
        print(f"{version:<6}{results.get(version, 'not on this machine, or without ensurepip')}")
    return 0 if results and set(results.values()) == {"passed"} else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
