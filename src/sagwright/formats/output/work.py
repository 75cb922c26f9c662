"""Work as JSON, a part of the shape "plan/1": setups, steps, tools and parts, the order.

The order of an earlier sequence is read back from its JSON.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from sagwright.domain.item import Record, Torque
from sagwright.domain.setup import Setup
from sagwright.domain.step import Sequence, Step
from sagwright.domain.value import Figure, Quantity, Unknown, Value
from sagwright.domain.work import Work
from sagwright.errors import UnreadableFile
from sagwright.formats.codec import Codec, Coder, Misfit, Object, Row
from sagwright.formats.json_text import Json

LARGEST: Final = 4_000_000  # bytes; a plan of hundreds of steps is a tenth of it


def gauge_key(key: str, quantity: Json) -> str:
    """A key, which for a pressure says that it is read on a gauge."""
    return f"{key}_gauge" if quantity == Quantity.PRESSURE else key


def with_needs(shape: Object) -> Object:
    """Work with the tasks that need a step in the step."""
    needed = shape.pop("needed_by")
    return shape | {"steps": [step | {"needed_by": needed.get(step["key"], [])} for step in shape["steps"]]}


def without_needs(shape: Object) -> Object:
    """Work with the tasks that need a step beside the steps."""
    needed = {step["key"]: step["needed_by"] for step in shape["steps"]}
    steps = [{key: value for key, value in step.items() if key != "needed_by"} for step in shape["steps"]]
    return shape | {"steps": steps, "needed_by": needed}


def _one_spring(shape: Object) -> Object:
    """A build with what its own kind of spring has."""
    return {key: value for key, value in shape.items() if "coil" not in shape or key not in _OF_AIR}


def _both_springs(shape: Object) -> Object:
    return _OF_AIR | shape if "coil" in shape else shape


def _limits_gauge(shape: Object) -> Object:
    return {gauge_key(key, key in _LIMITS and shape["quantity"]): value for key, value in shape.items()}


def _limits(shape: Object) -> Object:
    return {"in_words": False} | {key.removesuffix("_gauge"): value for key, value in shape.items()}


def _unknown(shape: Json) -> Unknown:
    known = {one.value.removeprefix("unknown "): one for one in Unknown}
    if not isinstance(shape, dict) or shape.keys() != {"unknown"} or shape["unknown"] not in known:
        raise Misfit("must say what is not known")
    return known[shape["unknown"]]


_LIMITS: Final = {"low", "high"}
_OF_AIR: Final[Object] = {"volume_spacers": 0, "charge": {"unknown": Unknown.NOT_MEASURED.value}}
_BARE: Final = Codec(
    {
        Value: Row("si=value u origin"),
        Figure: Row("value u quantity"),
        Record: Row(to_json=_limits_gauge, from_json=_limits),
    },
    bare=True,
)
ROWS: Final[dict[Any, Row | Coder]] = {
    **{kind: _BARE.coder(kind) for kind in (Value, Figure, Record)},
    Unknown: Coder(lambda value: {"unknown": value.value.removeprefix("unknown ")}, _unknown),
    Setup: Row(
        "chassis setting volume_spacers charge fitting legs",
        inline="setting fitting",
        to_json=_one_spring,
        from_json=_both_springs,
    ),
    Torque: Row("value=torque state=thread_state hand=thread_hand"),
    Step: Row(
        "key act item name do position minutes=time needs tools torque fluid cautions hold_point records waiting"
        " changes stage pressure_gauge renew inspect idle press rules"
    ),
    Sequence: Row("optimal cost bound idle idle_bound tool_changes position_changes tool_price position_price"),
    Work: Row("sheet chassis tasks changes tools_and_parts steps done stops sequence needed_by", to_json=with_needs),
    (Work, "done"): Coder(lambda steps: [step.key for step in steps]),
}


def earlier_order(path: str) -> tuple[str, ...]:
    """The keys of the steps in a file of shape "plan/1", in their order.

    Raises
    ------
    UnreadableFile
        If it cannot be read as one.
    """
    try:
        if Path(path).stat().st_size > LARGEST:
            raise UnreadableFile("must be smaller than 4 MB", file=path)
        read = json.loads(Path(path).read_text("utf-8"))
        return tuple(str(step["key"]) for step in read["steps"])
    except FileNotFoundError as error:
        raise UnreadableFile("must be given", file=path, remedy="Check the path; nothing has that name.") from error
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        remedy = "Give a file that `sagwright steps --json` or `sagwright plan --json` wrote."
        raise UnreadableFile("must hold the steps of an earlier order", file=path, remedy=remedy) from error
