"""Currents of dead shorts in networks with batteries and current-limited sources, by dense linear algebra."""

import random
from itertools import product
from typing import Any

import numpy as np
from scipy import linalg

SEED = 20_260
SHORT_OHMS = 1e-6
NETWORKS = 30

ABOUT = (
    "Networks of a live side and a home side. Node 0 is home's first and the reference. resistors: [a, b, "
    "ohms]; batteries: [plus, minus, volts, ohms]; regulated: [plus, minus, volts, droop_ohms, max_amps], "
    "I = (volts - V) / droop_ohms held between 0 and max_amps. faults: [live, home, amps], the current of "
    "a short of short_ohms between the two nodes, by scipy.linalg.solve for every combination of what "
    "the regulated sources may do (nothing, hold their voltage, deliver their most); exactly one of them "
    "is consistent."
)


def fault_current_vectors() -> dict[str, Any]:
    """Every network with the currents of its faults."""
    draw = random.Random(SEED)
    return {"about": ABOUT, "short_ohms": SHORT_OHMS, "networks": [_network(draw, at) for at in range(NETWORKS)]}


def _ohms(draw: random.Random, low: float, high: float) -> float:
    """A resistance, log-uniform, of four digits."""
    return float(f"{low * (high / low) ** draw.random():.4g}")


def _network(draw: random.Random, at: int) -> dict[str, Any]:
    """A tree on either side with a few chords, one or two batteries, none to two regulated sources."""
    homes, lives = draw.randint(2, 6), draw.randint(3, 9)
    home, live = list(range(homes)), list(range(homes, homes + lives))
    resistors: list[list[Any]] = []
    for side, low, high in ((home, 2e-5, 5e-3), (live, 5e-4, 5e-2)):
        for index, node in enumerate(side[1:], start=1):
            resistors.append([side[draw.randrange(index)], node, _ohms(draw, low, high)])
        for _ in range(draw.randint(0, 2)):
            a, b = draw.sample(side, 2)
            resistors.append([a, b, _ohms(draw, low, high)])
    batteries = [
        [
            live[0] if first == 0 else draw.choice(live),
            home[0] if first == 0 else draw.choice(home),
            round(draw.uniform(12.2, 12.9), 3),
            _ohms(draw, 3e-3, 1.5e-2),
        ]
        for first in range(draw.randint(1, 2))
    ]
    regulated = [
        [draw.choice(live), draw.choice(home), round(draw.uniform(13.8, 14.6), 3), 0.002, draw.randint(20, 180)]
        for _ in range(draw.randint(0, 2))
    ]
    network = {
        "name": f"network {at}",
        "nodes": homes + lives,
        "homes": homes,
        "resistors": resistors,
        "batteries": batteries,
        "regulated": regulated,
    }
    places = [(a, b) for a in live for b in home]
    draw.shuffle(places)
    faults = [[a, b, fault_current(network, a, b)] for a, b in places[:6]]
    return {**network, "faults": faults}


def fault_current(network: dict[str, Any], live: int, home: int) -> float:
    """The current of a short between two nodes, in amperes."""
    found = []
    sources = network["regulated"]
    for regimes in product(("idle", "holds", "limited"), repeat=len(sources)):
        volts = _solve(network, live, home, regimes)
        if all(_consistent(source, regime, volts) for source, regime in zip(sources, regimes, strict=True)):
            found.append((volts[live] - volts[home]) / SHORT_OHMS)
    if len(found) != 1:
        raise ValueError(f"{network['name']}: {len(found)} combinations are consistent")
    return float(found[0])


def _solve(network: dict[str, Any], live: int, home: int, regimes: tuple[str, ...]) -> np.ndarray:
    """Node voltages against node 0, every regulated source in its regime."""
    nodes = network["nodes"]
    matrix, into = np.zeros((nodes, nodes)), np.zeros(nodes)

    def join(a: int, b: int, siemens: float) -> None:
        matrix[a, a] += siemens
        matrix[b, b] += siemens
        matrix[a, b] -= siemens
        matrix[b, a] -= siemens

    for a, b, ohms in [*network["resistors"], (live, home, SHORT_OHMS)]:
        join(a, b, 1 / ohms)
    for plus, minus, volts, ohms in network["batteries"]:
        join(plus, minus, 1 / ohms)
        into[plus] += volts / ohms
        into[minus] -= volts / ohms
    for (plus, minus, volts, droop, most), regime in zip(network["regulated"], regimes, strict=True):
        if regime == "holds":
            join(plus, minus, 1 / droop)
            into[plus] += volts / droop
            into[minus] -= volts / droop
        elif regime == "limited":
            into[plus] += most
            into[minus] -= most
    solved = np.zeros(nodes)
    solved[1:] = linalg.solve(matrix[1:, 1:], into[1:], assume_a="pos")
    return solved


def _consistent(source: list[Any], regime: str, volts: np.ndarray) -> bool:
    """True when the source, at these voltages, does what was assumed of it."""
    plus, minus, held, droop, most = source
    wanted = (held - (volts[plus] - volts[minus])) / droop
    return {"idle": wanted <= 0, "holds": 0 < wanted < most, "limited": wanted >= most}[regime]
