"""The items of a sheet as written → the domain: works, cautions, what is written down and looked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sagwright.domain.item import Act, Caution, Criterion, Fluid, Item, ItemWork, Press, Record, Role, Signal
from sagwright.domain.value import Quantity, Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.faults import Faults
from sagwright.formats.fields.values import read_limits, read_value
from sagwright.formats.sheet.item_shape import CautionShape, CriterionShape, ItemShape, RecordShape, WorkShape
from sagwright.formats.sheet.shape import SheetShape
from sagwright.formats.source.tree import FieldPath


def items_of(shape: SheetShape, faults: Faults) -> Iterator[Item]:
    """Every item, without the charges of chambers that this sheet does not have."""
    there = {
        Role.NEGATIVE_CHARGE: shape.spring is not None and shape.spring.negative.is_there,
        Role.SECOND_CHARGE: shape.spring is not None and shape.spring.second is not None,
    }
    for key, each in shape.items.items():
        if each.role is None or there.get(each.role, True):
            yield _item(key, each, faults)


def _item(key: str, shape: ItemShape, faults: Faults) -> Item:
    path: FieldPath = ("items", key)
    written = [(act, getattr(shape, act.value)) for act in Act if act.value in ItemShape.model_fields]
    return Item(
        key=key,
        name=shape.name,
        covered_by=tuple(shape.covered_by),
        works=tuple((act, _work(work, (*path, act.value), faults)) for act, work in written if work is not None),
        role=shape.role,
        renew=tuple(shape.renew),
        inspect=tuple(
            _criterion(name, each, (*path, "criteria", name), faults) for name, each in shape.criteria.items()
        ),
        after=tuple(shape.after),
        leg=shape.leg or "",
    )


def _work(shape: WorkShape, path: FieldPath, faults: Faults) -> ItemWork:
    return ItemWork(
        do=shape.do,
        position=shape.position,
        minutes=shape.minutes,
        tools=tuple(shape.tools),
        torque=shape.torque,
        fluid=Fluid(shape.fluid.name, shape.fluid.amount) if shape.fluid else None,
        cautions=cautions_of(shape.cautions, (*path, "cautions"), faults),
        hold_point=shape.hold_point,
        records=tuple(_record(key, each, (*path, "record", key), faults) for key, each in shape.record.items()),
        waiting=shape.waiting,
        press=Press(shape.press.share.si, shape.press.gauge_range) if shape.press else None,
    )


def cautions_of(shapes: Iterable[CautionShape], path: FieldPath, faults: Faults) -> tuple[Caution, ...]:
    """The cautions written at a path; one without exactly one signal word is added to the faults."""
    found = []
    for index, shape in enumerate(shapes):
        said = [(signal, getattr(shape, signal.value.lower())) for signal in Signal]
        texts = [Caution(signal, text) for signal, text in said if text is not None]
        if len(texts) != 1:
            wrong = OutOfRange("must have one signal word", remedy="Write danger, warning, caution or notice.")
            faults.add((*path, index), wrong)
        found += texts
    return tuple(found)


def _record(key: str, shape: RecordShape, path: FieldPath, faults: Faults) -> Record:
    low = high = None
    if shape.limits is not None and shape.quantity is None:
        faults.add(
            (*path, "quantity"),
            MissingValue("must be given beside limits", remedy="Like quantity: pressure."),
        )
    elif shape.limits is not None and shape.quantity is not None:
        try:
            low, high = read_limits(shape.limits, shape.quantity)
        except InputError as fault:
            faults.add((*path, "limits"), fault)
    return Record(key, shape.what, shape.quantity, low, high, shape.in_words)


def _criterion(key: str, shape: CriterionShape, path: FieldPath, faults: Faults) -> Criterion:
    value = None
    if (shape.value is None) != (shape.quantity is None):
        missing = "quantity" if shape.quantity is None else "value"
        faults.add((*path, missing), MissingValue("must be given beside the other of quantity and value"))
    elif shape.value is not None and shape.quantity is not None:
        value = _read(shape.value, shape.quantity, (*path, "value"), faults)
    return Criterion(key, shape.look_for, shape.limit, shape.otherwise, value, shape.quantity)


def _read(text: str, quantity: Quantity, path: FieldPath, faults: Faults) -> Value | None:
    try:
        return read_value(text, quantity)
    except InputError as fault:
        faults.add(path, fault)
        return None
