"""The voltage-current laws of the elements in the operating-point vectors, each with its slope and regime."""

import math
from typing import Any, NamedTuple

from scipy.optimize import brentq
from scipy.special import lambertw

Element = dict[str, Any]

TERMINALS = {
    "resistor": ("a", "b"),
    "battery": ("plus", "minus"),
    "battery2": ("plus", "minus"),
    "battery3": ("plus", "minus"),
    "regulated": ("plus", "minus"),
    "diode": ("anode", "cathode"),
    "power_law": ("plus", "minus"),
    "affine": ("plus", "minus"),
    "preheat": ("plus", "minus"),
    "self_regulating": ("plus", "minus"),
}
SOURCES = frozenset({"battery", "battery2", "battery3", "regulated"})
LOADS = frozenset({"power_law", "affine", "preheat", "self_regulating"})
DIODE_LEAKAGE_SIEMENS = 1e-9


class Response(NamedTuple):
    """What an element does at one voltage."""

    amps: float
    """Current in amperes: out of plus for a source, from the first terminal to the second otherwise."""
    slope: float
    """Its derivative in siemens; at a corner, that of the side the voltage is counted to."""
    regime: str
    """Which branch of its law the element is on."""


def terminals(element: Element) -> tuple[int, int]:
    """The nodes of the first and the second terminal."""
    first, second = TERMINALS[element["kind"]]
    return element[first], element[second]


def response(element: Element, volts: float) -> Response:
    """Current, slope and regime for a voltage from the first terminal to the second."""
    return _LAWS[element["kind"]](element, volts)


def _resistor(element: Element, volts: float) -> Response:
    return Response(volts / element["ohms"], 1 / element["ohms"], "ohmic")


def _battery(element: Element, volts: float) -> Response:
    spare, ohms = element["volts"] - volts, element["ohms"]
    return Response(spare / ohms, -1 / ohms, "discharging" if spare > 0 else "charging")


def _battery2(element: Element, volts: float) -> Response:
    discharging = volts < element["volts"]
    ohms = element["ohms"] if discharging else element["charge_ohms"]
    return Response((element["volts"] - volts) / ohms, -1 / ohms, "discharging" if discharging else "charging")


def _battery3(element: Element, volts: float) -> Response:
    """A battery whose plates polarise while it delivers: V = E - R I - u asinh(I / I0)."""
    if volts >= element["volts"]:
        return _battery2(element, volts)
    fall, ohms = element["volts"] - volts, element["ohms"]
    swing, exchange = element["polarisation_volts"], element["exchange_amps"]

    def left(amps: float) -> float:
        return ohms * amps + swing * math.asinh(amps / exchange) - fall

    amps = float(brentq(left, 0.0, fall / ohms, xtol=1e-300, rtol=1e-15)) if fall > 0 else 0.0
    return Response(amps, -1 / (ohms + swing / math.hypot(exchange, amps)), "discharging")


def _regulated(element: Element, volts: float) -> Response:
    amps = (element["volts"] - volts) / element["droop_ohms"]
    if amps <= 0:
        return Response(0.0, 0.0, "off")
    if amps >= element["max_amps"]:
        return Response(element["max_amps"], 0.0, "limited")
    return Response(amps, -1 / element["droop_ohms"], "regulating")


def _diode(element: Element, volts: float) -> Response:
    leakage = DIODE_LEAKAGE_SIEMENS * volts
    if volts <= element["volts"]:
        return Response(leakage, DIODE_LEAKAGE_SIEMENS, "blocking")
    amps = (volts - element["volts"]) / element["ohms"]
    return Response(amps + leakage, 1 / element["ohms"] + DIODE_LEAKAGE_SIEMENS, "conducting")


def _power_law(element: Element, volts: float) -> Response:
    rated, exponent, knee = element["rated_volts"], element["exponent"], element["knee_volts"]
    if volts >= knee:
        amps = element["amps"] * (volts / rated) ** exponent
        return Response(amps, exponent * amps / volts, "following")
    slope = element["amps"] * (knee / rated) ** exponent / knee
    return Response(slope * volts, slope, "below knee" if volts >= 0 else "reversed")


def _affine(element: Element, volts: float) -> Response:
    slope = element["amps"] * element["slope_share"] / element["rated_volts"]
    turning = element["amps"] * (1 - element["slope_share"]) + slope * volts
    stalled = volts / element["stall_ohms"]
    if volts <= 0 or stalled < turning:
        return Response(stalled, 1 / element["stall_ohms"], "stalled" if volts > 0 else "reversed")
    return Response(turning, slope, "turning")


def _preheat(element: Element, volts: float) -> Response:
    rated = element["rated_volts"]
    cold, hot = rated / element["cold_amps"], rated / element["settled_amps"]
    rise = (hot - cold) / (rated * element["settled_amps"])
    root = math.sqrt(cold**2 + 4 * rise * volts**2)
    ohms = (cold + root) / 2
    slope = 1 / ohms - volts / ohms**2 * (2 * rise * volts / root)
    return Response(volts / ohms, slope, "settled" if volts >= 0 else "reversed")


def _self_regulating(element: Element, volts: float) -> Response:
    """Settled: the resistance rises by the same share for each kelvin, the warmth with the power."""
    rated = element["rated_volts"]
    steepness = math.log(element["cold_amps"] / element["settled_amps"])
    rise = float(lambertw(steepness * math.exp(steepness) * (volts / rated) ** 2).real)
    ohms = rated / element["cold_amps"] * math.exp(rise)
    return Response(volts / ohms, (1 - rise) / (1 + rise) / ohms, "rising" if rise < 1 else "falling")


_LAWS = {
    "resistor": _resistor,
    "battery": _battery,
    "battery2": _battery2,
    "battery3": _battery3,
    "regulated": _regulated,
    "diode": _diode,
    "power_law": _power_law,
    "affine": _affine,
    "preheat": _preheat,
    "self_regulating": _self_regulating,
}
