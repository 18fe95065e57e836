"""The most probable network for some readings: scipy's least squares on equations built from a description."""

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from element_laws import LOADS, SOURCES, Element, response, terminals

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]
Case = dict[str, Any]

CASES = Path(__file__).parent / "estimations.json"
FLOATING_SIEMENS = 1e-12
"""Joins every node to the reference, so that one behind an open switch has a potential."""
BALANCED_AMPS = 1e-9
MOST_STEPS = 200

ABOUT = (
    "The minimum of half the sum of squared residuals over variances, of the readings and of all unknowns "
    "against their beliefs, for each case of checks/estimations.json. values: what the readings would be there."
)


def estimation_vectors() -> dict[str, Any]:
    """The most probable unknowns of every case."""
    cases = json.loads(CASES.read_text(encoding="utf-8"))["cases"]
    return {"about": ABOUT, "cases": [{"name": case["name"], "solution": solution(case)} for case in cases]}


def solution(case: Case) -> dict[str, Any]:
    """Unknowns, objective and expected readings at the minimum."""
    model = Model(case)
    spread = model.spread
    found = least_squares(
        model.residuals,
        np.zeros_like(spread),
        jac=model.jacobian,
        method="lm",
        xtol=1e-14,
        ftol=1e-14,
        gtol=1e-14,
    ).x
    # Gauss-Newton steps take the last digits; where the readings bend the model far, only half steps settle.
    for number in range(400):
        residuals, jacobian = model.residuals(found), model.jacobian(found)
        step = np.linalg.lstsq(jacobian, -residuals, rcond=None)[0]
        found = found + (step if number < 20 else 0.5 * step)
        if np.max(np.abs(step)) < 1e-12:
            break
    else:
        raise ArithmeticError(f"{case['name']}: the last digits do not settle")
    return {
        "objective": float(0.5 * np.sum(model.residuals(found) ** 2)),
        "unknowns": [float(value) for value in model.mean + spread * found],
        "values": [float(value) for value in model.values(model.mean + spread * found)],
    }


class Model:
    """What the readings would be for some unknowns; unknowns of the fit are in spreads from their mean."""

    def __init__(self, case: Case) -> None:
        self.mean = np.array(case["mean"])
        self.spread = np.array(case["spread"])
        self.readings = case["readings"]
        self.measured = np.array([reading["value"] for reading in self.readings])
        self.sigma = np.sqrt([reading["variance"] for reading in self.readings])
        self.states = [State(case, state) for state in case["states"]]

    def values(self, unknowns: Vector) -> Vector:
        """What each reading would be."""
        points = [state.solve(unknowns) for state in self.states]
        return np.array(
            [self.states[own["state"]].value(own["measured"], unknowns, points[own["state"]]) for own in self.readings]
        )

    def residuals(self, scaled: Vector) -> Vector:
        """Of readings over their standard deviations, then of unknowns over theirs."""
        unknowns = self.mean + self.spread * scaled
        return np.concatenate(((self.measured - self.values(unknowns)) / self.sigma, scaled))

    def jacobian(self, scaled: Vector) -> Matrix:
        """Derivatives of the residuals."""
        unknowns = self.mean + self.spread * scaled
        rows = np.zeros((len(self.readings), len(unknowns)))
        for number, state in enumerate(self.states):
            here = [at for at, own in enumerate(self.readings) if own["state"] == number]
            rows[here] = state.slopes([self.readings[at]["measured"] for at in here], unknowns)
        return np.vstack((-rows * self.spread / self.sigma[:, None], np.eye(len(unknowns))))


class State:
    """One operating state: resistors in series to a branch, and two-terminal devices."""

    def __init__(self, case: Case, state: dict[str, Any]) -> None:
        self.nodes = case["nodes"]
        self.kept = [node for node in range(self.nodes) if node != case["reference"]]
        self.branches = state["branches"]
        self.devices = state["devices"]
        self.a = np.array([branch["a"] for branch in self.branches])
        self.b = np.array([branch["b"] for branch in self.branches])
        self.closed = np.array([branch["closed"] for branch in self.branches])
        pieces = [(at, piece) for at, branch in enumerate(self.branches) for piece in branch["pieces"]]
        self.piece_branch = np.array([at for at, _ in pieces])
        self.piece_unknown = np.array([piece["unknown"] for _, piece in pieces])
        self.piece_ohms = np.array([piece["ohms"] for _, piece in pieces])
        self.volts = np.zeros(self.nodes)
        self.near = False

    def ohms(self, unknowns: Vector) -> tuple[Vector, Vector]:
        """Of every piece, and of every branch."""
        pieces = self.piece_ohms * np.exp(unknowns[self.piece_unknown])
        return pieces, np.bincount(self.piece_branch, pieces, len(self.branches))

    def elements(self, unknowns: Vector) -> list[Element]:
        """The devices as they are under these unknowns."""
        return [_under(device, unknowns) for device in self.devices]

    def solve(self, unknowns: Vector) -> Vector:
        """Node volts by Newton's method, from the last answer on."""
        siemens = np.where(self.closed, 1 / self.ohms(unknowns)[1], 0.0)
        elements = self.elements(unknowns)
        volts = self.volts.copy()
        across = [volts[f] - volts[s] if self.near else 12.0 for f, s in map(terminals, elements)]
        for step in range(MOST_STEPS):
            matrix, right = self._tangents(siemens, elements, across)
            volts = np.zeros(self.nodes)
            volts[self.kept] = np.linalg.solve(matrix, right)
            if self._unbalanced(siemens, elements, volts) < BALANCED_AMPS:
                self.volts, self.near = volts, True
                return volts
            answers = [float(volts[f] - volts[s]) for f, s in map(terminals, elements)]
            looks = [_look(*own) for own in zip(elements, across, answers, strict=True)]
            # Newton's steps that go to and fro over a corner settle when they are shortened.
            share = 1.0 if step < MOST_STEPS // 4 else 0.3
            across = [own + share * (to - own) for own, to in zip(across, looks, strict=True)]
        raise ArithmeticError("no operating point")

    def _tangents(self, siemens: Vector, elements: list[Element], across: list[float]) -> tuple[Matrix, Vector]:
        matrix = np.eye(self.nodes) * FLOATING_SIEMENS
        right = np.zeros(self.nodes)
        np.add.at(matrix, (self.a, self.a), siemens)
        np.add.at(matrix, (self.b, self.b), siemens)
        np.add.at(matrix, (self.a, self.b), -siemens)
        np.add.at(matrix, (self.b, self.a), -siemens)
        for element, volts in zip(elements, across, strict=True):
            first, second = terminals(element)
            amps, slope = _through(element, volts)
            rest = amps - slope * volts
            for here, there, sign in ((first, second, 1), (second, first, -1)):
                matrix[here, here] += slope
                matrix[here, there] -= slope
                right[here] -= sign * rest
        return matrix[np.ix_(self.kept, self.kept)], right[self.kept]

    def _unbalanced(self, siemens: Vector, elements: list[Element], volts: Vector) -> float:
        leaving = volts * FLOATING_SIEMENS
        amps = siemens * (volts[self.a] - volts[self.b])
        np.add.at(leaving, self.a, amps)
        np.add.at(leaving, self.b, -amps)
        largest = float(np.max(np.abs(amps), initial=1.0))
        for element in elements:
            first, second = terminals(element)
            through = _through(element, float(volts[first] - volts[second]))[0]
            leaving[first] += through
            leaving[second] -= through
        return float(np.max(np.abs(leaving[self.kept]))) / largest

    def value(self, measured: Any, unknowns: Vector, volts: Vector) -> float:
        """What a meter shows: amperes of a branch, or volts between two leads."""
        pieces, branches = self.ohms(unknowns)
        if isinstance(measured, dict):
            return float(self._amps(measured["branch"], branches, volts))
        return float(self._lead(measured[0], pieces, branches, volts) - self._lead(measured[1], pieces, branches, volts))

    def _amps(self, branch: int, branches: Vector, volts: Vector) -> float:
        return self.closed[branch] * (volts[self.a[branch]] - volts[self.b[branch]]) / branches[branch]

    def _piece(self, branch: int, unknown: int) -> int:
        (at,) = np.flatnonzero((self.piece_branch == branch) & (self.piece_unknown == unknown))
        return int(at)

    def _lead(self, lead: dict[str, Any], pieces: Vector, branches: Vector, volts: Vector) -> float:
        own = volts[lead["node"]]
        if "branch" in lead:
            ohms = pieces[self._piece(lead["branch"], lead["unknown"])]
            own = own + lead["sign"] * ohms * self._amps(lead["branch"], branches, volts)
        return own

    def slopes(self, measured: list[Any], unknowns: Vector) -> Matrix:
        """How the readings change with every unknown: by the adjoint of the balance of currents."""
        volts = self.solve(unknowns)
        pieces, branches = self.ohms(unknowns)
        siemens = np.where(self.closed, 1 / branches, 0.0)
        elements = self.elements(unknowns)
        across = [float(volts[f] - volts[s]) for f, s in map(terminals, elements)]
        matrix, _ = self._tangents(siemens, elements, across)
        # Change of the current leaving each node with each unknown, nodes held.
        change = np.zeros((self.nodes, len(unknowns)))
        amps = siemens * (volts[self.a] - volts[self.b])
        by_piece = -amps[self.piece_branch] * pieces / branches[self.piece_branch]
        np.add.at(change, (self.a[self.piece_branch], self.piece_unknown), by_piece)
        np.add.at(change, (self.b[self.piece_branch], self.piece_unknown), -by_piece)
        for device, element, own in zip(self.devices, elements, across, strict=True):
            first, second = terminals(element)
            for unknown, slope in _slopes(device, element, own):
                change[first, unknown] += slope
                change[second, unknown] -= slope
        rows = np.zeros((len(measured), len(unknowns)))
        weights = np.zeros((len(measured), self.nodes))
        for at, what in enumerate(measured):
            if isinstance(what, dict):
                self._add_amps(what["branch"], 1.0, amps, pieces, branches, weights[at], rows[at])
                continue
            for lead, sign in zip(what, (1.0, -1.0), strict=True):
                weights[at, lead["node"]] += sign
                if "branch" in lead:
                    ohms = pieces[self._piece(lead["branch"], lead["unknown"])]
                    share = sign * lead["sign"] * ohms
                    self._add_amps(lead["branch"], share, amps, pieces, branches, weights[at], rows[at])
                    rows[at, lead["unknown"]] += share * amps[lead["branch"]]
        adjoint = np.linalg.solve(matrix.T, weights[:, self.kept].T)
        return rows - adjoint.T @ change[self.kept]

    def _add_amps(
        self, branch: int, share: float, amps: Vector, pieces: Vector, branches: Vector, weights: Vector, row: Vector
    ) -> None:
        if not self.closed[branch]:
            return
        weights[self.a[branch]] += share / branches[branch]
        weights[self.b[branch]] -= share / branches[branch]
        own = self.piece_branch == branch
        np.add.at(row, self.piece_unknown[own], -share * amps[branch] * pieces[own] / branches[branch])


def _under(device: Element, unknowns: Vector) -> Element:
    element = dict(device)
    if "draw_unknown" in device:
        factor = math.exp(unknowns[device["draw_unknown"]])
        for key in ("amps", "cold_amps", "settled_amps"):
            if key in element:
                element[key] *= factor
        if "stall_ohms" in element:
            element["stall_ohms"] /= factor
    if "volts_unknown" in device:
        element["volts"] += unknowns[device["volts_unknown"]]
    if "ohms_unknown" in device:
        element["ohms"] *= math.exp(unknowns[device["ohms_unknown"]])
        element["charge_ohms"] = max(element["charge_ohms"], element["ohms"])
        if "exchange_amps" in element:
            element["exchange_amps"] /= math.exp(unknowns[device["ohms_unknown"]])
    return element


def _through(element: Element, volts: float) -> tuple[float, float]:
    """Current from the first terminal through the element to the second, and its slope."""
    amps, slope, _ = response(element, volts)
    return (-amps, -slope) if element["kind"] in SOURCES else (amps, slope)


def _look(element: Element, before: float, answer: float) -> float:
    """Where to take the tangent next: inside the band of a regulated source that would be leapt over."""
    if element["kind"] == "regulated":
        top = element["volts"]
        bottom = top - element["droop_ohms"] * element["max_amps"]
        if (before <= bottom and answer >= top) or (before >= top and answer <= bottom):
            return (top + bottom) / 2
    return answer


def _slopes(device: Element, element: Element, volts: float) -> list[tuple[int, float]]:
    """How that current changes with each unknown of the device."""
    amps, slope, regime = response(element, volts)
    found: list[tuple[int, float]] = []
    if element["kind"] in LOADS:
        found.append((device["draw_unknown"], amps))
    if "volts_unknown" in device:
        # Out of plus it grows with the source's volts as it falls with those across it.
        found.append((device["volts_unknown"], slope))
    if "ohms_unknown" in device and (regime == "discharging" or element["charge_ohms"] == element["ohms"]):
        found.append((device["ohms_unknown"], amps))
    return found
