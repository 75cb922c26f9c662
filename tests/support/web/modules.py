"""The modules of a package."""

from __future__ import annotations

import pkgutil
from importlib import import_module
from types import ModuleType


def modules_in(package: ModuleType) -> tuple[ModuleType, ...]:
    """Every module directly in a package, imported."""
    return tuple(import_module(f"{package.__name__}.{found.name}") for found in pkgutil.iter_modules(package.__path__))
