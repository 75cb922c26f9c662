"""Build what a release would publish, and try it where nothing else is installed. Nothing is published.

The changelog has a section for the version that names every shape with its number. The source archive is built, and the
wheel from that archive, so that neither needs the repository. The wheel is installed with the locked dependencies in an
empty environment, and there the program plans an example and serves its first page. The files are left in dist/.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
import urllib.request
import venv
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sagwright.version import __version__

ROOT: Final = Path(__file__).resolve().parent.parent
DIST: Final = ROOT / "dist"
EXAMPLE: Final = "examples/shorten-t35.yaml"
PATIENCE: Final = 60  # s
_SHAPE: Final = re.compile(r"\"([a-z]+/\d+)\"")
_NAMED: Final = re.compile(r"`([a-z]+/\d+)`")
_ADDRESS: Final = re.compile(r"http://\S+")


class NotReady(Exception):
    """Something that a release must have is missing or wrong."""


def section_of(changelog: str, version: str) -> str:
    """What a changelog says of a version.

    Raises
    ------
    NotReady
        If it has no section for it, or an empty one.
    """
    found = re.search(rf"^## {re.escape(version)}\b.*?\n(.*?)(?=^## |\Z)", changelog, re.MULTILINE | re.DOTALL)
    if found is None or not found[1].strip():
        raise NotReady(f"CHANGELOG.md has nothing under '## {version}'.")
    return found[1].strip()


def shapes_in(source: Path) -> set[str]:
    """Every shape that the code names, with its number."""
    now = (path for path in source.rglob("*.py") if "migrations" not in path.parts)
    return {shape for path in now for shape in _SHAPE.findall(path.read_text("utf-8"))}


def require_shapes(section: str, shapes: set[str]) -> None:
    """Refuses a section that leaves a shape out, or names one that is gone.

    Raises
    ------
    NotReady
    """
    named = set(_NAMED.findall(section))
    if named != shapes:
        missing, gone = ", ".join(sorted(shapes - named)) or "none", ", ".join(sorted(named - shapes)) or "none"
        raise NotReady(f"CHANGELOG.md must name every shape of {__version__}. Missing: {missing}; not there: {gone}.")


def build(folder: Path) -> tuple[Path, Path]:
    """The source archive unpacked below a folder, and the wheel that was built from it."""
    shutil.rmtree(DIST, ignore_errors=True)
    _run([sys.executable, "-m", "hatchling", "setup", "-t", "sdist", "-d", str(DIST)], ROOT)
    (archive,) = DIST.glob("*.tar.gz")
    with tarfile.open(archive) as packed:
        packed.extractall(folder, filter="data")
    (source,) = folder.iterdir()
    _run([sys.executable, "-m", "hatchling", "setup", "-t", "wheel", "-d", str(DIST)], source)
    (wheel,) = DIST.glob("*.whl")
    return source, wheel


def require_everything_in(wheel: Path, source: Path) -> int:
    """How many files of the package the wheel holds.

    Raises
    ------
    NotReady
        If one is left out: a template, a sheet, a migration.
    """
    wanted = {str(path.relative_to(source / "src")) for path in (source / "src").rglob("*") if path.is_file()}
    missing = wanted - set(zipfile.ZipFile(wheel).namelist())
    if missing:
        raise NotReady(f"The wheel lacks {', '.join(sorted(missing))}.")
    return len(wanted)


def install(folder: Path, source: Path, wheel: Path) -> Path:
    """The program in an empty environment, with the locked dependencies."""
    venv.create(folder, with_pip=True)
    python = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    pip = [str(python), "-m", "pip", "--disable-pip-version-check", "--quiet"]
    _run([*pip, "install", "--require-hashes", "-r", str(source / "requirements" / "run.lock")], folder)
    _run([*pip, "install", "--no-deps", str(wheel)], folder)
    _run([*pip, "check"], folder)
    return python.with_name("sagwright")


def require_a_plan(program: Path, folder: Path) -> None:
    """Refuses a program of another version, or one that cannot plan.

    Raises
    ------
    NotReady
    """
    version = _run([str(program), "--version"], folder).strip()
    if version != f"sagwright {__version__}":
        raise NotReady(f"The program says it is {version!r}, not {__version__}.")
    (folder / "intake.yaml").write_bytes((ROOT / EXAMPLE).read_bytes())
    if "sagwright" not in _run([str(program), "plan", "intake.yaml"], folder):
        raise NotReady("The program printed no plan.")


def require_a_page(program: Path, folder: Path) -> None:
    """Refuses a program that does not serve its first page.

    Raises
    ------
    NotReady
    """
    with _served(program, folder) as address, urllib.request.urlopen(address, timeout=PATIENCE) as answer:
        page = answer.read().decode("utf-8")
    if answer.status != 200 or "Sagwright</title>" not in page:
        raise NotReady(f"{address} answered {answer.status} without the board.")


@contextmanager
def _served(program: Path, folder: Path) -> Iterator[str]:
    command = [str(program), "serve", "--port", "0", "--workshop", "shop.sqlite"]
    running = subprocess.Popen(
        command, cwd=folder, env=_clean(), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    try:
        line = running.stdout.readline() if running.stdout else ""
        found = _ADDRESS.search(line)
        if found is None:
            raise NotReady(f"serve said {line!r} and no address.")
        yield found[0]
    finally:
        running.terminate()
        running.wait(PATIENCE)


def _clean() -> dict[str, str]:
    """The environment without what would let the repository be found."""
    hidden = {"PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV", "SAGWRIGHT_WORKSHOP"}
    return {key: value for key, value in os.environ.items() if key not in hidden} | {"PYTHONUNBUFFERED": "1"}


def _run(command: list[str], folder: Path) -> str:
    done = subprocess.run(command, check=False, capture_output=True, text=True, cwd=folder, env=_clean())
    if done.returncode:
        raise NotReady(f"{' '.join(command)} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def main() -> int:
    """Do all of it, and say each part as it holds."""
    try:
        section = section_of((ROOT / "CHANGELOG.md").read_text("utf-8"), __version__)
        shapes = shapes_in(ROOT / "src")
        require_shapes(section, shapes)
        print(f"changelog   has a section for {__version__}, and names its {len(shapes)} shapes")
        print(f"shapes      {', '.join(sorted(shapes))}")
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            source, wheel = build(folder / "source")
            print(f"built       {', '.join(path.name for path in sorted(DIST.iterdir()))}")
            print(f"wheel       holds all {require_everything_in(wheel, source)} files of the package")
            program = install(folder / "environment", source, wheel)
            empty = folder / "empty"
            empty.mkdir()
            require_a_plan(program, empty)
            print("installed   in an empty environment, and plans an example there")
            require_a_page(program, empty)
            print("serves      its first page there")
    except NotReady as fault:
        print(f"release: {fault}", file=sys.stderr)
        return 1
    print("Nothing was published; the files are in dist/.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
