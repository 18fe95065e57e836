//! Plugs as they are wired, against their layout and against a contact that is counted twice.

use std::ops::Range;

use catalogue::{Known, Pin, PlugLayout, TakenAt};
use model::graph::Parts;
use model::{BatteryId, Code, Conducts, JointOf, Piece, PointId, Problem, StateId, Vehicle};

use crate::expanded::{MatedPin, Plug};
use crate::read::Reader;

impl Reader<'_> {
    /// What the plugs make doubtful once everything is known.
    pub(crate) fn check_plugs(&mut self) {
        for plug in &self.plugs {
            let place = self.names.places.get(&plug.name).cloned().unwrap_or_default();
            let wired = Wired { vehicle: &self.vehicle, plug, place };
            for pin in &plug.pins {
                self.problems.extend(wired.half(pin));
                self.problems.extend(wired.twice(pin));
            }
            if let Some(layout) = plug.layout {
                self.problems.extend(wired.against(layout));
            }
        }
    }
}

/// A plug in its vehicle.
struct Wired<'v> {
    vehicle: &'v Vehicle,
    plug: &'v Plug,
    place: Range<usize>,
}

impl Wired<'_> {
    fn doubt(&self, code: Code, what: String, expected: impl Into<String>) -> Problem {
        Problem::warning(code, self.place.clone(), what, expected.into())
    }

    /// A pin at one side of which nothing ends but the contact itself.
    fn half(&self, pin: &MatedPin) -> Option<Problem> {
        let alone = |point: PointId| {
            let ends = self.vehicle.pieces().filter_map(|piece| self.vehicle.piece_ends(piece));
            ends.filter(|(a, b)| [*a, *b].contains(&point)).count() <= 1
        };
        let sides = [("socket", "plug", pin.socket), ("plug", "socket", pin.plug)];
        let (side, other, _) = sides.into_iter().find(|(_, _, point)| alone(*point))?;
        let (name, pin) = (&self.plug.name, &pin.pin);
        let what = format!(
            "nothing ends at `{name}.{side}/{pin}`, and something does at `{name}.{other}/{pin}`"
        );
        Some(self.doubt(Code::PinHalfWired, what, "a conductor on both sides of a mated pin"))
    }

    /// Ends of wires that are called what the contact of the pin is already.
    fn twice(&self, pin: &MatedPin) -> Vec<Problem> {
        let ends = self.vehicle.joints.iter().filter(|own| {
            own.of.conductor().is_some()
                && [pin.socket, pin.plug].contains(&own.point)
                && own.kind.taken_at.contains(&TakenAt::MatedPin)
        });
        let told = ends.map(|own| {
            let (name, pin) = (&self.plug.name, &pin.pin);
            let what = format!(
                "`{}` is a connector pin at the pin {pin} of `{name}`, whose contact is `{name}.{pin}` already",
                own.id
            );
            let expected = "how the wire is fixed in its pin, such as `pin crimp`";
            self.doubt(Code::PinCountedTwice, what, expected)
                .hint("leave `joint` out there: the contact of a mated pin is counted once")
        });
        told.collect()
    }

    /// Returns that do not come home, feeds that do, and returns joined where they may not be.
    fn against(&self, layout: Known<PlugLayout>) -> Vec<Problem> {
        let mut apart = self.unmated();
        let known: Vec<(&MatedPin, &Pin)> = self
            .plug
            .pins
            .iter()
            .filter_map(|pin| Some((pin, layout.row().pin(&pin.pin)?)))
            .collect();
        let returns = |pin: &&MatedPin| layout.row().taken_home(&pin.pin).next().is_some();
        let mut problems = Vec::new();
        for (pin, own) in &known {
            problems.extend(self.turned(layout, (pin, own), returns(pin), &mut apart));
        }
        let homes: Vec<&MatedPin> = known.iter().map(|(pin, _)| *pin).filter(returns).collect();
        if layout.returns_apart {
            problems.extend(self.bridged(layout, &homes, &mut apart));
        }
        problems
    }

    /// What metal joins while the plug is out.
    fn unmated(&self) -> Parts {
        let vehicle = self.vehicle;
        let mated = |piece: Piece| match piece {
            Piece::Joint(id) => match vehicle.joint(id).of {
                JointOf::Between(own) => self.plug.pins.iter().any(|pin| pin.socket == own),
                _ => false,
            },
            _ => false,
        };
        let states = || (0..vehicle.states.len()).map(StateId::at);
        vehicle.parts(|piece| {
            let joins = |state| vehicle.conducts(piece, state) == Conducts::BothWays;
            !mated(piece) && states().any(joins)
        })
    }

    fn turned(
        &self,
        layout: Known<PlugLayout>,
        (pin, own): (&MatedPin, &Pin),
        returns: bool,
        apart: &mut Parts,
    ) -> Option<Problem> {
        let home = (0..self.vehicle.batteries.len()).any(|at| {
            let (_, post) = self.vehicle.battery_terminals(BatteryId::at(at));
            apart.joined(post.index(), pin.socket.index())
        });
        let (what, expected) = match (returns, home) {
            (true, false) => (
                "is a return by its layout, and no metal joins its socket to the earthed post of a battery",
                "a conductor from it to the vehicle's metal",
            ),
            (false, true) if own.home.is_some() => (
                "carries a feed by its layout, and metal joins its socket to the earthed post of a battery",
                "a feed there, and the earth at the pin that is the return",
            ),
            _ => return None,
        };
        let what = format!("`{}.{}` ({}) {what}", self.plug.name, pin.pin, own.carries);
        let hint = format!("`layout` is {layout}: is the plug wired by another one?");
        Some(self.doubt(Code::PinAgainstLayout, what, expected).hint(hint))
    }

    fn bridged(
        &self,
        layout: Known<PlugLayout>,
        homes: &[&MatedPin],
        apart: &mut Parts,
    ) -> Vec<Problem> {
        let mut problems = Vec::new();
        for (at, one) in homes.iter().enumerate() {
            for other in &homes[at + 1..] {
                if apart.joined(one.plug.index(), other.plug.index()) {
                    let what = format!(
                        "the returns {} and {} of `{}` are joined behind the plug",
                        one.pin, other.pin, self.plug.name
                    );
                    let expected =
                        format!("returns apart from each other in the trailer ({layout})");
                    problems.push(self.doubt(Code::PinAgainstLayout, what, expected));
                }
            }
        }
        problems
    }
}
