"""How warm a conductor gets, by SciPy's integrator on the heat balance of a round conductor in still air."""

import math
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

STEFAN_BOLTZMANN = 5.670374e-8
GRAVITY = 9.80665
MELTING_KELVIN = 1356.0
LIMIT_KELVIN = 378.15
SEED = 20251126
TIGHT = {"method": "LSODA", "rtol": 1e-10, "atol": 1e-8}

COPPER_OHM_METRES = 1.7241e-8
COPPER_JOULES = 3.45e6
PLASTIC_JOULES = 2.0e6


def _face_loss(face: float, case: dict[str, Any]) -> float:
    """Heat that leaves a metre of the outer face: Churchill and Chu (1975), and radiation."""
    air, diameter = case["air_kelvin"], case["outer_metres"]
    film = (face + air) / 2
    dynamic = 1.458e-6 * film**1.5 / (film + 110.4)
    conductivity = 2.64638e-3 * film**1.5 / (film + 245.4 * 10 ** (-12 / film))
    kinematic = dynamic * 287.05 * film / 101325.0
    prandtl = dynamic * 1006.0 / conductivity
    rayleigh = GRAVITY * abs(face - air) * diameter**3 / (film * kinematic**2) * prandtl
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    convection = nusselt * conductivity / diameter * (face - air)
    radiation = case["emissivity"] * STEFAN_BOLTZMANN * (face**4 - air**4)
    free = math.pi * diameter * (convection + radiation)
    if case["shape_factor"] is None:
        return free
    # Along metal half of the face sees the room; the other half gives its heat to the metal.
    return free / 2 + case["shape_factor"] * conductivity * (face - air)


def _shape_factor(diameter: float, gap: float, terms: int = 60) -> float:
    """Heat from a cylinder to a plane beside it: a line source with multipoles and the images of all,
    fitted so that the cylinder's face has one temperature."""
    radius = diameter / 2
    height = radius + gap
    angles = np.linspace(0.0, math.pi, 512)
    x, y = radius * np.sin(angles), height - radius * np.cos(angles)
    own, image = x + 1j * (y - height), x + 1j * (y + height)
    fields = [np.log(np.abs(image / own)) / (2 * math.pi)]
    fields += [((1j * radius / own) ** k).real - ((-1j * radius / image) ** k).real for k in range(1, terms + 1)]
    potential = np.stack(fields, axis=1)
    strengths, *_ = np.linalg.lstsq(potential, np.ones(len(angles)), rcond=None)
    worst = float(np.max(np.abs(potential @ strengths - 1)))
    if worst > 1e-9:
        raise ValueError(f"the face is not of one temperature: {worst}")
    return float(strengths[0])


def _loss(metal: float, case: dict[str, Any]) -> float:
    """The same from the metal's temperature, through the insulation, with the bundle's share."""
    air = case["air_kelvin"]
    if metal <= air:
        return 0.0
    wall = math.log(case["outer_metres"] / case["metal_metres"]) / (2 * math.pi * case["conductivity"])
    face = brentq(lambda face: metal - face - wall * _face_loss(face, case), air, metal, xtol=1e-12, rtol=1e-14)
    return case["derating"] ** 2 * _face_loss(face, case)


def _made(metal: float, case: dict[str, Any]) -> float:
    return case["amps"] ** 2 * case["ohms_per_metre"] * (1 + case["per_kelvin"] * (metal - 293.15))


def _rate(metal: float, case: dict[str, Any]) -> float:
    return (_made(metal, case) - _loss(metal, case)) / case["joules_per_metre_kelvin"]


def _case(
    name: str, mm2: float, amps: float, celsius: float, derating: float, bare: bool, gap: float | None = None
) -> dict[str, Any]:
    area = mm2 * 1e-6
    metal = math.sqrt(4 * area / (math.pi * 0.75))
    outer = metal if bare else metal + 2 * (0.3e-3 + 0.15e-3 * math.sqrt(mm2))
    ring = math.pi / 4 * (outer**2 - metal**2)
    return {
        "name": name,
        "metal_metres": metal,
        "outer_metres": outer,
        "ohms_per_metre": 1.02 * COPPER_OHM_METRES / area,
        "per_kelvin": 0.00393,
        "conductivity": 0.2,
        "emissivity": 0.5 if bare else 0.9,
        "joules_per_metre_kelvin": COPPER_JOULES * area + PLASTIC_JOULES * ring,
        "air_kelvin": 273.15 + celsius,
        "derating": derating,
        "metal_gap_metres": gap,
        "shape_factor": None if gap is None else _shape_factor(outer, gap),
        "amps": amps,
        "limit_kelvin": LIMIT_KELVIN,
    }


def _solved(case: dict[str, Any]) -> dict[str, Any]:
    air, limit = case["air_kelvin"], case["limit_kelvin"]

    def passes(kelvin: float) -> Any:
        def event(_: float, state: np.ndarray) -> float:
            return state[0] - kelvin

        event.terminal = True
        return event

    long = 40 * case["joules_per_metre_kelvin"] / (math.pi * case["outer_metres"] * 8.0 * case["derating"] ** 2)
    rate = lambda _, state: [_rate(state[0], case)]  # noqa: E731
    to_limit = solve_ivp(rate, (0.0, long), [air], events=passes(limit), **TIGHT)
    hits = to_limit.t_events[0]
    to_melting = solve_ivp(rate, (0.0, long), [air], events=passes(MELTING_KELVIN - 60), **TIGHT)
    last = float(to_melting.t[-1])
    times = [round(last * share, 6) for share in (0.002, 0.02, 0.1, 0.3, 0.6, 0.99)]
    course = solve_ivp(rate, (0.0, times[-1]), [air], t_eval=times, **TIGHT)
    # How far the metal still climbs past the limit decides how well a time can be known.
    spare = _rate(limit, case) / _rate(air + 1e-6, case)
    return {
        **case,
        "limit_after_seconds": float(hits[0]) if len(hits) else None,
        "time_tolerance": 0.004 + 0.004 / max(spare, 0.02),
        "course": [
            {"seconds": time, "kelvin": float(kelvin)} for time, kelvin in zip(times, course.y[0], strict=True)
        ],
    }


def transient_heating_vectors() -> dict[str, Any]:
    """Courses of temperature of copper conductors from air temperature on."""
    draw = np.random.default_rng(SEED)
    cases = []
    for mm2 in (0.5, 1.5, 4.0, 10.0, 25.0, 70.0):
        for bare in (False, True):
            for share in (0.6, 1.6, 6.0):
                usual = 17.0 * mm2**0.7
                amps = float(round(usual * share * draw.uniform(0.9, 1.1), 2))
                celsius = float(round(draw.uniform(-20.0, 70.0), 1))
                derating = float(draw.choice([1.0, 0.8, 0.6]))
                kind = "bare" if bare else "insulated"
                cases.append(_solved(_case(f"{mm2:g}mm2-{kind}-{amps:g}A", mm2, amps, celsius, derating, bare)))
    for mm2, gap in ((1.5, 1e-3), (4.0, 0.3e-3), (10.0, 1e-3), (35.0, 2e-3)):
        for share in (1.0, 6.0):
            amps = float(round(17.0 * mm2**0.7 * share, 2))
            name = f"{mm2:g}mm2-on-metal-{amps:g}A"
            cases.append(_solved(_case(name, mm2, amps, 40.0, 1.0, False, gap)))
    return {"about": "checks/transient_heating.py", "cases": cases}
