"""The workshop that the tests look at."""

from __future__ import annotations

from sagwright.web.app import create_app
from sagwright.web.guard import Guard
from sagwright.web.shop import Shop
from sagwright.web.warming import warm


def example_site() -> Guard:
    """The application, as it is served."""
    return create_app(Shop(), warm=warm)
