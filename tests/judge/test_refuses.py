"""What the judge refuses: for every rule a sequence that only this rule stands in the way of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.item import (
    Act,
    Caution,
    ChargeStage,
    Fluid,
    Item,
    Press,
    Record,
    Role,
    Signal,
    ThreadState,
    Tool,
    Torque,
)
from sagwright.domain.step import WorkStop
from sagwright.domain.value import Value
from sagwright.judge import RULES
from sagwright.planning.progress.recheck import break_step, rechecks, verdict_step
from tests.support.coil_forks import COIL, CoilBench, coil_bench, forgetful_coil
from tests.support.forks import careless, off_and_on, work
from tests.support.sequences import (
    RIDING,
    SECOND,
    SHAFT,
    STACK,
    STACK_WORK,
    Bench,
    Steps,
    after,
    before,
    plain,
    shaft_bench,
    stack_bench,
    twice,
    two_valves,
    two_valves_order,
    untouched,
    whole,
    without,
)

Case = tuple[Bench, Steps, str | None]


def stack() -> Bench:
    return stack_bench()


def bare() -> Bench:
    """The same fork by a sheet that forgot its cover relation, so that only the interlocks are left."""
    bench = stack_bench()
    return replace(bench, sheet=careless(bench.sheet))


def after_the_lowers() -> Bench:
    return stack_bench(None)


def holding() -> Bench:
    return stack_bench(ChargeStage.ASSEMBLY)


def curing() -> Bench:
    """The same fork with threadlocker at one foot."""
    bench = stack_bench()
    foot = bench.sheet.item("damper_foot_fastener")
    works = tuple((act, replace(how, waiting=Value(1800.0)) if act is Act.ON else how) for act, how in foot.works)
    items = tuple(replace(foot, works=works) if item is foot else item for item in bench.sheet.items)
    return replace(bench, sheet=replace(bench.sheet, items=items))


COMPOUND = Torque(Value(7.0), ThreadState.COMPOUND)
GLUED = replace(work(torque=COMPOUND, fluid=Fluid("threadlocker")), waiting=Value(1800.0))
CURED = {"cycle__air_charge": {"idle": 1800.0}, "on__rebound_knob": {"idle": 1800.0}}


def with_item(bench: Bench, item: Item) -> Bench:
    """The fork with one more item, or another in the place of one."""
    others = tuple(one for one in bench.sheet.items if one.key != item.key)
    return replace(bench, sheet=replace(bench.sheet, items=(*others, item)))


def glued(**more: object) -> Bench:
    """The fork with threadlocker at the foot of its damper."""
    bench = stack_bench()
    foot = bench.sheet.item("damper_foot_fastener")
    on = replace(GLUED, **more)  # type: ignore[arg-type]
    return with_item(bench, replace(foot, works=tuple((act, on if act is Act.ON else how) for act, how in foot.works)))


def floating() -> Bench:
    """The fork with gas of its own, by an author who wrote down how to let it out."""
    return with_item(stack_bench(), Item("gas", "gas", (), off_and_on(), Role.GAS_CHAMBER))


def reading(role: Role, **more: object) -> Item:
    """Something that is measured on the shut unit."""
    how = replace(work(records=(Record("half", "read"),)), **more)  # type: ignore[arg-type]
    return Item("half_travel", "half travel", (), ((Act.MEASURE, how),), role)


def pressed() -> Bench:
    """An untouched fork that is pressed in to half its travel."""
    warning = (Caution(Signal.WARNING, "Stay out of line."),)
    press = Press(0.5, Value(2e6))
    return with_item(
        untouched(),
        reading(Role.CHARGED_READING, press=press, cautions=warning, tools=(Tool("rated strap"),)),
    )


def press_steps(**more: object) -> Steps:
    bench = pressed()
    (item,) = bench.sheet.having(Role.CHARGED_READING)
    how = item.works[0][1]
    step = replace(
        plain("measure:half_travel", Act.MEASURE, item, how),
        cautions=how.cautions,
        press=how.press,
        pressure_gauge=1e6,
    )
    first, last = bench.steps(("off:readings", "on:readings"))
    return first, replace(step, **more), last  # type: ignore[arg-type]


def rested(number: int = 12, **more: object) -> Steps:
    """A break after so many steps, and everything checked again."""
    bench = stack()
    steps = bench.steps(STACK)
    done = steps[:number]
    proofs = rechecks(bench.sheet, done, 1)
    pause = replace(break_step(bench.sheet, 1), **more)  # type: ignore[arg-type]
    return (*done, pause, *proofs, *steps[number:])


def found(key: str, *, failed: str, ends: bool = True, goes_on: bool = False) -> Steps:
    """The work up to a step that finds something, its verdict, and perhaps what follows all the same."""
    bench = stack()
    steps = bench.steps(STACK)
    place = STACK.index(key)
    stopped = (*steps[:place], replace(steps[place], failed=(failed,)))
    verdict = verdict_step(bench.sheet, [WorkStop(failed, "Found.", None)])
    return (*stopped, *((verdict,) if ends else ()), *(steps[place + 1 : place + 2] if goes_on else ()))


def stuck_down_and_gone_on() -> Steps:
    """The unit does not move both ways, and a knob comes off all the same before it is put right."""
    bench = stack()
    order = STACK[: STACK.index("off:air_charge") + 1]
    steps = bench.steps(order)
    verdict = verdict_step(bench.sheet, [WorkStop("moves_freely", "Found.", None)])
    return (*steps[:-1], replace(steps[-1], failed=("moves_freely",)), bench.step("inspect:air_shaft"), verdict)


def gone_on_over(key: str, failed: str) -> Steps:
    """A finding that ends the work, work, and the verdict."""
    *steps, verdict = found(key, failed=failed)
    following = stack().step(STACK[STACK.index(key) + 1])
    return (*steps, following, verdict)


def glued_and_proven(**more: object) -> Steps:
    """A break after the glued foot has cured, and its proof with something else in it."""
    bench = glued()
    steps = bench.steps(STACK, **CURED)
    place = STACK.index("on:damper_foot_fastener") + 1
    proofs = rechecks(bench.sheet, steps[:place], 1)
    proven = (replace(p, **more) if p.item == "damper_foot_fastener" else p for p in proofs)  # type: ignore[arg-type]
    return (*steps[:place], break_step(bench.sheet, 1), *proven, *steps[place:])


def turned_wrong() -> CoilBench:
    """A coil fork whose preload step says twice what it turns to: it ends at the target all the same."""
    return coil_bench()


CASES: dict[str, Callable[[], Case]] = {
    "absent": lambda: (stack(), stack().steps(twice(STACK, "off:lowers")), "off:lowers"),
    "covered": lambda: (
        stack(),
        stack().steps(before(STACK, "off:adjusters", "off:rebound_knob")),
        "off:rebound_knob",
    ),
    "uncovered": lambda: (stack(), stack().steps(after(STACK, "on:adjusters", "on:rebound_knob")), "on:adjusters"),
    "extra-order": lambda: (
        shaft_bench(),
        shaft_bench().steps(after(SHAFT, "check:seal_head", "on:air_cap")),
        "on:seal_head",
    ),
    "confirmed-empty": lambda: (bare(), bare().steps(before(STACK, "off:air_charge", "off:air_cap")), "off:air_cap"),
    "feet-ready": lambda: (
        bare(),
        bare().steps(after(STACK, "off:damper_foot_fastener", "off:rebound_knob")),
        "off:spring_foot_fastener",
    ),
    "seat-free": lambda: (bare(), bare().steps(before(STACK, "off:damper_foot_seat", "off:lowers")), "off:lowers"),
    "oil-part-way": lambda: (
        bare(),
        bare().steps(before(STACK, "on:lowers", "on:spring_lower_leg_oil")),
        "on:spring_lower_leg_oil",
    ),
    "retainer-checked": lambda: (stack(), stack().steps(after(STACK, RIDING, "check:air_retaining_ring")), RIDING),
    "closed": lambda: (stack(), stack().steps(after(STACK, RIDING, "on:air_cap")), RIDING),
    "charge-before-lowers": lambda: (
        holding(),
        holding().steps(
            whole(STACK_WORK, ChargeStage.ASSEMBLY), charge__assembly__air_charge={"pressure_gauge": 500e3}
        ),
        "on:lowers",
    ),
    "feet-first": lambda: (
        after_the_lowers(),
        after_the_lowers().steps(before(whole(STACK_WORK, None), "on:damper_foot_fastener", RIDING)),
        RIDING,
    ),
    "cycled": lambda: (stack(), stack().steps(without(STACK, "cycle:air_charge")), "charge:final:air_charge"),
    "inspected": lambda: (stack(), stack().steps(without(STACK, "inspect:air_shaft")), "on:air_shaft"),
    "renewed": lambda: (
        stack(),
        stack().steps(STACK, on__spring_foot_fastener={"renew": ()}),
        "on:spring_foot_fastener",
    ),
    "torque-state": lambda: (stack(), stack().steps(STACK, on__air_cap={"torque": None}), "on:air_cap"),
    "hold-point": lambda: (stack(), stack().steps(STACK, off__adjusters={"hold_point": False}), "off:adjusters"),
    "fluid": lambda: (
        stack(),
        stack().steps(STACK, on__spring_lower_leg_oil={"fluid": Fluid("lower-leg oil")}),
        "on:spring_lower_leg_oil",
    ),
    "cured": lambda: (
        curing(),
        curing().steps(STACK, on__damper_foot_fastener={"waiting": Value(600.0)}, **CURED),
        "on:damper_foot_fastener",
    ),
    "settled": lambda: (
        stack(),
        stack().steps(STACK, change__travel_spacers={"records": ()}),
        "change:travel_spacers",
    ),
    "valve-order": lambda: (two_valves(), two_valves().steps(after(two_valves_order(), RIDING, SECOND)), RIDING),
    "readings-first": lambda: (
        bare(),
        bare().steps(before(STACK, "off:readings", "off:adjusters")),
        "off:adjusters",
    ),
    "final-readings-last": lambda: (bare(), bare().steps(after(STACK, "on:readings", "on:adjusters")), "on:readings"),
    "complete": lambda: (bare(), bare().steps(without(STACK, "on:rebound_knob")), None),
    "target": lambda: (
        stack(),
        stack().steps(without(STACK, "off:air_cap", "change:volume_spacers", "on:air_cap")),
        None,
    ),
    "final-charge": lambda: (
        stack(),
        stack().steps(STACK, charge__final__air_charge={"pressure_gauge": 500e3}),
        None,
    ),
    "final-readings": lambda: (stack(), stack().steps(without(STACK, "on:readings")), None),
    "stuck-down": lambda: (stack(), stuck_down_and_gone_on(), "inspect:air_shaft"),
    "verdict": lambda: (stack(), gone_on_over("inspect:air_shaft", "coating"), "change:travel_spacers"),
    "signed": lambda: (
        stack(),
        (*(s := found("off:air_charge", failed="moves_freely"))[:-1], replace(s[-1], records=())),
        "verdict:moves_freely",
    ),
    "ended": lambda: (stack(), found("on:readings", failed="exposed_change", ends=False), None),
    "tagged": lambda: (stack(), rested(records=()), "break:1"),
    "rechecked": lambda: (
        stack(),
        tuple(step for step in rested() if step.key != "measure:again:air_charge"),
        STACK[12],
    ),
    "gas-chamber": lambda: (
        floating(),
        floating().steps(after(STACK, "off:air_charge", "off:gas", "on:gas")),
        "off:gas",
    ),
    "retaining-ring": lambda: (
        stack(),
        stack().steps(STACK, on__air_retaining_ring={"tools": ()}),
        "on:air_retaining_ring",
    ),
    "reading-state": lambda: (
        with_item(stack(), reading(Role.EMPTY_READING)),
        with_item(stack(), reading(Role.EMPTY_READING)).steps(after(STACK, "off:readings", "measure:half_travel")),
        "measure:half_travel",
    ),
    "pressing": lambda: (pressed(), press_steps(pressure_gauge=1.7e6), "measure:half_travel"),
    "cure-before-load": lambda: (glued(), glued().steps(STACK), "on:rebound_knob"),
    "torque-once": lambda: (
        glued(),
        glued_and_proven(torque=COMPOUND),
        "measure:again:damper_foot_fastener",
    ),
    "torque-wet": lambda: (
        glued(fluid=None),
        glued(fluid=None).steps(STACK, **CURED),
        "on:damper_foot_fastener",
    ),
    "spring-relaxed": lambda: (
        forgetful_coil(),
        forgetful_coil().steps(before(COIL, "off:preload", "off:spring_cap")),
        "off:spring_cap",
    ),
    "spring-out": lambda: (
        forgetful_coil(),
        forgetful_coil().steps(before(COIL, "off:coil", "off:spring_retaining_ring")),
        "off:spring_retaining_ring",
    ),
    "preload-set": lambda: (
        turned_wrong(),
        turned_wrong().steps(COIL, on__preload={"changes": (*turned_wrong().steps(["on:preload"])[0].changes,) * 2}),
        "on:preload",
    ),
}


def test_every_rule_has_a_case() -> None:
    assert set(CASES) == set(RULES)


@pytest.mark.parametrize("rule", RULES)
def test_only_this_rule_refuses_it(rule: str) -> None:
    bench, steps, step = CASES[rule]()
    bench.only(rule, step, steps)


def test_a_torque_for_another_thread_state_is_refused() -> None:
    bench = stack()
    torque = bench.sheet.item("air_cap").works[1][1].torque
    assert torque is not None
    dry = replace(torque, state=ThreadState.DRY)
    bench.only("torque-state", "on:air_cap", bench.steps(STACK, on__air_cap={"torque": dry}))


def test_lowers_over_a_retaining_ring_that_was_not_proven_are_refused_even_without_air() -> None:
    bench, order = after_the_lowers(), whole(STACK_WORK, None)
    late = bench.steps(after(order, "on:lowers", "check:air_retaining_ring"))
    bench.only("retainer-checked", "on:lowers", late)


def test_a_gauge_at_zero_without_its_proof_is_refused() -> None:
    bench = stack()
    bench.only("hold-point", "off:air_charge", bench.steps(STACK, off__air_charge={"records": ()}))


@pytest.mark.parametrize("stage", [None, ChargeStage.ASSEMBLY])
def test_another_charge_before_the_lowers_than_the_sheets_is_refused(stage: ChargeStage | None) -> None:
    bench = stack_bench(stage)
    refusal = bench.verdict(bench.steps(whole(STACK_WORK, ChargeStage.RIDING)))
    assert refusal is not None
    assert refusal.rule in {"charge-before-lowers", "feet-first"}


@pytest.mark.parametrize(
    ("order", "rule"),
    [
        (two_valves_order(), ""),
        (without(two_valves_order(), "off:second_charge"), "confirmed-empty"),
        (before(two_valves_order(), "off:air_charge", "off:second_charge"), "valve-order"),
        (without(two_valves_order(), SECOND), "valve-order"),
        (before(two_valves_order(), "on:lowers", SECOND), "feet-first"),
    ],
)
def test_a_second_chamber_has_its_own_proof_and_place(order: tuple[str, ...], rule: str) -> None:
    refusal = two_valves().verdict(two_valves().steps(order))
    assert (refusal.rule if refusal else "") == rule


def test_every_reason_says_what_hurts() -> None:
    assert all("because" in rule.reason and rule.reason.endswith(".") for rule in RULES.values())


@given(st.lists(st.sampled_from(STACK), max_size=40))
def test_any_sequence_gets_an_answer(order: list[str]) -> None:
    refusal = stack().verdict(stack().steps(order))
    assert refusal is None or refusal.rule in RULES


@given(st.permutations(STACK))
def test_a_shuffled_sequence_is_refused_unless_it_is_in_order(order: list[str]) -> None:
    refusal = stack().verdict(stack().steps(order))
    place = {key: number for number, key in enumerate(order)}
    in_order = place["off:readings"] == 0 and place["off:air_charge"] < place["off:air_cap"]
    assert refusal is not None or in_order
