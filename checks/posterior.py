"""Posterior beliefs of small estimations without Laplace's approximation: importance sampling and emcee."""

import json
import math
from pathlib import Path
from typing import Any

import emcee
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.special import logsumexp
from scipy.stats import multivariate_t

from estimation import Model, State

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]
Case = dict[str, Any]

CASES = Path(__file__).parent / "posteriors.json"
SEED = 3_141
DRAWS = 40_000
"""Draws of the proposal for each hypothesis."""
ADAPTING = (4_000,) * 8 + (10_000,) * 6
"""Draws that only improve the proposal, before those that count."""
ENOUGH = 0.2
"""A proposal of whose draws this share is effective is left as it is."""
FREEDOM = 6
"""Degrees of freedom of the proposal: tails wider than those of any belief."""
WALKERS, STEPS, LEFT_OUT = 192, 6_000, 1_500
NEWTON_STEPS = 60
LEAST_EFFECTIVE = 300.0
"""Of the draws; an evidence with fewer is recorded as null."""

ABOUT = (
    "For each hypothesis of checks/posteriors.json: the logarithm of its evidence by importance sampling, and for the "
    "ones that are sampled the 5, 50 and 95 % points of one unknown, by emcee and by importance sampling."
)


def posterior_vectors() -> dict[str, Any]:
    """Evidences and quantiles of every case."""
    cases = json.loads(CASES.read_text(encoding="utf-8"))["cases"]
    return {"about": ABOUT, "cases": [posterior(case) for case in cases]}


def posterior(case: Case) -> dict[str, Any]:
    """Evidences of all hypotheses of a case, quantiles of those that are asked for."""
    generator = np.random.default_rng(SEED)
    found = []
    for hypothesis in case["hypotheses"]:
        own = dict(case)
        own["mean"], own["spread"] = list(case["mean"]), list(case["spread"])
        for at, mean, spread in hypothesis["beliefs"]:
            own["mean"][at], own["spread"][at] = mean, spread
        target = Target(own)
        middle, covariance = target.laplace()
        evidence, effective, draws, weights = target.importance(middle, covariance, generator)
        known = evidence if effective >= LEAST_EFFECTIVE else None
        answer: dict[str, Any] = {"name": hypothesis["name"], "sampled": {"log_evidence": known}}
        if hypothesis["asked"] is not None:
            at = hypothesis["asked"]
            place, scale = own["mean"][at], own["spread"][at]
            answer["sampled"]["importance"] = _weighted(place + scale * draws[:, at], weights)
            chain = target.emcee(middle, covariance)
            answer["sampled"]["emcee"] = [float(own) for own in np.quantile(place + scale * chain[:, at], [0.05, 0.5, 0.95])]
        found.append(answer)
    return {"name": case["name"], "hypotheses": found}


def _weighted(values: Vector, weights: Vector) -> list[float]:
    order = np.argsort(values)
    below = np.cumsum(weights[order])
    return [float(values[order][np.searchsorted(below, share)]) for share in (0.05, 0.5, 0.95)]


class Target:
    """The posterior of one hypothesis, unknowns in spreads from their mean."""

    def __init__(self, case: Case) -> None:
        self.model = Model(case)
        self.many = [Many(state) for state in self.model.states]
        self.n = len(self.model.mean)

    def log_density(self, scaled: Matrix) -> Vector:
        """Logarithm of belief times likelihood, for each row."""
        unknowns = self.model.mean + self.model.spread * scaled
        log = -0.5 * np.sum(scaled**2, axis=1) - 0.5 * self.n * math.log(2 * math.pi)
        for number, many in enumerate(self.many):
            volts, met = many.solve(unknowns)
            log = np.where(met, log, -np.inf)
            for at, reading in enumerate(self.model.readings):
                if reading["state"] != number:
                    continue
                sigma = self.model.sigma[at]
                misfit = (reading["value"] - many.value(reading["measured"], unknowns, volts)) / sigma
                log = log - 0.5 * misfit**2 - math.log(sigma * math.sqrt(2 * math.pi))
        return log

    def laplace(self) -> tuple[Vector, Matrix]:
        """The most probable unknowns, the best of several starts, and Laplace's covariance there."""
        best, least = np.zeros(self.n), math.inf
        for begin in (0.0, -1.5, 1.5):
            try:
                found = least_squares(self.model.residuals, np.full(self.n, begin), jac=self.model.jacobian, method="lm")
            except ArithmeticError:
                # A start, or a step from it, at which the loads ask for too much.
                continue
            if found.cost < least:
                best, least = found.x, found.cost
        jacobian = self.model.jacobian(best)
        return best, np.linalg.inv(jacobian.T @ jacobian)

    def importance(
        self, middle: Vector, covariance: Matrix, generator: np.random.Generator
    ) -> tuple[float, float, Matrix, Vector]:
        """Logarithm of the evidence, the effective number of draws, the draws and their weights."""
        for count in (*ADAPTING, DRAWS):
            proposal = multivariate_t(middle, covariance, df=FREEDOM)
            draws = np.atleast_2d(proposal.rvs(count, random_state=generator))
            log = self.log_density(draws) - proposal.logpdf(draws)
            total = logsumexp(log)
            weights = np.exp(log - total)
            effective = float(1 / np.sum(weights**2))
            if effective > ENOUGH * count:
                # Good enough; what is left are the counted draws.
                continue
            # Flattened until enough of the draws count, so that the next proposal is not made of a few.
            power = 1.0
            while 1 / np.sum(weights**2) < 20 * self.n and power > 1e-3:
                power *= 0.7
                weights = np.exp(power * log - logsumexp(power * log))
            middle = weights @ draws
            away = draws - middle
            covariance = (weights[:, None] * away).T @ away + 1e-9 * np.eye(self.n)
        weights = np.exp(log - total)
        return float(total - math.log(DRAWS)), float(1 / np.sum(weights**2)), draws, weights

    def emcee(self, middle: Vector, covariance: Matrix) -> Matrix:
        """The chain of an affine-invariant ensemble sampler, flat, its beginning left out."""
        generator = np.random.default_rng(SEED)
        start = generator.multivariate_normal(middle, covariance, WALKERS)
        moves = [(emcee.moves.DEMove(), 0.8), (emcee.moves.DESnookerMove(), 0.2)]
        sampler = emcee.EnsembleSampler(WALKERS, self.n, self.log_density, vectorize=True, moves=moves)
        sampler.random_state = np.random.RandomState(SEED).get_state()
        sampler.run_mcmc(start, STEPS)
        return sampler.get_chain(discard=LEFT_OUT, flat=True)


class Many:
    """A state solved for many unknowns at once. Loads keep to the laws that small cases have."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.kept = np.array(state.kept)
        n, incidence = state.nodes, np.zeros((len(state.branches), state.nodes))
        incidence[np.arange(len(state.a)), state.a] += 1
        incidence[np.arange(len(state.b)), state.b] -= 1
        incidence = incidence[:, self.kept]
        self.outer = np.einsum("bi,bj->bij", incidence, incidence).reshape(len(state.branches), -1)
        ends = np.zeros((len(state.devices), n))
        for at, device in enumerate(state.devices):
            ends[at, device["plus"]], ends[at, device["minus"]] = 1, -1
        self.ends = ends[:, self.kept]
        self.device_outer = np.einsum("di,dj->dij", self.ends, self.ends).reshape(len(state.devices), -1)
        self.membership = np.zeros((len(state.piece_branch), len(state.branches)))
        self.membership[np.arange(len(state.piece_branch)), state.piece_branch] = 1

    def ohms(self, unknowns: Matrix) -> tuple[Matrix, Matrix]:
        """Of pieces and of branches, a row for each set of unknowns."""
        pieces = self.state.piece_ohms * np.exp(unknowns[:, self.state.piece_unknown])
        return pieces, pieces @ self.membership

    def solve(self, unknowns: Matrix) -> tuple[Matrix, NDArray[np.bool_]]:
        """Node volts, and whether all laws are met."""
        count, size = len(unknowns), len(self.kept)
        siemens = np.where(self.state.closed, 1 / self.ohms(unknowns)[1], 0.0)
        fixed = siemens @ self.outer
        across = np.full((count, len(self.state.devices)), 12.0)
        met = np.zeros(count, dtype=bool)
        volts = np.zeros((count, self.state.nodes))
        floating = 1e-12 * np.eye(size)
        for _ in range(NEWTON_STEPS):
            amps, slopes = self._through(unknowns, across)
            matrix = (fixed + slopes @ self.device_outer).reshape(count, size, size) + floating
            right = (slopes * across - amps) @ self.ends
            solved = np.linalg.solve(matrix, right[:, :, None])[:, :, 0]
            volts[:, self.kept] = solved
            answer = solved @ self.ends.T
            # What the devices pass at the answer must be what their tangents promised.
            promised = amps + slopes * (answer - across)
            across = answer
            now, _ = self._through(unknowns, across)
            met = np.max(np.abs(now - promised), axis=1) < 1e-7
            if np.all(met):
                break
        return volts, met

    def _through(self, unknowns: Matrix, across: Matrix) -> tuple[Matrix, Matrix]:
        amps, slopes = np.zeros_like(across), np.zeros_like(across)
        for at, device in enumerate(self.state.devices):
            amps[:, at], slopes[:, at] = _law(device, unknowns, across[:, at])
        return amps, slopes

    def value(self, measured: Any, unknowns: Matrix, volts: Matrix) -> Vector:
        """What a meter shows for each set of unknowns."""
        pieces, branches = self.ohms(unknowns)

        def amps(branch: int) -> Vector:
            ends = self.state.a[branch], self.state.b[branch]
            return (volts[:, ends[0]] - volts[:, ends[1]]) / branches[:, branch]

        def lead(own: dict[str, Any]) -> Vector:
            if "branch" not in own:
                return volts[:, own["node"]]
            (at,) = np.flatnonzero(
                (self.state.piece_branch == own["branch"]) & (self.state.piece_unknown == own["unknown"])
            )
            return volts[:, own["node"]] + own["sign"] * pieces[:, at] * amps(own["branch"])

        if isinstance(measured, dict):
            return amps(measured["branch"])
        return lead(measured[0]) - lead(measured[1])


def _polarised(device: dict[str, Any], unknowns: Matrix, volts: Vector) -> tuple[Vector, Vector]:
    """A battery whose plates polarise; one that is so many times worse is like a smaller one."""
    fall = device["volts"] + unknowns[:, device["volts_unknown"]] - volts
    worse = np.exp(unknowns[:, device["ohms_unknown"]])
    ohms, exchange = device["ohms"] * worse, device["exchange_amps"] / worse
    swing = device["polarisation_volts"]
    given = np.maximum(fall, 0.0)
    share = np.minimum(np.arcsinh(given / (ohms * exchange)), given / swing)
    for _ in range(30):
        over = ohms * exchange * np.sinh(share) + swing * share - given
        share = share - over / (ohms * exchange * np.cosh(share) + swing)
    amps = exchange * np.sinh(share)
    charge = np.maximum(device["charge_ohms"], ohms)
    return (
        np.where(fall > 0, -amps, -fall / charge),
        np.where(fall > 0, 1 / (ohms + swing / np.hypot(exchange, amps)), 1 / charge),
    )


def _law(device: dict[str, Any], unknowns: Matrix, volts: Vector) -> tuple[Vector, Vector]:
    """Current from plus through the device to minus, and its slope."""
    if device["kind"] == "battery2":
        emf = device["volts"] + unknowns[:, device["volts_unknown"]]
        ohms = device["ohms"] * np.exp(unknowns[:, device["ohms_unknown"]])
        ohms = np.where(volts < emf, ohms, np.maximum(device["charge_ohms"], ohms))
        return (volts - emf) / ohms, 1 / ohms
    if device["kind"] == "battery3":
        return _polarised(device, unknowns, volts)
    factor = np.exp(unknowns[:, device["draw_unknown"]])
    amps = device["amps"] * factor
    rated = device["rated_volts"]
    if device["kind"] == "power_law":
        exponent, knee = device["exponent"], device["knee_volts"]
        follows = amps * (np.maximum(volts, knee) / rated) ** exponent
        straight = amps * (knee / rated) ** exponent / knee
        above = volts >= knee
        return (
            np.where(above, follows, straight * volts),
            np.where(above, exponent * follows / np.maximum(volts, knee), straight),
        )
    if device["kind"] == "affine":
        slope = amps * device["slope_share"] / rated
        stall = device["stall_ohms"] / factor
        turning, stalled = amps * (1 - device["slope_share"]) + slope * volts, volts / stall
        stands = stalled < turning
        return np.where(stands, stalled, turning), np.where(stands, 1 / stall, slope)
    raise ValueError(f"no small case has a {device['kind']}")
