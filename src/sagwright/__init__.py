"""Plans work on bicycle suspension: what a change will do, what it needs, and in which order to do it.

>>> import sagwright
>>> intake = sagwright.load_intake("examples/shorten-t35.yaml")
>>> plan = sagwright.plan(intake)
>>> plan.refused
False
>>> text = sagwright.to_json(plan)

Every name but `__version__` is loaded when it is first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from sagwright.version import __version__

if TYPE_CHECKING:
    from sagwright.formats.bike.load import load_bike
    from sagwright.formats.fields.tasks import read_task
    from sagwright.formats.intake.load import load_intake
    from sagwright.formats.output.plan import plan_to_json as to_json
    from sagwright.formats.sheet.load import load_sheet
    from sagwright.service.calculators import compare_curves as curve
    from sagwright.service.calculators import stance_of_forks as stance
    from sagwright.service.plan import plan, replan, sequence

__all__ = [
    "__version__",
    "curve",
    "load_bike",
    "load_intake",
    "load_sheet",
    "plan",
    "read_task",
    "replan",
    "sequence",
    "stance",
    "to_json",
]

_HOMES = {
    "curve": ("sagwright.service.calculators", "compare_curves"),
    "load_bike": ("sagwright.formats.bike.load", "load_bike"),
    "load_intake": ("sagwright.formats.intake.load", "load_intake"),
    "load_sheet": ("sagwright.formats.sheet.load", "load_sheet"),
    "plan": ("sagwright.service.plan", "plan"),
    "read_task": ("sagwright.formats.fields.tasks", "read_task"),
    "replan": ("sagwright.service.plan", "replan"),
    "sequence": ("sagwright.service.plan", "sequence"),
    "stance": ("sagwright.service.calculators", "stance_of_forks"),
    "to_json": ("sagwright.formats.output.plan", "plan_to_json"),
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, original = _HOMES[name]
    found: object = getattr(import_module(module), original)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted(set(globals()) | set(__all__))
