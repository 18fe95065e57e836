"""Invented vehicle-like networks for the operating-point vectors: batteries, alternators, straps, loads."""

import random
from collections.abc import Iterator
from typing import Any

from element_laws import Element

CASES_PER_FAMILY = 4
REFERENCE = 0


class Vehicle:
    """A network under construction: one battery negative post, a block, a body and a feed side."""

    def __init__(self, choice: random.Random, system_volts: int) -> None:
        self.choice = choice
        self.system_volts = system_volts
        self.nodes = 1
        self.elements: list[Element] = []
        self.feed = self.node()
        self.block = self.node()
        self.body = self._body(choice.randint(3, 6))

    def node(self) -> int:
        """A new node."""
        self.nodes += 1
        return self.nodes - 1

    def draw(self, least: float, most: float) -> float:
        """A number between two limits, even on a logarithmic scale, to four significant digits."""
        return float(f"{least * (most / least) ** self.choice.random():.4g}")

    def add(self, kind: str, **parameters: Any) -> None:
        """An element; its fields are those of the JSON file."""
        self.elements.append({"kind": kind, **parameters})

    def wire(self, a: int, b: int, least_ohms: float, most_ohms: float) -> None:
        """A conductor with its joints."""
        self.add("resistor", a=a, b=b, ohms=self.draw(least_ohms, most_ohms))

    def lead(self, start: int, least_ohms: float, most_ohms: float) -> int:
        """A conductor to a new node, which is returned."""
        end = self.node()
        self.wire(start, end, least_ohms, most_ohms)
        return end

    def _body(self, points: int) -> list[int]:
        body = [self.node() for _ in range(points)]
        for a, b in zip(body, body[1:] + body[:1], strict=True):
            self.wire(a, b, 3e-4, 3e-3)
        return body

    def straps(self, block_to_body: tuple[float, float] = (5e-4, 5e-3)) -> None:
        """Battery to block, battery to body, block to body, and a control cable that also conducts."""
        self.wire(REFERENCE, self.block, 3e-4, 2e-3)
        self.wire(REFERENCE, self.body[0], 1e-3, 5e-3)
        self.wire(self.block, self.body[1], *block_to_body)
        self.wire(self.block, self.body[2], 0.05, 1.0)

    def battery(self, plus: int, minus: int, share: float = 1.0, two_sided: bool = True) -> None:
        """A battery of a share of the system's voltage."""
        cells = self.system_volts / 12 * share
        volts, ohms = round(cells * self.choice.uniform(12.2, 12.8), 3), self.draw(3e-3 * cells, 9e-3 * cells)
        if two_sided:
            charge_ohms = float(f"{ohms * self.choice.uniform(1.5, 8):.4g}")
            self.add("battery2", plus=plus, minus=minus, volts=volts, ohms=ohms, charge_ohms=charge_ohms)
        else:
            self.add("battery", plus=plus, minus=minus, volts=volts, ohms=ohms)

    def polarised(self, plus: int, minus: int) -> None:
        """A battery whose plates polarise, the less at once the colder it is."""
        cells = self.system_volts / 12
        ohms = self.draw(2e-3 * cells, 6e-3 * cells)
        self.add(
            "battery3",
            plus=plus,
            minus=minus,
            volts=round(cells * self.choice.uniform(12.2, 12.8), 3),
            ohms=ohms,
            charge_ohms=float(f"{ohms * self.choice.uniform(10, 50):.4g}"),
            polarisation_volts=round(0.3 * cells, 3),
            exchange_amps=self.draw(2, 12),
        )

    def alternator(self, twelfths: float, max_amps: float, plus: int | None = None) -> None:
        """An alternator on the block, its set voltage stated for a 12 V system."""
        output = self.lead(self.feed, 1e-3, 4e-3) if plus is None else plus
        volts = round(twelfths * self.system_volts / 12, 3)
        droop = self.draw(2e-3, 2e-2)
        self.add("regulated", plus=output, minus=self.block, volts=volts, droop_ohms=droop, max_amps=round(max_amps, 1))

    def starter(self, least_amps: float, most_amps: float) -> None:
        """A starter between its feed cable and the block."""
        amps, rated = self.draw(least_amps, most_amps), self.system_volts * 10 / 12
        self.add(
            "affine",
            plus=self.lead(self.feed, 5e-4, 2e-3),
            minus=self.block,
            amps=amps,
            rated_volts=round(rated, 3),
            slope_share=round(self.choice.uniform(0.1, 0.5), 3),
            stall_ohms=float(f"{rated / amps / self.choice.uniform(2, 4):.4g}"),
        )

    def load(
        self,
        exponent: float,
        amps: float,
        plus: int,
        minus: int,
        *,
        knee_share: float | None = None,
        twelfths: float = 0,
    ) -> None:
        """A load rated at 13 V for each 12 V of the system, or `twelfths` times 13 V on part of it."""
        rated = round(13.0 * (twelfths or self.system_volts / 12), 3)
        share = self.choice.uniform(0.4, 0.6) if knee_share is None else knee_share
        self.add(
            "power_law",
            plus=plus,
            minus=minus,
            amps=float(f"{amps:.4g}"),
            rated_volts=rated,
            exponent=exponent,
            knee_volts=round(rated * share, 3),
        )

    def loads(self, amps: float, feed: int | None = None) -> None:
        """Loads of every kind that together draw about `amps`, behind one distribution point."""
        box = self.lead(self.feed if feed is None else feed, 1e-3, 4e-3)
        kinds = [(1.0, 3), (0.55, 2), (1.4, 3), (0.0, 1), (-1.0, 3), (round(self.choice.uniform(-1, 2), 2), 1)]
        weights = [weight * self.choice.uniform(0.5, 1.5) for _, weight in kinds]
        for (exponent, _), weight in zip(kinds, weights, strict=True):
            drawn = amps * weight / sum(weights)
            # Conductors are sized for their load: 0.05 to 0.3 V on each side.
            plus = self.lead(box, 0.05 / drawn, 0.3 / drawn)
            minus = self.lead(self.choice.choice(self.body), 0.03 / drawn, 0.3 / drawn)
            self.load(exponent, drawn, plus, minus)

    def plugs(self, number: int) -> None:
        """Preheat plugs on a common bar, each screwed into the block."""
        bar = self.lead(self.feed, 1e-3, 5e-3)
        scale = 12 / self.system_volts
        for _ in range(number):
            settled = self.draw(6 * scale, 14 * scale)
            plus = self.lead(bar, 1e-3, 8e-3)
            self.add(
                "preheat",
                plus=plus,
                minus=self.block,
                cold_amps=float(f"{settled * self.choice.uniform(1.5, 3.5):.4g}"),
                settled_amps=settled,
                rated_volts=float(self.system_volts - 1),
            )


    def heater(self, settled: float, steepness: float) -> None:
        """A self-regulating heater on its own lead, screwed into the body."""
        amps = settled * 12 / self.system_volts
        self.add(
            "self_regulating",
            plus=self.lead(self.feed, 0.05 / amps, 0.2 / amps),
            minus=self.lead(self.choice.choice(self.body), 0.03 / amps, 0.2 / amps),
            cold_amps=float(f"{amps * steepness:.4g}"),
            settled_amps=float(f"{amps:.4g}"),
            rated_volts=round(13.0 * self.system_volts / 12, 3),
        )


def _resting(vehicle: Vehicle, _: int) -> None:
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE, two_sided=False)
    vehicle.loads(vehicle.draw(15, 80))


def _cranking(vehicle: Vehicle, _: int) -> None:
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE)
    vehicle.starter(120, 450)
    vehicle.loads(vehicle.draw(5, 20))


def _alternator_regulating(vehicle: Vehicle, _: int) -> None:
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE)
    vehicle.alternator(14.3, 300)
    vehicle.loads(vehicle.draw(10, 60))


def _alternator_limited(vehicle: Vehicle, _: int) -> None:
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE)
    vehicle.alternator(14.3, vehicle.draw(25, 60))
    vehicle.loads(vehicle.draw(80, 130))


def _alternator_off(vehicle: Vehicle, _: int) -> None:
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE)
    vehicle.alternator(10.8, 70)
    vehicle.loads(vehicle.draw(10, 40))


def _batteries_in_parallel(vehicle: Vehicle, index: int) -> None:
    """Two unequal batteries joined in both rails; cranking in every second one, resting in the others."""
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE)
    second_minus = vehicle.lead(REFERENCE, 3e-4, 2e-3)
    vehicle.battery(vehicle.lead(vehicle.feed, 3e-4, 2e-3), second_minus, two_sided=False)
    if index % 2:
        vehicle.starter(300, 600)
    vehicle.loads(vehicle.draw(1, 10))


def _series_pair(vehicle: Vehicle, index: int) -> None:
    """A 24 V pair of which one half feeds a 12 V load as well."""
    vehicle.straps()
    middle = vehicle.node()
    link = vehicle.lead(middle, 3e-4, 1e-3)
    vehicle.battery(link, REFERENCE, share=0.5, two_sided=index % 2 == 0)
    vehicle.battery(vehicle.feed, middle, share=0.5)
    tap = vehicle.lead(middle, 5e-3, 2e-2)
    vehicle.load(0.55, vehicle.draw(3, 15), tap, vehicle.lead(vehicle.body[0], 1e-3, 1e-2), twelfths=1)
    if index % 2:
        vehicle.starter(200, 600)
    else:
        vehicle.alternator(14.1, 80)
    vehicle.loads(vehicle.draw(5, 30))


def _isolating_diodes(vehicle: Vehicle, index: int) -> None:
    """An alternator, too slow in every second one, that charges two batteries through a diode each."""
    vehicle.straps()
    output = vehicle.node()
    vehicle.alternator(11.0 if index % 2 else 15.1, vehicle.draw(60, 130), plus=output)
    # Without its field circuit the output would float on the leakage of blocking diodes.
    vehicle.wire(output, vehicle.block, 50, 200)
    house_minus = vehicle.lead(vehicle.body[-1], 1e-3, 4e-3)
    house_plus = vehicle.node()
    vehicle.battery(vehicle.feed, REFERENCE)
    vehicle.battery(house_plus, house_minus)
    for post in (vehicle.feed, house_plus):
        anode = vehicle.lead(output, 5e-4, 3e-3)
        cathode = vehicle.lead(post, 1e-3, 1e-2)
        vehicle.add("diode", anode=anode, cathode=cathode, volts=0.7, ohms=vehicle.draw(1e-3, 5e-3))
    vehicle.loads(vehicle.draw(5, 30))
    vehicle.loads(vehicle.draw(30, 110), feed=house_plus)


def _preheating(vehicle: Vehicle, index: int) -> None:
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE, two_sided=index % 2 == 0)
    vehicle.plugs(4 + index % 3)
    vehicle.loads(vehicle.draw(5, 15))


def _poor_return(vehicle: Vehicle, index: int) -> None:
    """The block's own strap is bad: its current comes home by the body and the control cable."""
    vehicle.wire(REFERENCE, vehicle.block, 0.05, 5.0)
    vehicle.wire(REFERENCE, vehicle.body[0], 1e-3, 5e-3)
    vehicle.wire(vehicle.block, vehicle.body[1], 0.05, 2.0)
    vehicle.wire(vehicle.block, vehicle.body[2], 0.05, 1.0)
    vehicle.battery(vehicle.feed, REFERENCE)
    if index % 2:
        vehicle.starter(150, 400)
    else:
        vehicle.plugs(4)
    # A load with a corroded earth joint: a knee above half the supply lets it be starved without a fold.
    load_feed, earth = vehicle.lead(vehicle.feed, 5e-3, 2e-2), vehicle.lead(vehicle.body[-1], 1.0, 4.0)
    exponent, amps = -1.0 if index < 2 else 0.0, vehicle.draw(5, 15) * 12 / vehicle.system_volts
    vehicle.load(exponent, amps, load_feed, earth, knee_share=0.7)
    vehicle.loads(vehicle.draw(5, 20))


def _battery_reversed(vehicle: Vehicle, index: int) -> None:
    """The battery is the wrong way round; a diode in one feed keeps that current off."""
    vehicle.straps()
    vehicle.battery(REFERENCE, vehicle.feed, two_sided=index % 2 == 0)
    vehicle.starter(120, 300)
    vehicle.plugs(4)
    guarded = vehicle.node()
    vehicle.add("diode", anode=vehicle.lead(vehicle.feed, 2e-3, 1e-2), cathode=guarded, volts=0.7, ohms=5e-3)
    vehicle.wire(guarded, vehicle.body[0], 50, 200)
    vehicle.load(-1.0, 5.0, guarded, vehicle.body[0])
    vehicle.loads(vehicle.draw(5, 30))


def _heating(vehicle: Vehicle, index: int) -> None:
    """Heaters as steep as a plain wire and as a ceramic, the second beyond the tip of its current."""
    vehicle.straps()
    vehicle.battery(vehicle.feed, REFERENCE)
    vehicle.alternator(14.3, vehicle.draw(60, 160))
    vehicle.heater(vehicle.draw(20, 70), (1.4, 6.0)[index % 2])
    vehicle.heater(vehicle.draw(3, 10), 2.0)
    vehicle.loads(vehicle.draw(5, 30))


def _cold_start(vehicle: Vehicle, index: int) -> None:
    """Batteries whose plates polarise, from a few lamps to a starter that nearly stalls; every second time two."""
    vehicle.straps()
    vehicle.polarised(vehicle.feed, REFERENCE)
    if index % 2:
        vehicle.polarised(vehicle.lead(vehicle.feed, 3e-4, 2e-3), vehicle.lead(REFERENCE, 3e-4, 2e-3))
    if index % 3:
        vehicle.starter(150, 500)
    vehicle.loads(vehicle.draw(5, 60))


FAMILIES = [
    ("resting", _resting, (12, 24)),
    ("cranking", _cranking, (12,)),
    ("alternator-regulating", _alternator_regulating, (12, 24)),
    ("alternator-limited", _alternator_limited, (12, 24)),
    ("alternator-off", _alternator_off, (12, 24)),
    ("batteries-in-parallel", _batteries_in_parallel, (12,)),
    ("series-pair", _series_pair, (24,)),
    ("isolating-diodes", _isolating_diodes, (12,)),
    ("preheating", _preheating, (12, 24)),
    ("poor-return", _poor_return, (12, 24)),
    ("battery-reversed", _battery_reversed, (12,)),
    ("heating", _heating, (12, 24)),
    ("cold-start", _cold_start, (12, 24)),
]


def networks(choice: random.Random) -> Iterator[tuple[str, int, list[Element]]]:
    """Name, number of nodes and elements of every network."""
    for name, build, systems in FAMILIES:
        for index in range(CASES_PER_FAMILY):
            vehicle = Vehicle(choice, systems[index % len(systems)])
            build(vehicle, index)
            yield f"{name}-{vehicle.system_volts}v-{index + 1}", vehicle.nodes, vehicle.elements
