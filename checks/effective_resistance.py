"""Effective resistances of textbook and random graphs, by a graph library and by star-mesh elimination."""

import random
from collections.abc import Iterable
from decimal import Decimal, localcontext
from fractions import Fraction
from itertools import combinations
from typing import Any

import networkx as nx

Edge = tuple[int, int, float]
Pair = tuple[int, int]
Published = dict[Pair, str]

SEED = 20_201
STAR_MESH_DIGITS = 50
AGREEMENT = 1e-9
"""A graph is recorded only if its two independent answers agree to this share of the value."""

ABOUT = (
    "Connected graphs with edges [a, b, ohms] (parallel edges occur) and effective resistances between "
    "some pairs of nodes. ohms: networkx.resistance_distance, double precision. exact_ohms: star-mesh "
    "elimination in 50 decimal digits, rounded to the nearest double. closed_form: the known value in "
    "ohms as a fraction, for the textbook graphs, with its source."
)


def effective_resistance_vectors() -> dict[str, Any]:
    """Every graph with its edges and the effective resistances of some of its pairs."""
    return {"about": ABOUT, "graphs": [*_textbook_graphs(), *_random_graphs(random.Random(SEED))]}


def networkx_resistances(edges: Iterable[Edge], pairs: Iterable[Pair]) -> list[float]:
    """Effective resistances in ohms by networkx.

    The edge attribute is a resistance: with `invert_weight=True` networkx itself takes the reciprocal
    before it builds the Laplacian. Only a multigraph keeps parallel edges.
    """
    graph = nx.MultiGraph()
    graph.add_weighted_edges_from(edges, weight="ohms")
    table = nx.resistance_distance(graph, weight="ohms", invert_weight=True)
    return [float(table[a][b]) for a, b in pairs]


def star_mesh_resistance(edges: Iterable[Edge], pair: Pair) -> float:
    """Effective resistance in ohms between two nodes, all other nodes eliminated one at a time.

    A node whose arms have conductances g_i, sum s, gives way to conductances g_i g_j / s between its
    neighbours (star-mesh transformation). Only sums, products and quotients of positive numbers occur,
    so no digits cancel.
    """
    with localcontext(prec=STAR_MESH_DIGITS):
        mesh: dict[int, dict[int, Decimal]] = {}
        for a, b, ohms in edges:
            _join(mesh, a, b, 1 / Decimal(ohms))
        while len(mesh) > 2:
            star = min((node for node in mesh if node not in pair), key=lambda node: (len(mesh[node]), node))
            arms = mesh.pop(star)
            for neighbour in arms:
                del mesh[neighbour][star]
            total = sum(arms.values())
            for (a, g_a), (b, g_b) in combinations(arms.items(), 2):
                _join(mesh, a, b, g_a * g_b / total)
        return float(1 / mesh[pair[0]][pair[1]])


def _join(mesh: dict[int, dict[int, Decimal]], a: int, b: int, siemens: Decimal) -> None:
    for here, there in ((a, b), (b, a)):
        arms = mesh.setdefault(here, {})
        arms[there] = arms.get(there, Decimal(0)) + siemens


def _record(name: str, edges: list[Edge], pairs: list[Pair]) -> dict[str, Any]:
    rows = []
    for (a, b), ohms in zip(pairs, networkx_resistances(edges, pairs), strict=True):
        exact = star_mesh_resistance(edges, (a, b))
        if not abs(ohms - exact) <= AGREEMENT * exact:
            raise ArithmeticError(f"{name}: between {a} and {b} networkx gives {ohms}, star-mesh {exact}")
        rows.append({"a": a, "b": b, "ohms": ohms, "exact_ohms": exact})
    nodes = 1 + max(max(a, b) for a, b, _ in edges)
    return {"name": name, "nodes": nodes, "edges": edges, "pairs": rows}


def _textbook(name: str, source: str, edges: list[Edge], published: Published) -> dict[str, Any]:
    graph = _record(name, edges, list(published))
    for row, value in zip(graph["pairs"], published.values(), strict=True):
        if float(Fraction(value)) != row["exact_ohms"]:
            raise ArithmeticError(f"{name}: known value {value}, star-mesh {row['exact_ohms']}")
        row["closed_form"] = value
    return graph | {"source": source}


def _unit(graph: nx.Graph) -> list[Edge]:
    return [(a, b, 1.0) for a, b in nx.convert_node_labels_to_integers(graph, ordering="sorted").edges()]


def _by_distance(graph: nx.Graph, values: list[str]) -> Published:
    """The first pair at each distance from node 0, with the value for that distance."""
    graph = nx.convert_node_labels_to_integers(graph, ordering="sorted")
    distance = nx.single_source_shortest_path_length(graph, 0)
    return {
        (0, min(node for node, steps in distance.items() if steps == step)): value
        for step, value in enumerate(values, start=1)
    }


def _textbook_graphs() -> list[dict[str, Any]]:
    symmetry = "symmetry; series and parallel rules"
    solids = "van Steenwijk, American Journal of Physics 66 (1998) 90 (from memory)"
    distance_regular: list[tuple[str, str, nx.Graph, list[str]]] = [
        ("tetrahedron", symmetry, nx.tetrahedral_graph(), ["1/2"]),
        ("cube", symmetry, nx.hypercube_graph(3), ["7/12", "3/4", "5/6"]),
        ("octahedron", symmetry, nx.octahedral_graph(), ["5/12", "1/2"]),
        ("icosahedron", solids, nx.icosahedral_graph(), ["11/30", "7/15", "1/2"]),
        ("dodecahedron", solids, nx.dodecahedral_graph(), ["19/30", "9/10", "16/15", "17/15", "7/6"]),
        ("petersen", symmetry, nx.petersen_graph(), ["3/5", "4/5"]),
        ("complete-9", "2/n", nx.complete_graph(9), ["2/9"]),
        ("complete-bipartite-3-3", symmetry, nx.complete_bipartite_graph(3, 3), ["5/9", "2/3"]),
        ("cycle-12", "k(n-k)/n", nx.cycle_graph(12), ["11/12", "5/3", "9/4", "8/3", "35/12", "3"]),
    ]
    graphs = [
        _textbook(name, source, _unit(graph), _by_distance(graph, values))
        for name, source, graph, values in distance_regular
    ]
    graphs += [
        _textbook("path-6", "series rule", _unit(nx.path_graph(6)), {(0, 5): "5", (1, 3): "2"}),
        _textbook("ladder-6", "F(2n+1)/F(2n), F the Fibonacci numbers", _ladder(6), {(0, 1): "233/144"}),
    ]
    bridges = [
        ("bridge-balanced", "no current in the balanced arm", (10, 20, 30, 60, 50), "45/2"),
        ("bridge-unequal", "star-delta transformation", (10, 20, 30, 40, 50), "775/37"),
        ("bridge-small", "star-delta transformation", (1, 2, 3, 4, 5), "155/74"),
    ]
    return graphs + [_textbook(name, source, _bridge(arms), {(0, 3): value}) for name, source, arms, value in bridges]


def _ladder(sections: int) -> list[Edge]:
    """1 ohm in series, 1 ohm across, repeated; node 0 is the common rail, node 1 the input."""
    series = [(node, node + 1, 1.0) for node in range(1, sections + 1)]
    return series + [(node + 1, 0, 1.0) for node in range(1, sections + 1)]


def _bridge(arms: tuple[int, ...]) -> list[Edge]:
    ends = [(0, 1), (1, 3), (0, 2), (2, 3), (1, 2)]
    return [(a, b, float(ohms)) for (a, b), ohms in zip(ends, arms, strict=True)]


def _random_graphs(choice: random.Random) -> list[dict[str, Any]]:
    graphs: list[tuple[str, nx.MultiGraph]] = []
    for nodes in (5, 8, 12, 18, 27, 40, 60, 80, 100, 120):
        tree = nx.MultiGraph(nx.random_labeled_tree(nodes, seed=choice))
        tree.add_edges_from(choice.sample(range(nodes), 2) for _ in range(1 + nodes // 8))
        # Two conductors side by side are common in a vehicle.
        tree.add_edge(*choice.choice(list(tree.edges())))
        graphs.append((f"tree-with-chords-{nodes}", tree))
    for rows, columns in ((2, 3), (2, 10), (3, 7), (5, 5), (6, 8), (4, 20), (9, 10), (10, 12)):
        graphs.append((f"grid-{rows}x{columns}", _numbered(nx.grid_2d_graph(rows, columns))))
    for degree, nodes in ((3, 6), (4, 9), (3, 14), (5, 20), (3, 30), (4, 45), (6, 60), (3, 80), (4, 100), (3, 120)):
        graphs.append((f"regular-{degree}-{nodes}", _numbered(nx.random_regular_graph(degree, nodes, seed=choice))))
    for nodes in (5, 11, 24, 50, 85, 120):
        graphs.append((f"star-{nodes}", _numbered(nx.star_graph(nodes - 1))))
    for nodes in (6, 13, 26, 52, 90, 118):
        graphs.append((f"wheel-{nodes}", _numbered(nx.wheel_graph(nodes))))
    return [_random_record(name, graph, choice) for name, graph in graphs]


def _numbered(graph: nx.Graph) -> nx.MultiGraph:
    return nx.MultiGraph(nx.convert_node_labels_to_integers(graph, ordering="sorted"))


def _random_record(name: str, graph: nx.MultiGraph, choice: random.Random) -> dict[str, Any]:
    if not nx.is_connected(graph):
        raise ArithmeticError(f"{name} is not connected: choose another seed")
    edges = [(a, b, float(f"{10 ** choice.uniform(-5, 1):.4g}")) for a, b in sorted(graph.edges())]
    ends = sorted({(min(a, b), max(a, b)) for a, b, _ in edges})
    every = list(combinations(sorted(graph), 2))
    # Both kinds: across one edge, where the path beside it may be far larger, and anywhere.
    pairs = {*choice.sample(ends, min(3, len(ends))), *choice.sample(every, min(6, len(every)))}
    return _record(name, edges, sorted(pairs))
