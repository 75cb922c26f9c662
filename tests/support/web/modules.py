"""The modules of a package and of the packages in it."""

from __future__ import annotations

import pkgutil
from importlib import import_module
from types import ModuleType


def modules_below(package: ModuleType) -> tuple[ModuleType, ...]:
    """Every module of a package and of the packages in it, imported."""
    found = pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
    return tuple(import_module(each.name) for each in found if not each.ispkg)
