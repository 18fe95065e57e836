"""Times one fit by scipy's least_squares: scipy_fit.py NAME of a case in checks/estimations.json.

Prints the objective that was found, then the seconds of each run: from the middle of the belief, with exact
derivatives and the library's own tolerances.
"""

import json
import sys
import time
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

sys.path.insert(0, str(Path(__file__).parent.parent / "checks"))
from estimation import CASES, Model  # noqa: E402

FEWEST = 5
LONG_ENOUGH = 3.0


def main(name: str) -> None:
    cases = json.loads(CASES.read_text(encoding="utf-8"))["cases"]
    (case,) = (case for case in cases if case["name"] == name)

    def fit() -> float:
        model = Model(case)
        found = least_squares(model.residuals, np.zeros_like(model.spread), jac=model.jacobian, method="lm")
        return float(found.cost)

    objective = fit()
    seconds: list[float] = []
    while len(seconds) < FEWEST or sum(seconds) < LONG_ENOUGH:
        begin = time.perf_counter()
        fit()
        seconds.append(time.perf_counter() - begin)
    print("\n".join(map(repr, [objective, *seconds])))


main(*sys.argv[1:])
