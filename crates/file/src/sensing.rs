//! Split relays that close by themselves where a source holds enough on a side that they sense.

use std::collections::BTreeSet;

use model::{BatteryId, Code, Conducts, InlineKind, Piece, PointId, Problem, StateId};
use units::{Dimension, Volts, print};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::expanded::Sensing;
use crate::read::Reader;

impl<'d> Reader<'d> {
    /// Keeps what a split relay senses until all sources and their states are known.
    pub(crate) fn sensing(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
        (from, to): (PointId, PointId),
    ) {
        let sense = entry
            .text("sense")
            .and_then(|text| self.names.point(text, entry.place_of("sense"), &mut self.problems));
        let mut sides = match entry.flag("both-ways") {
            Some(true) => vec![from, to],
            _ if sense.is_none() => vec![from],
            _ => Vec::new(),
        };
        sides.extend(sense);
        let blocks = self.vehicle.nominal.0 / 12.0;
        let mut volts = |key: &str, usual: Volts| {
            entry.quantity(key, Dimension::Voltage).map(Volts).unwrap_or_else(|| {
                let usual = Volts(usual.0 * blocks);
                self.fills.note(
                    format!("{}.{key}", name.name),
                    print::volts(usual),
                    "usual for a split relay that senses (common practice)",
                );
                usual
            })
        };
        let closes = volts("closes-at", taken().split_closes_12_v);
        let opens = volts("opens-at", taken().split_opens_12_v);
        if opens >= closes {
            self.problems.push(Problem::error(
                Code::SplitRelayCrossed,
                entry.place_of("opens-at"),
                format!(
                    "`{}` opens at {} and closes at {}",
                    name.name,
                    print::volts(opens),
                    print::volts(closes)
                ),
                "`opens-at` below `closes-at`",
            ));
        }
        let place = name.place.clone();
        self.sensing.push(Sensing { name: name.name.to_owned(), sides, closes, opens, place });
    }

    /// Decides in which states each split relay that senses is closed.
    ///
    /// What a source holds stands for what the relay senses: volts lost on the way are not weighed, nor
    /// does a source at its limit let go. One relay may feed the side that another senses.
    pub(crate) fn split_relays(&mut self) {
        let all = std::mem::take(&mut self.sensing);
        let known = self.states.where_solved(|_| true);
        let mut closed: Vec<BTreeSet<StateId>> = vec![BTreeSet::new(); all.len()];
        loop {
            let before = closed.clone();
            for (own, states) in all.iter().zip(&mut closed) {
                for &state in &known {
                    if self.senses(own, state) {
                        states.insert(state);
                    }
                }
                self.close(own, states);
            }
            if closed == before {
                break;
            }
        }
        for (own, states) in all.iter().zip(&closed) {
            self.tell_sensed(own, states);
        }
    }

    /// Closes it in these states, and where a state of the file says so; opens it where one says that.
    fn close(&mut self, own: &Sensing, sensed: &BTreeSet<StateId>) {
        let said = |names: &[String]| names.contains(&own.name);
        let solved = self.states.solved().enumerate();
        let states = solved
            .map(|(at, state)| (StateId::at(at), state))
            .filter(|(id, state)| {
                (sensed.contains(id) || said(&state.closed)) && !said(&state.open)
            })
            .map(|(id, _)| id)
            .collect();
        let part = self.vehicle.inlines.iter_mut().find(|part| part.id == own.name);
        if let Some(InlineKind::Switch { closed }) = part.map(|part| &mut part.kind) {
            *closed = states;
        }
    }

    /// True when a source that works in the state holds enough on a side, reached without the relay.
    fn senses(&self, own: &Sensing, state: StateId) -> bool {
        let vehicle = &self.vehicle;
        let itself = |piece: Piece| vehicle.piece_name(piece) == own.name;
        let mut parts = vehicle
            .parts(|piece| !itself(piece) && vehicle.conducts(piece, state) == Conducts::BothWays);
        vehicle.regulated.iter().any(|source| {
            let (live, _) = vehicle.live_and_earthed(source.positive, source.negative);
            let reached = own.sides.iter().any(|side| parts.joined(side.index(), live.index()));
            source.runs_in(state) && source.set_point >= own.closes && reached
        })
    }

    fn tell_sensed(&mut self, own: &Sensing, states: &BTreeSet<StateId>) {
        let names: Vec<&str> =
            states.iter().map(|state| self.vehicle.state(*state).id.as_str()).collect();
        let value = if names.is_empty() { "never".to_owned() } else { names.join(", ") };
        let why = format!(
            "a source that works holds {} or more on a side that it senses; lost volts are not weighed",
            print::volts(own.closes)
        );
        self.fills.note(format!("{}.closed", own.name), value, why);
        if names.is_empty() {
            self.problems.push(
                Problem::warning(
                    Code::SplitRelayIdle,
                    own.place.clone(),
                    format!(
                        "`{}` closes in no state: no source that works holds {} on a side that it senses",
                        own.name,
                        print::volts(own.closes)
                    ),
                    "`sense` on the side of the alternator or charger, or the states in `closed`",
                )
                .hint("`both-ways = true` lets a charger on the other side close it too"),
            );
        } else {
            self.tell_held(own);
        }
    }

    /// A battery that at rest holds the relay closed: the two are never parted.
    fn tell_held(&mut self, own: &Sensing) {
        let vehicle = &self.vehicle;
        let itself = |piece: Piece| vehicle.piece_name(piece) == own.name;
        let mut parts = vehicle.parts(|piece| !itself(piece));
        let held = (0..vehicle.batteries.len()).map(BatteryId::at).find(|id| {
            let (live, _) = vehicle.battery_terminals(*id);
            let near = own.sides.iter().any(|side| parts.joined(side.index(), live.index()));
            near && vehicle.battery(*id).rested > own.opens
        });
        let Some(battery) = held.map(|id| vehicle.battery(id)) else { return };
        let problem = Problem::warning(
            Code::SplitRelayHeld,
            own.place.clone(),
            format!(
                "`{}` opens at {}, and `{}` rests at {}: at rest the batteries stay joined",
                own.name,
                print::volts(own.opens),
                battery.id,
                print::volts(battery.rested)
            ),
            "`opens-at` above the rested voltage of every battery whose side it senses",
        );
        self.problems.push(problem.hint(
            "the answers take it as open there; name in `closed` every state in which it is not",
        ));
    }
}
