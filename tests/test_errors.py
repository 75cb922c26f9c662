"""Every kind of error has its answers: an exit code, and a status code as [rfc-9110] 15 means it."""

from __future__ import annotations

import pytest

from sagwright.errors import (
    ANSWERS,
    Conflict,
    Defect,
    NotAllowed,
    NotNow,
    NotThere,
    OutOfRange,
    RecordError,
    SagwrightError,
    StoreFailed,
    exit_code,
    status_code,
)


@pytest.mark.parametrize(
    ("error", "code", "status"),
    [
        (OutOfRange("must be given"), 2, 422),
        (RecordError("cannot"), 2, 400),
        (NotThere("no such job"), 2, 404),
        (NotNow("not yet"), 1, 409),
        (Conflict("too late"), 1, 409),
        (StoreFailed("full"), 2, 503),
        (NotAllowed("no"), 1, 403),
        (Defect("ours"), 3, 500),
    ],
)
def test_answers(error: SagwrightError, code: int, status: int) -> None:
    assert (exit_code(error), status_code(error)) == (code, status)


def test_every_kind_has_an_answer() -> None:
    def kinds(of: type[SagwrightError]) -> set[type[SagwrightError]]:
        return {of}.union(*(kinds(one) for one in of.__subclasses__()))

    bare = [kind for kind in kinds(SagwrightError) - {SagwrightError} if not set(kind.__mro__) & ANSWERS.keys()]
    assert not bare


def test_a_record_error_says_what_and_what_next() -> None:
    error = NotNow("The job waits for parts.", remedy="Resume it first.")
    assert str(error) == "The job waits for parts. Resume it first."
