"""How much a search has looked at, and when it is enough."""

from __future__ import annotations

from sagwright.planning.search.actions import Limit

ASK_EVERY = 256


class SpentError(Exception):
    """The limit of a search is reached; never leaves this package."""


class Effort:
    """Counts states against a limit."""

    def __init__(self, limit: Limit) -> None:
        self.limit = limit
        self.states = 0

    def one_more(self) -> None:
        """Count a state.

        Raises
        ------
        SpentError
            If the limit is reached.
        """
        self.states += 1
        if self.states > self.limit.states:
            raise SpentError
        if self.limit.stop is not None and self.states % ASK_EVERY == 0 and self.limit.stop():
            raise SpentError
