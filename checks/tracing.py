"""Whose current flows where: Bialek's tracing by one dense matrix for each network."""

import random
from typing import Any

import networkx as nx
import numpy as np

SEED = 20_307
NETWORKS = 24
LEAST_SHARE = 1e-6

ABOUT = (
    "Connected random networks of resistors into which currents enter and from which others leave; their sum is "
    "zero. heights: volts of the nodes, by numpy.linalg.solve of the dense Laplacian. ways: [from, to, amps], every "
    "resistor with its current, downhill. enters, leaves: [node, amps]. shares: for each current that enters, the "
    "amperes of it that leave at each exit, by the downstream-looking form of J. Bialek's upstream distribution "
    "matrix (IEE Proc.-Gener. Transm. Distrib. 143 (1996) 313): A[k][l] = -flow(l to k) / through(l), A[k][k] = 1, "
    "and A^-1 by numpy.linalg.inv. Rows add up to what enters, columns to what leaves, or nothing is written."
)


def tracing_vectors() -> dict[str, Any]:
    """Every network with its flow and the share that each exit has in each entry."""
    draw = random.Random(SEED)
    return {"about": ABOUT, "networks": [_network(draw, at) for at in range(NETWORKS)]}


def _network(draw: random.Random, at: int) -> dict[str, Any]:
    """A tree with chords, one to four currents in and one to four out."""
    nodes = draw.randint(4, 40)
    tree = nx.random_labeled_tree(nodes, seed=draw)
    chords = [tuple(draw.sample(range(nodes), 2)) for _ in range(draw.randint(0, nodes))]
    edges = [(a, b, float(f"{10 ** draw.uniform(-4, 0):.4g}")) for a, b in [*sorted(tree.edges()), *chords]]
    places = draw.sample(range(nodes), min(nodes, draw.randint(1, 4) + draw.randint(1, 4)))
    cut = draw.randint(1, len(places) - 1) if len(places) > 1 else 1
    ins, outs = places[:cut], places[cut:] or [next(node for node in range(nodes) if node not in places)]
    enters = [(node, float(f"{draw.uniform(0.5, 200):.4g}")) for node in ins]
    weights = [draw.uniform(0.2, 1) for _ in outs]
    whole = sum(amps for _, amps in enters)
    leaves = [(node, whole * weight / sum(weights)) for node, weight in zip(outs, weights, strict=True)]
    heights = _heights(nodes, edges, enters, leaves)
    ways = []
    for a, b, ohms in edges:
        amps = float((heights[a] - heights[b]) / ohms)
        # What carries only rounding is left out: it says nothing, and its direction is chance.
        if abs(amps) > LEAST_SHARE * whole:
            ways.append([a, b, amps] if amps > 0 else [b, a, -amps])
    return {
        "name": f"tree-with-chords-{at}",
        "heights": [float(height) for height in heights],
        "ways": ways,
        "enters": enters,
        "leaves": leaves,
        "shares": _shares(nodes, ways, enters, leaves),
    }


def _heights(nodes: int, edges: list[tuple[int, int, float]], enters: list, leaves: list) -> np.ndarray:
    laplacian, current = np.zeros((nodes, nodes)), np.zeros(nodes)
    for a, b, ohms in edges:
        laplacian[a, a] += 1 / ohms
        laplacian[b, b] += 1 / ohms
        laplacian[a, b] -= 1 / ohms
        laplacian[b, a] -= 1 / ohms
    for node, amps in enters:
        current[node] += amps
    for node, amps in leaves:
        current[node] -= amps
    heights = np.zeros(nodes)
    heights[1:] = np.linalg.solve(laplacian[1:, 1:], current[1:])
    return heights


def _shares(nodes: int, ways: list, enters: list, leaves: list) -> list[list[float]]:
    if not nx.is_directed_acyclic_graph(nx.DiGraph([(a, b) for a, b, _ in ways])):
        raise ArithmeticError("a flow that is driven by volts has no loops")
    through = np.zeros(nodes)
    for a, _, amps in ways:
        through[a] += amps
    for node, amps in leaves:
        through[node] += amps
    matrix = np.eye(nodes)
    for a, b, amps in ways:
        matrix[b, a] -= amps / through[a]
    inverse = np.linalg.inv(matrix)
    shares = [
        [float(inverse[out, node] * amps * left / through[out]) for out, left in leaves] for node, amps in enters
    ]
    for row, (_, amps) in zip(shares, enters, strict=True):
        if abs(sum(row) - amps) > 1e-4 * amps:
            raise ArithmeticError(f"{sum(row)} of {amps} A leave")
    for column, (_, amps) in zip(zip(*shares, strict=True), leaves, strict=True):
        if abs(sum(column) - amps) > 1e-4 * amps:
            raise ArithmeticError(f"{sum(column)} of {amps} A have entered")
    return shares
