"""A plan as JSON, shape "plan/1": SI throughout, every number {"value", "u"}, angles rad, temperatures K.

Keys that carry a pressure end in _gauge or _abs. A value nobody has yet is {"unknown": "until open"}. The same plan
gives the same bytes. Of the sheet and the bike it has the names; what they are is stored beside it. A plan of tasks
alone has no intake, and nothing that was chosen by one: it says itself which chassis and tasks it is for.
"""

from __future__ import annotations

from typing import Any, Final

from sagwright.domain.behaviour import Noticeable, Option, SpringView
from sagwright.domain.intake import Aim, Intake, Wish
from sagwright.domain.plan import Plan
from sagwright.domain.sheet import Sheet
from sagwright.formats.codec import Codec, Coder, Row
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.output.stance import ROWS as OF_STANCE

PLAN_SHAPE: Final = "plan/1"
KEYS: Final = (
    "shape program intake sheet chassis tasks findings options target changes tools_and_parts steps sequence spring"
    " cautions stance done stops reassembly"
)
IN_INTAKE: Final = {"chassis", "tasks"}
"""Keys of the work that the intake says, where there is one."""

ROWS: Final[dict[Any, Row | Coder]] = OF_STANCE | {
    Sheet: Row("name maker model revision base"),
    Intake: Row(
        "name unit as_found rider load front_scale bike technician answers wish tasks workshop",
    ),
    Wish: Row(
        "travel aim travel_spacers volume_spacers coil preload_spacers pressure_gauge negative_gauge second_gauge"
        " adjuster",
        sparse="negative_gauge second_gauge adjuster",
    ),
    Aim: Row(sparse="sag_fraction sag capacity"),
    Option: Row(
        "setup travel pressure_gauge preload behaviour mismatch mismatch_low as_found=as_found_pressure at_limit "
        "permitted"
    ),
    Noticeable: Row("sag=sag_fraction breakaway relative"),
    SpringView: Row(
        "load aim slow_exponent stroke_exponent ideal_error noticeable as_found as_found_curve as_found_friction"
        " target_friction as_found_preload sag_tells=sag_tells_gauge target target_curve"
    ),
    Plan: Row(inline="work selection"),
}
CODEC: Final = Codec(ROWS)


def plan_to_json(plan: Plan) -> str:
    """The plan as JSON text with a newline at its end."""
    return dump_json(plan_shape(plan))


def plan_shape(plan: Plan) -> dict[str, Json]:
    """The plan as plain values, keys in the order of the flow."""
    shape = CODEC.encode(plan) | {"shape": PLAN_SHAPE}
    if plan.selection is not None:
        way_back = None if plan.reassembly is None else CODEC.encode(plan.reassembly)
        shape = {key: value for key, value in shape.items() if key not in IN_INTAKE} | {"reassembly": way_back}
    return {key: shape[key] for key in KEYS.split() if key in shape}
