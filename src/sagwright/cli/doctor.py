"""`sagwright doctor`."""

from __future__ import annotations

import click

from sagwright.cli.workshop import as_json, opened, place_of, progress, workshop


@click.command()
@click.option("--mend", is_flag=True, help="First make every job's row again from its entries, which stay as they are.")
@workshop
@as_json
def doctor(*, mend: bool, workshop: str | None, as_json: bool) -> int:
    """See whether the records are safe and whole, and what to do if not.

    Answers 1 if something is bad. Nothing is changed without --mend.
    """
    from sagwright.cli.records_page import tell_checks
    from sagwright.service.workshop.maintenance import Grade, examine
    from sagwright.service.workshop.maintenance import mend as mended

    if mend:
        with opened(workshop) as store:
            mended(store)
    with progress("doctor") as tell:
        checks = tuple(examine(place_of(workshop), tell=tell))
    tell_checks(checks, as_json=as_json)
    return 1 if any(check.grade is Grade.BAD for check in checks) else 0
