"""`sagwright job`: the group of what happens to a job, in the order in which it happens."""

from __future__ import annotations

from collections.abc import Iterable

import click

from sagwright.cli import job_bench, job_choose, job_correct, job_ends, job_look, job_new


class InOrder(click.Group):
    """Lists its commands as they were added."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Their names."""
        return list(self.commands)


@click.group(cls=InOrder)
def job() -> None:
    """Take units in, choose, work and prove; find and show what was recorded.

    A JOB is its short number or its id. What is handed in twice under one --id is recorded once, so a
    script may try again. Entries are added and never changed; a correction names what it corrects.
    """


def _add(commands: Iterable[click.Command]) -> None:
    for command in commands:
        job.add_command(command)


_add((job_new.new, job_look.show, job_look.list_, job_look.search, job_look.photo))
_add((job_choose.choose, job_choose.settle, job_choose.answer))
_add((job_bench.prepare, job_bench.start, job_bench.go_on, job_bench.pass_on))
_add((job_bench.record, job_bench.find, job_correct.correct))
_add((job_ends.wait, job_ends.resume, job_ends.prove, job_ends.hand_over, job_ends.refuse, job_ends.promise))
_add((job_ends.note,))
