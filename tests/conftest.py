"""How much the random tests try: few and always the same by default, many and new under `make long`."""

from __future__ import annotations

import os

from hypothesis import settings

from tests.support.workshops import kim, lou, own_postgresql, postgresql, store, where

__all__ = ["kim", "lou", "own_postgresql", "postgresql", "store", "where"]

settings.register_profile("default", derandomize=True, deadline=None, max_examples=60)
settings.register_profile("long", derandomize=False, deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("SAGWRIGHT_HYPOTHESIS", "default"))
