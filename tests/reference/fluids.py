"""The properties of fluids by CoolProp, which takes seconds to load."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Properties = Callable[..., Any]
"""What is wanted and the state it is wanted at, in SI: `PropsSI("D", "T", 293.15, "P", 1e5, "Air")`."""


def properties() -> Properties:
    """CoolProp's own function."""
    from CoolProp.CoolProp import PropsSI

    return PropsSI
