"""Writes the recorded vectors, or checks that computing them again gives the same answers."""

import argparse
import json
import math
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from as_solved import as_solved_vectors
from effective_resistance import effective_resistance_vectors
from estimation import estimation_vectors
from fault_current import fault_current_vectors
from operating_point import operating_point_vectors
from posterior import posterior_vectors
from tracing import tracing_vectors
from transient_heating import transient_heating_vectors

RECORDED = Path(__file__).parent / "vectors"
VECTORS: dict[str, Callable[[], dict[str, Any]]] = {
    "as_solved.json": as_solved_vectors,
    "effective_resistance.json": effective_resistance_vectors,
    "estimation.json": estimation_vectors,
    "fault_current.json": fault_current_vectors,
    "operating_point.json": operating_point_vectors,
    "tracing.json": tracing_vectors,
    "transient_heating.json": transient_heating_vectors,
}
SAMPLED: dict[str, Callable[[], dict[str, Any]]] = {"posterior.json": posterior_vectors}
"""Minutes of sampling: only when asked for."""

RELATIVE = 1e-9
SOLUTION_FLOOR = 1e-9
"""Volts or amperes, in operating points only: a conductor that carries nothing has only rounding to compare."""
SAMPLED_FLOOR = 0.1
"""Of logarithms of evidences and resistances that were sampled: another machine's last digits make other draws."""

DIFFERENCES_SHOWN = 5


def text(document: dict[str, Any]) -> str:
    """JSON with one graph or network on each line, every number in its shortest exact form."""
    (records_name,) = (key for key, value in document.items() if isinstance(value, list))
    head = [f'"{key}": {json.dumps(value)},' for key, value in document.items() if key != records_name]
    rows = ",\n".join(json.dumps(record, allow_nan=False) for record in document[records_name])
    return "\n".join(["{", *head, f'"{records_name}": [', rows, "]", "}", ""])


def differences(recorded: Any, computed: Any, place: str = "", floor: float = 0.0) -> Iterator[str]:
    """One line for each value that is missing, of another kind, or further off than the tolerance."""
    if isinstance(recorded, dict) and isinstance(computed, dict):
        if recorded.keys() != computed.keys():
            yield f"{place}: has {sorted(recorded)}, computed {sorted(computed)}"
            return
        for key, value in recorded.items():
            inner = {"solution": SOLUTION_FLOOR, "sampled": SAMPLED_FLOOR}.get(key, floor)
            yield from differences(value, computed[key], f"{place}/{key}", inner)
    elif isinstance(recorded, list) and isinstance(computed, list):
        if len(recorded) != len(computed):
            yield f"{place}: has {len(recorded)} entries, computed {len(computed)}"
            return
        for index, (value, other) in enumerate(zip(recorded, computed, strict=True)):
            name = value.get("name", index) if isinstance(value, dict) else index
            yield from differences(value, other, f"{place}/{name}", floor)
    elif isinstance(recorded, float) and isinstance(computed, float):
        if not math.isclose(recorded, computed, rel_tol=RELATIVE, abs_tol=floor):
            yield f"{place}: recorded {recorded!r}, computed {computed!r}"
    elif type(recorded) is not type(computed) or recorded != computed:
        yield f"{place}: recorded {recorded!r}, computed {computed!r}"


def check(directory: Path, wanted: dict[str, Callable[[], dict[str, Any]]]) -> bool:
    """Computes every vector again and reports on each file; true when all agree."""
    agree = True
    for name, vectors in wanted.items():
        path = directory / name
        if not path.is_file():
            print(f"{name}: not recorded in {directory}", file=sys.stderr)
            agree = False
            continue
        try:
            recorded = json.loads(path.read_text(encoding="utf-8"))
        except ValueError as error:
            print(f"{name}: not JSON: {error}", file=sys.stderr)
            agree = False
            continue
        # Through text and back, so that tuples and lists are alike.
        found = list(differences(recorded, json.loads(text(vectors()))))
        if found:
            agree = False
            print(f"{name}: {len(found)} values differ from the recorded ones, the first:", file=sys.stderr)
            for line in found[:DIFFERENCES_SHOWN]:
                print(f"  {line}", file=sys.stderr)
        else:
            print(f"{name}: agrees")
    return agree


def write(directory: Path, wanted: dict[str, Callable[[], dict[str, Any]]]) -> None:
    """Computes every vector and writes it to the directory."""
    directory.mkdir(parents=True, exist_ok=True)
    for name, vectors in wanted.items():
        (directory / name).write_text(text(vectors()), encoding="utf-8")
        print(f"{name}: written")


def main() -> int:
    """Exit status 0 when all is written or all agrees, 1 when something differs."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--check", action="store_true", help="compare with the recorded files; write nothing")
    arguments.add_argument("--out", type=Path, default=RECORDED, metavar="DIR", help="directory of the vectors")
    arguments.add_argument("--sampled", action="store_true", help="also what is sampled, which takes some minutes")
    chosen = arguments.parse_args()
    wanted = VECTORS | SAMPLED if chosen.sampled else VECTORS
    if chosen.check:
        return 0 if check(chosen.out, wanted) else 1
    write(chosen.out, wanted)
    return 0


if __name__ == "__main__":
    sys.exit(main())
