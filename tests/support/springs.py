"""Random springs for the laws of the gas spring."""

from __future__ import annotations

from hypothesis import strategies as st

from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import R_AIR
from sagwright.physics.spring import Chamber, GasState, Port, Spring

TEMPERATURE = 293.15


@st.composite
def charged_springs(draw: st.DrawFn, *, ports: int = 1) -> tuple[Spring, GasState]:
    """A spring of two to five chambers, the outward ones smaller (a shaft is in them), ports anywhere, and its gas."""
    travel = draw(st.floats(0.08, 0.2))
    inward = draw(st.integers(1, 3))
    outward = draw(st.integers(1, 2))
    chambers = [
        Chamber(f"in {k}", slope * travel * draw(st.floats(1.3, 3.0)), -slope)
        for k, slope in enumerate(draw(st.lists(areas(), min_size=inward, max_size=inward)))
    ]
    least = min(-chamber.slope for chamber in chambers)
    shares = draw(st.lists(st.floats(0.3, 0.95), min_size=outward, max_size=outward))
    chambers += [
        Chamber(f"out {k}", share * least * travel * draw(st.floats(0.2, 1.0)), share * least)
        for k, share in enumerate(shares)
    ]
    openings = [draw(openings_in(len(chambers), travel)) for _ in range(ports)]
    stops = (LinearBumper(0.003, draw(st.floats(0, 2e4)), -1), LinearBumper(travel - 0.01, draw(st.floats(0, 2e5)), +1))
    masses = tuple(draw(st.floats(1.0e5, 1.2e6)) * chamber.volume / (R_AIR * TEMPERATURE) for chamber in chambers)
    return Spring(tuple(chambers), tuple(openings), stops, travel, 101_325.0), GasState(masses, TEMPERATURE)


def areas() -> st.SearchStrategy[float]:
    """Swept areas [m²]."""
    return st.floats(5e-5, 1e-3)


@st.composite
def openings_in(draw: st.DrawFn, chambers: int, travel: float) -> Port:
    """A port between two chambers, open over a band that may begin before and end after the travel."""
    first = draw(st.integers(0, chambers - 2))
    second = draw(st.integers(first + 1, chambers - 1))
    opens = round(draw(st.floats(-0.03, travel + 0.01)), 6)  # no piece thinner than a micrometre: quad stumbles there
    return Port(first, second, opens, opens + draw(st.floats(0.001, 0.04)))


def cycled(spring: Spring, state: GasState) -> GasState:
    """The same gas after slow strokes out from where every port has evened out: no jump is left on the way in."""
    for _ in range(200):
        state = _topped_out(spring, state)
    return state


def _topped_out(spring: Spring, state: GasState) -> GasState:
    """The masses after the ports, as they lie on the way out, have evened out one after the other."""
    masses = list(state.masses)
    for port in sorted(spring.ports, key=lambda one: -one.opens):
        parted = min(max(port.opens, 0.0), spring.travel)
        if port.closes <= 0 or port.opens >= spring.travel:
            continue
        a, b = spring.chambers[port.first].at(parted), spring.chambers[port.second].at(parted)
        total = masses[port.first] + masses[port.second]
        masses[port.first], masses[port.second] = total * a / (a + b), total * b / (a + b)
    return GasState(tuple(masses), state.temperature)
