"""Random coil forks and intakes of them, and an intake for every finding about a coil."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from sagwright.domain.coil_spring import CoilOnOffer, CoilSpring, PreloadStack, WoundCoil
from sagwright.domain.intake import Aim, AimKind, AsFound, Intake, Rider, UnitIdentity, Wish
from sagwright.domain.setup import CoilFitting, Setup, TopOutSetting, coil_setup
from sagwright.domain.sheet import Chassis, Sheet, TopOutSpacers
from sagwright.domain.value import Unknown
from tests.support.intakes import intakes, shipped, value

STEEL = "oil-hardened wire to EN 10270-2"


def coil_sheet() -> Sheet:
    """The demo fork with a coil and spacers under its top-out."""
    return shipped("specimen/c38")


def spring() -> CoilSpring:
    """Its spring."""
    return coil_sheet().coil


def fitted(
    coil: str | Unknown = "medium", spacers: int | Unknown = 3, adjuster: float | Unknown = 0.004
) -> CoilFitting:
    """What stands in it."""
    return CoilFitting(coil, spacers, adjuster)


def coil_intake(
    sheet: Sheet,
    *,
    top_out: int | Unknown = 0,
    fitting: CoilFitting | None = None,
    travel: float = 0.15,
    **more: object,
) -> Intake:
    """An intake of a coil fork, with an 82 kg rider unless told otherwise."""
    chassis = sheet.chassis[0].name
    setup = coil_setup(chassis, TopOutSetting(top_out), fitting or fitted())
    intake = Intake(
        name="test",
        sheet=sheet,
        unit=UnitIdentity("0", chassis),
        as_found=AsFound(setup, Unknown.NOT_MEASURED),
        wish=Wish(value(travel)),
        rider=Rider(value(82.0), value(5.0), value(0.4, 0.05)),
    )
    return replace(intake, **more)  # type: ignore[arg-type]


def with_spring(**parts: object) -> Sheet:
    """The demo fork with something about its spring otherwise."""
    return replace(coil_sheet(), spring=replace(spring(), **parts))  # type: ignore[arg-type]


def only_coil(**made: object) -> Sheet:
    """The demo fork with one coil, medium, made otherwise."""
    medium = spring().named("medium")
    return with_spring(coils=(replace(medium, wound=replace(medium.wound, **made)),))  # type: ignore[type-var]


def pinned(intake: Intake, **wish: object) -> Intake:
    return replace(intake, wish=replace(intake.wish, **wish))  # type: ignore[arg-type]


def stressed() -> Sheet:
    """A coil of a wire whose strength is known, and too thin for its stroke."""
    thin = WoundCoil(value(0.0046), value(0.028), value(24.0), value(0.382), "chrome-silicon wire")
    return with_spring(coils=(CoilOnOffer("medium", value(9e3), thin),))


def rate_only() -> Sheet:
    return with_spring(coils=(CoilOnOffer("medium", value(9e3), None, value(0.382)),))


DEFAULT = coil_intake(coil_sheet())
COIL_CASES: dict[str, Intake] = {
    "coil.none-fits": coil_intake(only_coil(free_length=value(0.30))),
    "target.coil-unfit": pinned(DEFAULT, preload_spacers=0, coil="medium", travel=value(0.17)),
    "found.top-out-spacers-too-many": coil_intake(coil_sheet(), top_out=4),
    "found.preload-spacers-too-many": coil_intake(coil_sheet(), fitting=fitted(spacers=5)),
    "found.preload-over": coil_intake(coil_sheet(), fitting=fitted(adjuster=0.012)),
    "found.preload-unknown": coil_intake(coil_sheet(), fitting=fitted(adjuster=Unknown.NOT_MEASURED)),
    "found.coil-loose": coil_intake(coil_sheet(), fitting=fitted(spacers=1)),
    "found.coil-bound": coil_intake(only_coil(turns=value(40.0)), fitting=fitted(spacers=4)),
    "found.coil-presses-cap": DEFAULT,
    "coil.aim-out-of-reach": pinned(DEFAULT, aim=Aim(AimKind.SAG, sag_fraction=0.5)),
    "coil.solid-unknown": coil_intake(rate_only()),
    "coil.near-solid": coil_intake(only_coil(turns=value(42.0)), fitting=fitted(spacers=1), top_out=2),
    "coil.overstressed": coil_intake(stressed()),
    "coil.bows-out": coil_intake(with_spring(guided=False)),
    "coil.stack-gives": DEFAULT,
    "coil.stack-takes": coil_intake(coil_sheet(), top_out=2, fitting=fitted(spacers=1), travel=0.17),
}


@st.composite
def coil_sheets(draw: st.DrawFn) -> Sheet:
    """The demo fork with its coils, stack, spacers and travels drawn anew; every travel has a coil that fits."""
    height = draw(st.sampled_from([0.005, 0.010]))
    most = draw(st.integers(1, 4))
    longest = draw(st.integers(14, 20)) * 0.01
    steps = draw(st.integers(0, most))
    travels = tuple(round(longest - n * height, 6) for n in range(steps, -1, -1))
    seats = draw(st.floats(0.20, 0.26))
    stack = PreloadStack(value(height, 1e-4), most + 1, value(draw(st.floats(0.005, 0.015))), value(0.001))
    free = seats + longest - height * draw(st.floats(0.2, 1.0))
    coils = tuple(
        CoilOnOffer(
            f"coil_{n}", value(rate, 100.0), WoundCoil(value(0.005), value(0.028), value(28.0), value(free), STEEL)
        )
        for n, rate in enumerate(draw(st.lists(st.floats(6e3, 12e3), min_size=1, max_size=4, unique=True)))
    )
    made = CoilSpring(coils, value(seats, 2e-4), value(0.0344), value(0.012), stack)
    return replace(
        coil_sheet(),
        spring=made,
        mechanism=TopOutSpacers(value(height), most),
        chassis=(Chassis("standard", value(longest, 5e-4), travels),),
        damper=replace(coil_sheet().damper, stroke=None),
    )


@st.composite
def coil_intakes(draw: st.DrawFn, *, wrong: bool = True, unknown: bool = True) -> Intake:
    """An intake of a random coil fork: as found any state that can exist, the wish one that is permitted."""
    sheet = draw(coil_sheets())
    made, mechanism = sheet.coil, sheet.mechanism
    assert isinstance(mechanism, TopOutSpacers)
    fitting_stack = round((sheet.chassis[0].longest.si - sheet.chassis[0].travels[0]) / mechanism.height.si)
    top_out: int | Unknown = draw(st.integers(0, mechanism.most if wrong else fitting_stack))
    name: str | Unknown = draw(st.sampled_from(made.coils)).name
    spacers: int | Unknown = draw(st.integers(0, made.stack.most))
    adjuster: float | Unknown = draw(st.floats(0.0, made.stack.range.si))
    if unknown:
        top_out = draw(st.sampled_from([top_out, Unknown.UNTIL_OPEN]))
        name = draw(st.sampled_from([name, Unknown.UNTIL_OPEN]))
        spacers = draw(st.sampled_from([spacers, Unknown.UNTIL_OPEN]))
        adjuster = draw(st.sampled_from([adjuster, Unknown.NOT_MEASURED]))
    aims = [None, Aim(AimKind.SAG, sag_fraction=draw(st.floats(0.1, 0.3))), Aim(AimKind.CAPACITY, capacity=140.0)]
    return coil_intake(
        sheet,
        top_out=top_out,
        fitting=CoilFitting(name, spacers, adjuster),
        travel=draw(st.sampled_from(sheet.chassis[0].travels)),
        load=value(draw(st.floats(200, 500)), 10.0),
        wish=Wish(value(draw(st.sampled_from(sheet.chassis[0].travels))), draw(st.sampled_from(aims))),
    )


def any_intakes(*, wrong: bool = True, unknown: bool = True) -> st.SearchStrategy[Intake]:
    """An intake of an air fork or of a coil fork."""
    return st.one_of(intakes(wrong=wrong, unknown=unknown), coil_intakes(wrong=wrong, unknown=unknown))


def built(top_out: int, coil: str, spacers: int, adjuster: float) -> Setup:
    """A setup of the demo fork."""
    return coil_setup("standard", TopOutSetting(top_out), CoilFitting(coil, spacers, adjuster))
