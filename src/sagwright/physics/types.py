"""The types of this layer: a real number, or an array of them."""

from __future__ import annotations

from typing import Any, TypeAlias

from numpy.typing import NDArray

Real: TypeAlias = float | NDArray[Any]
Mask: TypeAlias = bool | NDArray[Any]
