"""Operating points of nonlinear DC networks: scipy's root finder, loads brought up from nothing."""

import random
from collections import Counter
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import root

from element_laws import LOADS, SOURCES, Element, response, terminals
from vehicle_networks import networks

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]

SEED = 20_202
STEPS = 64
"""Steps in which the loads are brought up from nothing to their full current."""
MARGIN = 1.05
"""A network is recorded only if its operating point survives loads this much larger."""
LARGEST_MOVE_VOLTS = 1.0
LARGEST_RESIDUAL_AMPS = 1e-10

ABOUT = (
    "DC networks; node 0 is the reference. Elements and their laws are described in checks/README.md. "
    "solution: node volts, element amps (out of plus for a battery or regulated source; from a "
    "to b, anode to cathode, plus to minus otherwise) and the branch of its law that each element is on. "
    "The operating point is the one reached continuously as the loads grow from nothing."
)

REGIMES = {
    ("battery", "discharging"),
    ("battery", "charging"),
    ("battery2", "discharging"),
    ("battery2", "charging"),
    ("battery3", "discharging"),
    ("regulated", "off"),
    ("regulated", "regulating"),
    ("regulated", "limited"),
    ("diode", "blocking"),
    ("diode", "conducting"),
    ("power_law", "following"),
    ("power_law", "below knee"),
    ("power_law", "reversed"),
    ("affine", "turning"),
    ("affine", "stalled"),
    ("affine", "reversed"),
    ("preheat", "settled"),
    ("preheat", "reversed"),
    ("self_regulating", "rising"),
    ("self_regulating", "falling"),
}


def operating_point_vectors() -> dict[str, Any]:
    """Every network with its elements and its operating point."""
    cases: list[dict[str, Any]] = [
        {"name": name, "nodes": nodes, "elements": elements, "solution": solution(name, nodes, elements)}
        for name, nodes, elements in networks(random.Random(SEED))
    ]
    met = Counter(
        (element["kind"], regime)
        for case in cases
        for element, regime in zip(case["elements"], case["solution"]["regimes"], strict=True)
    )
    if missing := sorted(REGIMES - met.keys()):
        raise ArithmeticError(f"no network meets {missing}")
    return {"about": ABOUT, "cases": cases}


def solution(name: str, nodes: int, elements: list[Element]) -> dict[str, Any]:
    """Node volts, element currents and regimes at full load."""
    volts = operating_point(name, nodes, elements)
    answers = [response(element, _across(element, volts)) for element in elements]
    return {
        "volts": [float(value) for value in volts],
        "amps": [float(answer.amps) for answer in answers],
        "regimes": [answer.regime for answer in answers],
    }


def operating_point(name: str, nodes: int, elements: list[Element]) -> Vector:
    """Node volts at full load, on the branch that starts where the loads draw nothing.

    Every step needs a positive definite conductance matrix (the slopes of all elements): on the way
    from no load that is lost exactly where the loads ask for more than the network can deliver. The
    way is followed on to `MARGIN`, so that no recorded point lies next to such a limit.
    """
    volts = _solve(name, elements, np.zeros(nodes), 0.0)
    recorded = volts
    for step in range(1, STEPS + 1 + round((MARGIN - 1) * STEPS)):
        following = _solve(name, elements, volts, step / STEPS)
        if np.max(np.abs(following - volts)) > LARGEST_MOVE_VOLTS:
            raise ArithmeticError(f"{name}: a node moves too far in one step, at {step}/{STEPS} of the load")
        volts = following
        if step == STEPS:
            recorded = volts
    return recorded


def _solve(name: str, elements: list[Element], start: Vector, load: float) -> Vector:
    def balance(unknown: Vector) -> tuple[Vector, Matrix]:
        return _balance(elements, np.concatenate(([0.0], unknown)), load)

    # Levenberg-Marquardt ("lm") crosses the corners of the laws; Powell's hybrid method gets stuck there.
    unknown = root(balance, start[1:], jac=True, method="lm", tol=1e-13).x
    residual, conductance = balance(unknown)
    # The root finder stops at a small step; Newton's steps take the last digits.
    for _ in range(6):
        candidate = unknown - np.linalg.solve(conductance, residual)
        candidate_residual, candidate_conductance = balance(candidate)
        if np.max(np.abs(candidate_residual)) >= np.max(np.abs(residual)):
            break
        unknown, residual, conductance = candidate, candidate_residual, candidate_conductance
    worst = float(np.max(np.abs(residual)))
    if not worst < LARGEST_RESIDUAL_AMPS:
        raise ArithmeticError(f"{name}: {worst} A left over at {load} of the load")
    if not np.linalg.eigvalsh(conductance)[0] > 0:
        raise ArithmeticError(f"{name}: past the most the network can deliver at {load} of the load")
    return np.concatenate(([0.0], unknown))


def _across(element: Element, volts: Vector) -> float:
    first, second = terminals(element)
    return float(volts[first] - volts[second])


def _balance(elements: list[Element], volts: Vector, load: float) -> tuple[Vector, Matrix]:
    """Current leaving each node but the reference, and its derivatives; loads multiplied by `load`."""
    leaving = np.zeros(len(volts))
    conductance = np.zeros((len(volts), len(volts)))
    for element in elements:
        first, second = terminals(element)
        amps, slope, _ = response(element, _across(element, volts))
        sign = -1.0 if element["kind"] in SOURCES else load if element["kind"] in LOADS else 1.0
        leaving[first] += sign * amps
        leaving[second] -= sign * amps
        for here, there in ((first, second), (second, first)):
            conductance[here, here] += sign * slope
            conductance[here, there] -= sign * slope
    return leaving[1:], conductance[1:, 1:]
