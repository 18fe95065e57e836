"""Times SciPy's splu and its solve: scipy_splu.py MATRIX.mtx RIGHT.txt ANSWER.txt.

Writes the answer, and prints the seconds of one factorisation and solve, one line per batch.
"""

import sys
import time

import numpy as np
import scipy.io
import scipy.sparse
import scipy.sparse.linalg

BATCHES = 31
BATCHES_OF_SLOW = 15
SLOW = 0.05
SHORTEST_BATCH = 0.005


def main(matrix_path: str, right_path: str, answer_path: str) -> None:
    matrix = scipy.sparse.csc_matrix(scipy.io.mmread(matrix_path))
    right = np.loadtxt(right_path)

    def solve() -> np.ndarray:
        # The settings that SuperLU recommends for a symmetric matrix with a strong diagonal.
        factors = scipy.sparse.linalg.splu(
            matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
        )
        return factors.solve(right)

    answer = solve()
    begin = time.perf_counter()
    solve()
    once = time.perf_counter() - begin
    repeats = max(1, round(SHORTEST_BATCH / once))
    seconds = []
    for _ in range(BATCHES_OF_SLOW if once > SLOW else BATCHES):
        begin = time.perf_counter()
        for _ in range(repeats):
            solve()
        seconds.append((time.perf_counter() - begin) / repeats)
    np.savetxt(answer_path, answer, fmt="%.17e")
    print("\n".join(map(repr, seconds)))


main(*sys.argv[1:])
