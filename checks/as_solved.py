"""Networks as `solve --network` prints them, solved again from their numbers alone."""

import cmath
import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, root
from scipy.special import lambertw

Vector = NDArray[np.complex128]
Network = dict[str, Any]
Law = dict[str, Any]

PRINTED = Path(__file__).parent / "networks.json"
STEP = 1e-30
"""Of the complex-step derivative, which has no rounding of its own."""
LARGEST_RESIDUAL = 1e-8
"""Amperes, or volts and watts of what is tied."""
LEAST_OUTPUT = 1e-3
"""Share of the held voltage below which a limit of power says nothing any more."""

ABOUT = (
    "Networks of random vehicles and of two examples as `solve --network --json` prints them (checks/networks.json), "
    "solved from their laws and ties (docs/network.md) by scipy.optimize.root and Newton's steps with complex-step "
    "derivatives. They start from volts rounded to a hundredth. volts: of the nodes, against the reference. amps: into "
    "the devices."
)


def as_solved_vectors() -> dict[str, Any]:
    """Volts and amperes of every printed network."""
    printed = json.loads(PRINTED.read_text(encoding="utf-8"))["cases"]
    return {"about": ABOUT, "cases": [_solved(case) for case in printed]}


def _solved(case: Network) -> dict[str, Any]:
    system = System(case["network"])
    unknown = system.solve([float(value) for value in case["start"]], case["name"])
    volts = system.volts(unknown)
    amps = [system.amps(device, volts, unknown) for device in system.devices]
    solution = {"volts": [float(own.real) for own in volts], "amps": [float(own.real) for own in amps]}
    return {"name": case["name"], "solution": solution}


class System:
    """The equations of one network: Kirchhoff's at every free node, and one for everything that is tied."""

    def __init__(self, network: Network) -> None:
        names = [node["name"] for node in network["nodes"]]
        self.at = {name: index for index, name in enumerate(names)}
        self.zeros = self._zeros(network)
        self.free = [index for index in range(len(names)) if index not in self.zeros]
        self.branches = [own for own in network["branches"] if own["conducting"]]
        self.devices: list[Network] = network["devices"]
        self.inputs = {own["name"]: own for own in self.devices if own["kind"] == "input"}
        # What is found with the volts: (device, key of its law), its number among the unknowns.
        self.tied: dict[tuple[int, str], int] = {}
        self.ties: list[Callable[[Vector, Vector], complex]] = []
        for index, device in enumerate(self.devices):
            self._tie(index, device)

    def _zeros(self, network: Network) -> set[int]:
        """One node of each part: the reference, and of other parts the first."""
        zeros = {0: self.at[network["reference"]]}
        for index, node in enumerate(network["nodes"]):
            zeros.setdefault(node["part"], index)
        return set(zeros.values())

    def _tie(self, index: int, device: Network) -> None:
        law = device["law"]
        if law["name"] != "regulated":
            return
        if device["sense"] and device["sense"]["holds"]:
            self._unknown(index, "held_volts", self._sensed(device["sense"]))
        if device["halves"] and device["halves"]["holds"]:
            self._unknown(index, "held_volts", self._halved(device))
        if device["tie"] and (pair := self._input_of(device)) is not None:
            efficiency = device["tie"]["efficiency"]
            if device["tie"]["decides"] == "output":
                self._unknown(pair, "wants_watts", self._given(index, pair, efficiency))
            else:
                self._unknown(index, "limit_watts", self._let_through(index, pair, efficiency))

    def _unknown(self, index: int, key: str, tie: Callable[[Vector, Vector], complex]) -> None:
        self.tied[(index, key)] = len(self.free) + len(self.ties)
        self.ties.append(tie)

    def _input_of(self, device: Network) -> int | None:
        own = self.inputs.get(device["name"])
        return None if own is None or own["law"]["name"] == "off" else self.devices.index(own)

    def _sensed(self, sense: Network) -> Callable[[Vector, Vector], complex]:
        high, low, wanted = self.at[sense["high"]], self.at[sense["low"]], sense["set_point_volts"]
        return lambda volts, _: volts[high] - volts[low] - wanted

    def _halved(self, device: Network) -> Callable[[Vector, Vector], complex]:
        top, bottom = self.at[device["halves"]["top"]], self.at[device["halves"]["bottom"]]
        return lambda volts, _: self._across(device, volts) - (volts[top] - volts[bottom]) / 2

    def _given(self, output: int, entry: int, efficiency: float) -> Callable[[Vector, Vector], complex]:
        def tie(volts: Vector, unknown: Vector) -> complex:
            given = -self._watts(output, volts, unknown)
            return unknown[self.tied[(entry, "wants_watts")]] - given / efficiency

        return tie

    def _let_through(self, output: int, entry: int, efficiency: float) -> Callable[[Vector, Vector], complex]:
        def tie(volts: Vector, unknown: Vector) -> complex:
            taken = self._watts(entry, volts, unknown)
            return unknown[self.tied[(output, "limit_watts")]] - taken * efficiency

        return tie

    def _watts(self, index: int, volts: Vector, unknown: Vector) -> complex:
        device = self.devices[index]
        across = self._across(device, volts)
        return across * self.amps(device, volts, unknown)

    def _across(self, device: Network, volts: Vector) -> complex:
        return volts[self.at[device["plus"]]] - volts[self.at[device["minus"]]]

    def volts(self, unknown: Vector) -> Vector:
        """Of all nodes."""
        volts = np.zeros(len(self.at), dtype=complex)
        volts[self.free] = unknown[: len(self.free)]
        return volts

    def amps(self, device: Network, volts: Vector, unknown: Vector) -> complex:
        """Into a device."""
        index = self.devices.index(device)
        law = dict(device["law"])
        for (own, key), place in self.tied.items():
            if own == index:
                law[key] = unknown[place]
        across = self._across(device, volts)
        return LAWS[law["name"]](law, across) + device["leak_siemens"] * across

    def residual(self, unknown: Vector) -> Vector:
        """Amperes left over at the free nodes, and what ties miss."""
        volts = self.volts(unknown)
        leaving = np.zeros(len(self.at), dtype=complex)
        for branch in self.branches:
            first, second = self.at[branch["from"]], self.at[branch["to"]]
            current = (volts[first] - volts[second]) / branch["ohms"]
            leaving[first] += current
            leaving[second] -= current
        for device in self.devices:
            current = self.amps(device, volts, unknown)
            leaving[self.at[device["plus"]]] += current
            leaving[self.at[device["minus"]]] -= current
        return np.array([*leaving[self.free], *(tie(volts, unknown) for tie in self.ties)])

    def jacobian(self, unknown: NDArray[np.float64]) -> NDArray[np.float64]:
        """By complex steps."""
        columns = []
        for place in range(len(unknown)):
            moved = unknown.astype(complex)
            moved[place] += STEP * 1j
            columns.append(self.residual(moved).imag / STEP)
        return np.array(columns).T

    def solve(self, start: list[float], name: str) -> Vector:
        """The volts and what is tied, from rounded volts."""
        first = [start[node] for node in self.free]
        tied = sorted(self.tied.items(), key=lambda entry: entry[1])
        first += [self.devices[index]["law"][key] for (index, key), _ in tied]
        unknown = np.array(first, dtype=float)

        def balance(unknown: NDArray[np.float64]) -> NDArray[np.float64]:
            return self.residual(unknown.astype(complex)).real

        unknown = root(balance, unknown, jac=self.jacobian, method="lm", tol=1e-13).x
        for _ in range(8):
            candidate = unknown - np.linalg.solve(self.jacobian(unknown), balance(unknown))
            if np.max(np.abs(balance(candidate))) >= np.max(np.abs(balance(unknown))):
                break
            unknown = candidate
        worst = float(np.max(np.abs(balance(unknown))))
        if not worst < LARGEST_RESIDUAL:
            raise ArithmeticError(f"{name}: {worst} left over")
        return unknown.astype(complex)


def _battery(law: Law, volts: complex) -> complex:
    if volts.real >= law["emf_volts"]:
        return (volts - law["emf_volts"]) / law["charging_ohms"]
    fall, ohms, swing = law["emf_volts"] - volts, law["discharging_ohms"], law["polarisation_volts"]
    if swing <= 0:
        return -fall / ohms
    exchange = law["exchange_amps"]
    amps = brentq(
        lambda own: ohms * own + swing * math.asinh(own / exchange) - fall.real,
        0.0,
        fall.real / ohms,
        xtol=1e-300,
        rtol=1e-15,
    )
    # One step of Newton's carries the derivative that stands in the imaginary part.
    return -(amps + (fall - fall.real) / (ohms + swing / math.hypot(exchange, amps)))


def _regulated(law: Law, volts: complex) -> complex:
    wanted = (law["held_volts"] - volts) / law["droop_ohms"]
    most: complex = law["limit_amps"]
    if law["limit_watts"] is not None:
        least = LEAST_OUTPUT * complex(law["held_volts"]).real
        by_power = law["limit_watts"] / (volts if volts.real > least else least)
        most = by_power if complex(by_power).real < most.real else most
    if wanted.real <= 0:
        return 0
    return -wanted if wanted.real < complex(most).real else -most


def _input(law: Law, volts: complex) -> complex:
    held = (volts - law["floor_volts"]) / law["floor_ohms"]
    if held.real <= 0:
        return 0
    wants = law["wants_watts"]
    return held if (held * volts).real < complex(wants).real else wants / volts


def _diode(law: Law, volts: complex) -> complex:
    return (volts - law["drop_volts"]) / law["ohms"] if volts.real > law["drop_volts"] else 0


def _power(law: Law, volts: complex) -> complex:
    rated, exponent, knee = law["rated_volts"], law["exponent"], law["knee_volts"]
    if volts.real >= knee:
        return law["rated_amps"] * (volts / rated) ** exponent
    return law["rated_amps"] * (knee / rated) ** exponent * volts / knee


def _starter(law: Law, volts: complex) -> complex:
    turning = law["rated_amps"] * (1 - law["follows"] + law["follows"] * volts / law["rated_volts"])
    stalled = volts / law["stall_ohms"]
    return stalled if stalled.real < turning.real else turning


def _preheat(law: Law, volts: complex) -> complex:
    rated = law["rated_volts"]
    cold, hot = rated / law["cold_amps"], rated / law["settled_amps"]
    rise = (hot - cold) / (rated * law["settled_amps"])
    return volts / ((cold + cmath.sqrt(cold**2 + 4 * rise * volts**2)) / 2)


def _self_regulating(law: Law, volts: complex) -> complex:
    rated = law["rated_volts"]
    steepness = math.log(law["cold_amps"] / law["settled_amps"])
    number = steepness * math.exp(steepness) * (volts / rated) ** 2
    # SciPy's own function loses a step of 1e-30 beside the number: dW/dn = W / (n (1 + W)).
    rise = float(lambertw(number.real).real)
    slope = rise / (number.real * (1 + rise)) if number.real > 0 else 1.0
    grown = rise + 1j * slope * number.imag
    return volts / (rated / law["cold_amps"] * cmath.exp(grown))


LAWS: dict[str, Callable[[Law, complex], complex]] = {
    "off": lambda _law, _volts: 0,
    "battery": _battery,
    "regulated": _regulated,
    "input": _input,
    "diode": _diode,
    "power": _power,
    "starter": _starter,
    "preheat": _preheat,
    "self-regulating": _self_regulating,
}
