//! What a line's words for a part stand for on a vehicle.

use std::ops::Range;

use model::{Code, LoadId, LoadKind, Pieces, Problem, Spot, Vehicle};

use super::super::known::Thing;
use super::lexicon::{Device, Tag, Whose};
use super::spots::{self, Pole};
use super::tagged::{Meant, Tagged};

/// The words for one part.
#[derive(Debug, Default)]
pub(super) struct Part {
    poles: Vec<Pole>,
    whose: Vec<Whose>,
    devices: Vec<Device>,
    things: Vec<Thing>,
    cable: bool,
    strap: bool,
    terminal: bool,
    clamp: bool,
    thin: bool,
    several: bool,
    pub undrawn: bool,
    pub exhaust: bool,
    /// From the first of its words to the last; nothing without any.
    pub place: Option<Range<usize>>,
}

/// What is wanted of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// Something that gets hot.
    Heat,
    /// Something that can be loose or green.
    Piece,
    /// Something that can be replaced, cleaned or pushed.
    Any,
}

impl Part {
    /// The words for a part among these.
    pub(super) fn of(words: &[Tagged], text: &str) -> Self {
        let mut own = Self::default();
        for word in words {
            let plural =
                text.get(word.place.clone()).is_some_and(|said| said.ends_with(['s', 'S']));
            match word.tag {
                Meant::Named(thing) => own.things.push(thing),
                Meant::Tag(tag) => match tag {
                    Tag::Plus => own.poles.push(Pole::Plus),
                    Tag::Minus => own.poles.push(Pole::Minus),
                    Tag::Live => own.poles.push(Pole::Live),
                    Tag::Earthed => own.poles.push(Pole::Earthed),
                    Tag::Of(whose) => own.whose.push(whose),
                    Tag::Device(device) => own.devices.push(device),
                    Tag::Cable => own.cable = true,
                    Tag::Cables => (own.cable, own.several) = (true, true),
                    Tag::Strap => own.strap = true,
                    Tag::Terminal => (own.terminal, own.several) = (true, own.several || plural),
                    Tag::Clamp => (own.clamp, own.several) = (true, own.several || plural),
                    Tag::Thin => own.thin = true,
                    Tag::Undrawn => own.undrawn = true,
                    Tag::Exhaust => own.exhaust = true,
                    _ => continue,
                },
                _ => continue,
            }
            let start = own.place.take().map_or(word.place.start, |place| place.start);
            own.place = Some(start..word.place.end);
        }
        own
    }

    /// True where no part is named.
    pub(super) fn is_empty(&self) -> bool {
        self.place.is_none()
    }

    /// True for a word that says that it is a conductor or a joint.
    fn has_head(&self) -> bool {
        self.cable || self.strap || self.terminal || self.clamp
    }

    /// What it stands for; nothing where no such thing can be meant.
    pub(super) fn spot(&self, vehicle: &Vehicle, wanted: Wanted) -> Result<Option<Spot>, Problem> {
        if let Some(found) = self.by_name(vehicle)? {
            return Ok(Some(found));
        }
        if self.undrawn || self.exhaust {
            return Ok((wanted == Wanted::Heat || self.undrawn).then_some(Spot::Undrawn));
        }
        match self.devices.as_slice() {
            [] => {}
            [Device::Control] if !self.has_head() || wanted == Wanted::Any => {
                return Ok(Some(Spot::Control));
            }
            [Device::Control] => return Ok(Some(Spot::Control)),
            [Device::Fuses | Device::Isolator] => {
                let fuses = self.devices == [Device::Fuses];
                return Ok(pieces(spots::inlines(vehicle, fuses)));
            }
            [only] => return self.of_a_device(vehicle, *only, wanted),
            _ => return Err(self.ask("more than one thing is named", "one thing a line")),
        }
        if !self.has_head() && self.poles.is_empty() {
            return Ok(self.whole(vehicle));
        }
        if self.thin
            && !self.strap
            && wanted == Wanted::Heat
            && self.earthed(vehicle) != Some(false)
        {
            return Ok(Some(Spot::Undrawn));
        }
        self.wiring(vehicle)
    }

    /// Where a look found the pieces as they were: at the metal that is named, if any is.
    pub(super) fn looked_at(&self, vehicle: &Vehicle, own: Pieces) -> Pieces {
        if self.things.is_empty() { spots::ends_at(vehicle, own, &self.whose) } else { own }
    }

    fn by_name(&self, vehicle: &Vehicle) -> Result<Option<Spot>, Problem> {
        match self.things.as_slice() {
            [] => Ok(None),
            [only] => Ok(match only {
                Thing::Load(id) => Some(Spot::Load(*id)),
                Thing::Battery(_) => Some(Spot::Battery),
                Thing::Source(_) => Some(Spot::Charger),
                other => spots::named(vehicle, *other).and_then(pieces),
            }),
            _ => Err(self.ask("more than one thing is named", "one thing a line")),
        }
    }

    /// A whole device: battery, starter, alternator.
    fn whole(&self, vehicle: &Vehicle) -> Option<Spot> {
        match self.whose.as_slice() {
            [Whose::Battery] => Some(Spot::Battery),
            [Whose::Starter] => spots::starter(vehicle).map(Spot::Load),
            [Whose::Alternator] => Some(Spot::Charger),
            _ => None,
        }
    }

    /// Which pole is told; nothing where none is, or both are.
    fn earthed(&self, vehicle: &Vehicle) -> Option<bool> {
        let earthed = self.poles.iter().any(|own| own.is_earthed(vehicle));
        let live = self.poles.iter().any(|own| !own.is_earthed(vehicle));
        (earthed != live).then_some(earthed)
    }

    fn wiring(&self, vehicle: &Vehicle) -> Result<Option<Spot>, Problem> {
        let joints = (self.terminal || self.clamp) && !(self.cable || self.strap);
        let at_battery = self.whose.contains(&Whose::Battery) || self.clamp;
        let metal =
            self.whose.iter().any(|own| matches!(own, Whose::Engine | Whose::Body | Whose::Frame));
        let machine =
            self.whose.iter().any(|own| matches!(own, Whose::Starter | Whose::Alternator));
        let both = |side: &dyn Fn(bool) -> Pieces| pieces(spots::together(side(true), side(false)));
        let side = |earthed: bool| match (earthed, joints) {
            // `Battery negative terminal` is the clamp on its post.
            (true, true) if at_battery || (!metal && !self.poles.contains(&Pole::Earthed)) => {
                spots::clamps(vehicle, true)
            }
            (true, true) => spots::earth_joints(vehicle, &self.whose),
            (true, false) if !metal && !self.strap && !self.poles.contains(&Pole::Earthed) => {
                spots::earths(vehicle, &[Whose::Battery])
            }
            (true, false) => spots::earths(vehicle, &self.whose),
            (false, true) => spots::feed_joints(vehicle, &self.whose),
            (false, false) => spots::feeds(vehicle, &self.whose),
        };
        if self.strap {
            return Ok(pieces(side(true)));
        }
        if self.poles.len() > 1 && self.earthed(vehicle).is_none() {
            return Ok(both(&side));
        }
        match self.earthed(vehicle) {
            Some(earthed) => Ok(pieces(side(earthed))),
            // The thick cable of a starter or an alternator is the live one.
            None if machine && !metal => Ok(pieces(side(false))),
            None if metal && !machine && self.terminal => Ok(pieces(side(true))),
            None if at_battery && self.several => Ok(both(&side)),
            None => Err(self.ask(
                "it may be on the live side or on the earth side, and nothing tells which",
                "`plus` or `minus`, `live` or `earth`, in front of it",
            )),
        }
    }

    fn of_a_device(
        &self,
        vehicle: &Vehicle,
        device: Device,
        wanted: Wanted,
    ) -> Result<Option<Spot>, Problem> {
        let Some(load) = load_of(vehicle, device) else {
            return Ok((wanted == Wanted::Heat && self.thin).then_some(Spot::Undrawn));
        };
        if !self.has_head() && self.poles.is_empty() {
            return Ok((wanted == Wanted::Any).then_some(Spot::Load(load)));
        }
        match self.earthed(vehicle) {
            // The wire by which a small device is earthed is no way home for a starter.
            Some(true) if wanted == Wanted::Heat => Ok(Some(Spot::Undrawn)),
            Some(earthed) => Ok(pieces(spots::wire_of(vehicle, load, earthed))),
            None if self.thin && wanted == Wanted::Heat => Ok(Some(Spot::Undrawn)),
            None => Err(self.ask(
                "it may be the wire that feeds it or the one by which it is earthed",
                "`feed` or `earth` in front of it",
            )),
        }
    }

    fn ask(&self, what: &str, expected: &str) -> Problem {
        let place = self.place.clone().unwrap_or_default();
        Problem::error(Code::WhichTerminal, place, what, expected)
    }
}

/// The load that such a device is, on a vehicle that has one.
pub(super) fn load_of(vehicle: &Vehicle, device: Device) -> Option<LoadId> {
    match device {
        Device::Gauge => spots::load_of(
            vehicle,
            &[
                LoadKind::Module,
                LoadKind::SwitchModeModule,
                LoadKind::Sensor,
                LoadKind::Electronics,
            ],
            &["gauge", "module", "instrument", "radio"],
        ),
        Device::Lamps => spots::load_of(vehicle, &[LoadKind::Lamp], &["lamp", "light"]),
        _ => None,
    }
}

fn pieces(own: Pieces) -> Option<Spot> {
    let nothing = own.conductors.is_empty() && own.joints.is_empty() && own.inlines.is_empty();
    (!nothing).then_some(Spot::Pieces(own))
}
