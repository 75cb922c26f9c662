"""Linear propagation against closed forms, a published example and Monte Carlo."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics import uncertainty
from sagwright.physics.uncertainty import Array, Doubtful, Inputs


def test_a_sum_and_a_product_have_their_textbook_uncertainty() -> None:
    inputs = {"a": Doubtful(3.0, (("a", 0.3),)), "b": Doubtful(4.0, (("b", 0.4),))}

    def model(given: Inputs) -> Array:
        return np.stack([given["a"] + given["b"], given["a"] * given["b"]])

    result = uncertainty.propagate(model, inputs)
    np.testing.assert_allclose(result.values, [7.0, 12.0])
    np.testing.assert_allclose(result.u, [0.5, np.hypot(4 * 0.3, 3 * 0.4)], rtol=1e-12)


def test_resistance_and_reactance_of_gum_h2() -> None:
    # JCGM 100:2008, example H.2, table H.4: V 4.9990 V u 0.0032, I 19.6610 mA u 0.0095, phase 1.04446 rad
    # u 0.00075, correlations −0.36, 0.86, −0.65; R 127.732 u 0.071, X 219.847 u 0.295, Z 254.260 u 0.236
    # Ω. From memory.
    sizes = np.array([0.0032, 0.0095e-3, 0.00075])
    correlation = np.array([[1, -0.36, 0.86], [-0.36, 1, -0.65], [0.86, -0.65, 1]])
    spread = np.linalg.cholesky(correlation * np.outer(sizes, sizes))
    names = ("V", "I", "phase")
    values = (4.9990, 19.6610e-3, 1.04446)
    inputs = {
        name: Doubtful(value, tuple((f"z{j}", float(spread[i, j])) for j in range(3)))
        for i, (name, value) in enumerate(zip(names, values, strict=True))
    }

    def model(given: Inputs) -> Array:
        Z = given["V"] / given["I"]
        return np.stack([Z * np.cos(given["phase"]), Z * np.sin(given["phase"]), Z])

    result = uncertainty.propagate(model, inputs)
    np.testing.assert_allclose(result.values, [127.732, 219.847, 254.260], atol=5e-4)
    np.testing.assert_allclose(result.u, [0.071, 0.295, 0.236], atol=2e-3)


def test_the_bias_of_one_pump_cancels_between_two_readings() -> None:
    found = Doubtful(80.0, (("pump", 2.0), ("found scatter", 0.5)))
    left = Doubtful(90.0, (("pump", 2.0), ("left scatter", 0.5)))

    def model(given: Inputs) -> Array:
        return np.stack([given["found"], given["left"], given["left"] - given["found"]])

    result = uncertainty.propagate(model, {"found": found, "left": left})
    assert result.u[0] == pytest.approx(np.hypot(2.0, 0.5)) == found.u
    assert result.u[2] == pytest.approx(np.sqrt(0.5))
    assert result.u_of_difference(1, 0) == pytest.approx(np.sqrt(0.5))
    assert result.largest(0) == "pump"
    assert result.covariance()[0, 1] == pytest.approx(4.0)


@given(st.floats(0.1, 10.0), st.floats(0.001, 0.03), st.floats(0.001, 0.03), st.floats(1.0, 1.4))
def test_it_agrees_with_monte_carlo(pressure: float, u_pressure: float, u_ratio: float, n: float) -> None:
    inputs = {
        "p": Doubtful(pressure, (("p", u_pressure * pressure),)),
        "ratio": Doubtful(2.0, (("ratio", 2 * u_ratio), ("p", 0.5 * u_ratio))),
    }

    def model(given: Inputs) -> Array:
        compressed: Array = given["p"] * given["ratio"] ** n
        return compressed

    linear = uncertainty.propagate(model, inputs)
    drawn = uncertainty.simulate(model, inputs, cases=20_000, seed=5)
    assert linear.u[0] == pytest.approx(drawn[:, 0].std(), rel=0.03)
    assert linear.values[0] == pytest.approx(drawn[:, 0].mean(), rel=5e-3)


def test_the_same_seed_draws_the_same_cases() -> None:
    inputs = {"a": Doubtful(1.0, (("a", 0.1),))}
    first, second, other = (
        uncertainty.simulate(lambda given: given["a"], inputs, cases=10, seed=seed) for seed in (1, 1, 2)
    )
    assert np.array_equal(first, second)
    assert not np.array_equal(first, other)


def test_what_is_certain_has_no_uncertainty() -> None:
    result = uncertainty.propagate(lambda given: given["a"] ** 2, {"a": Doubtful(3.0, (("none", 0.0),))})
    assert (result.values[0], result.u[0], result.uncertainties) == (9.0, 0.0, ())
    assert result.largest(0) == ""


def test_a_model_without_an_answer_is_an_error() -> None:
    inputs = {"a": Doubtful(0.05, (("a", 1.0),))}
    with pytest.raises(NoSolution), np.errstate(invalid="ignore"):
        uncertainty.propagate(lambda given: np.sqrt(given["a"]), inputs)


@pytest.mark.parametrize("given_", [Doubtful(float("nan")), Doubtful(1.0, (("a", float("inf")),))])
def test_numbers_that_are_none_are_refused(given_: Doubtful) -> None:
    with pytest.raises(OutOfRange):
        uncertainty.propagate(lambda given: given["a"], {"a": given_})
