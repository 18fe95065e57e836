//! Changes written into the text of a vehicle file.
//!
//! Only the touched value changes: comments, order, blank lines, the kind of quotes and of line ends
//! stay byte for byte. Each change is held against the vehicle that the new text means: when it
//! differs in anything but what was asked for, nothing is written and the reason is told.

mod place;
mod same;
mod splice;

use catalogue::{Catalogue, TakenAt};
use model::{Joint, JointOf, Piece, Vehicle};
use toml_edit::Document;
use units::WireSize;

use crate::edit::{EditError, add_conductor, set_resistance};
use crate::suggest::did_you_mean;
use same::Touched;
use splice::Splice;

/// What is to be written, each as on a command line; written in this order.
#[derive(Debug, Clone, Copy, Default)]
pub struct Edits<'a> {
    /// Sizes of conductors: `main-negative=50 mm²`.
    pub sizes: &'a [String],
    /// Resistances of joints, conductors, paths, fuses, switches: `main-negative.to=5 mΩ`.
    pub resistances: &'a [String],
    /// New conductors with bolted lugs: `main/-,block/front,35 mm²,0.6 m`.
    pub conductors: &'a [String],
}

/// A changed text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rewritten {
    /// The file.
    pub text: String,
    /// Names of the conductors that are new in it.
    pub added: Vec<String>,
}

/// Writes changes into a vehicle file.
///
/// # Errors
///
/// [`EditError`] when the file has an error, a change cannot be understood, or it cannot be written
/// without changing anything else; the text is then as it was.
pub fn rewrite(text: &str, edits: Edits<'_>) -> Result<Rewritten, EditError> {
    let mut now = Text::read(text.to_owned())?;
    for asked in edits.sizes {
        now = now.with_size(asked)?;
    }
    for asked in edits.resistances {
        now = now.with_resistance(asked)?;
    }
    let mut added = Vec::new();
    for asked in edits.conductors {
        let id;
        (now, id) = now.with_conductor(asked)?;
        added.push(id);
    }
    Ok(Rewritten { text: now.text, added })
}

/// A text with the vehicle that it means.
#[derive(Debug)]
struct Text {
    text: String,
    vehicle: Vehicle,
}

impl Text {
    fn read(text: String) -> Result<Self, EditError> {
        let reading = crate::read(text.as_bytes());
        match reading.vehicle {
            Some(vehicle) => Ok(Self { text, vehicle }),
            None => {
                let what =
                    reading.problems.iter().find(|own| own.severity == model::Severity::Error);
                let what = what.map_or_else(String::new, |own| format!(": {}", own.what));
                Err(refused(format!("the file has an error{what}"), "a file without errors"))
            }
        }
    }

    /// The same text with one place changed.
    fn spliced(&self, Splice { place, with }: &Splice) -> Result<Self, EditError> {
        let (Some(before), Some(after)) =
            (self.text.get(..place.start), self.text.get(place.end..))
        else {
            return Err(by_hand("its place in the text was not found"));
        };
        Self::read([before, with, after].concat())
            .map_err(|error| by_hand(&format!("written into it, {}", error.what)))
    }

    fn with_size(self, asked: &str) -> Result<Self, EditError> {
        let (name, size) = two(asked, "a conductor and a size, such as `main-negative=50 mm²`")?;
        let Some(Piece::Conductor(id)) = self.vehicle.piece_named(name) else {
            let names = self.vehicle.conductors.iter().map(|own| own.id.as_str());
            let mut error = refused(
                format!("there is no conductor `{name}`"),
                "the name of a conductor of this vehicle",
            );
            error.hint = did_you_mean(name, names);
            return Err(error);
        };
        let own = self.vehicle.conductor(id);
        let mut wanted = WireSize::parse(size)
            .map_err(|error| refused(format!("`{size}` {}", error.what), error.expected))?;
        let mut words = size.to_owned();
        // The area of a braid says that it is one.
        if let (Some(WireSize::Braid(_)), WireSize::Area(area)) = (own.size, wanted) {
            wanted = WireSize::Braid(area);
            words = format!("braid {size}");
        }
        if own.stated {
            return Err(by_hand(&format!(
                "the file states the resistance of `{name}`, which goes before its size"
            )));
        }
        let document = parsed(&self.text)?;
        let holder = place::conductor(&document, name).ok_or_else(|| nowhere(name))?;
        let splice = splice::set(&self.text, holder.item, "size", &quoted(&words))
            .ok_or_else(|| unsafe_there(name))?;
        let mut now = self.spliced(&splice)?;
        let joints = [own.from, own.to].map(|joint| self.vehicle.joint(joint));
        for joint in joints {
            now = now.with_kind_of(joint)?;
        }
        let found = now.vehicle.conductors.get(id.index()).and_then(|own| own.size);
        if found != Some(wanted) || !same::but(&self.vehicle, &now.vehicle, Touched::Size(id)) {
            return Err(other_things(name));
        }
        Ok(now)
    }

    /// A joint whose kind was taken from the size of its conductor keeps it with another size.
    fn with_kind_of(self, joint: &model::Joint) -> Result<Self, EditError> {
        let now = self.vehicle.joints.get(joint.this.index());
        if now.is_some_and(|own| own.kind == joint.kind) {
            return Ok(self);
        }
        let document = parsed(&self.text)?;
        let splice = place::joint(&document, &self.vehicle, joint)
            .and_then(|end| splice::end(&self.text, &end, "joint", &quoted(joint.kind.word())))
            .ok_or_else(|| unsafe_there(&joint.id))?;
        self.spliced(&splice)
    }

    fn with_resistance(self, asked: &str) -> Result<Self, EditError> {
        let (name, ohms) = two(asked, "a name and a resistance, such as `main-negative.to=5 mΩ`")?;
        let mut meant = self.vehicle.clone();
        let piece = set_resistance(&mut meant, asked)?;
        if ohms == "open" {
            return Err(refused("`open` is no resistance that a file can hold", "a resistance"));
        }
        let document = parsed(&self.text)?;
        let splice = match piece {
            Piece::Stretch(_) => {
                return Err(by_hand(
                    "the metal between two points has its resistance from its section",
                ));
            }
            Piece::Joint(id) => place::joint(&document, &self.vehicle, self.vehicle.joint(id))
                .and_then(|end| splice::end(&self.text, &end, "resistance", &quoted(ohms))),
            Piece::Conductor(_) => place::conductor(&document, name)
                .and_then(|own| splice::set(&self.text, own.item, "resistance", &quoted(ohms))),
            Piece::Incidental(_) => place::named(&document, &["incidental"], name)
                .and_then(|own| splice::set(&self.text, own, "resistance", &quoted(ohms))),
            Piece::Inline(_) => place::inline(&document, name)
                .and_then(|end| splice::end(&self.text, &end, "resistance", &quoted(ohms))),
        };
        let now = self.spliced(&splice.ok_or_else(|| unsafe_there(name))?)?;
        let Some(found) = now.vehicle.piece_named(name) else { return Err(other_things(name)) };
        let (got, wanted) =
            (now.vehicle.piece_resistance(found).0, meant.piece_resistance(piece).0);
        let right = (got - wanted).abs() <= 1e-9 * wanted.abs();
        if !right || !same::but(&self.vehicle, &now.vehicle, Touched::Resistance(piece)) {
            return Err(other_things(name));
        }
        Ok(now)
    }

    fn with_conductor(self, asked: &str) -> Result<(Self, String), EditError> {
        let mut meant = self.vehicle.clone();
        let thought = add_conductor(&mut meant, asked)?;
        let [from, to, size, length] =
            asked.split(',').map(str::trim).collect::<Vec<_>>().try_into().unwrap_or([""; 4]);
        let id = self.free_name(from, to);
        let kind = quoted(Catalogue::standard().joint_taken_at(TakenAt::Metal).word());
        let lug = |point: &str| format!("{{ point = {}, joint = {kind} }}", quoted(point));
        let keys = [
            ("size", quoted(size)),
            ("length", quoted(length)),
            ("from", lug(from)),
            ("to", lug(to)),
        ];
        let document = parsed(&self.text)?;
        let splice = splice::named(&self.text, &document, "conductors", &id, &keys)
            .ok_or_else(|| unsafe_there("conductors"))?;
        let now = self.spliced(&splice)?;
        let wanted = meant.conductor(thought);
        let right = now.vehicle.conductors.iter().find(|own| own.id == id).is_some_and(|own| {
            let ends = |vehicle: &Vehicle, own: &model::Conductor| {
                [own.from, own.to].map(|joint| vehicle.joint(joint).point)
            };
            own.size == wanted.size
                && own.length == wanted.length
                && ends(&now.vehicle, own) == ends(&meant, wanted)
        });
        if !right || !same::but(&self.vehicle, &now.vehicle, Touched::Added(&id)) {
            return Err(other_things(&id));
        }
        Ok((now, id))
    }

    /// A name that nothing in the file has.
    fn free_name(&self, from: &str, to: &str) -> String {
        let plain = format!("added-{from}-{to}").replace("/+", "-plus").replace("/-", "-minus");
        let mut base = String::new();
        for sign in plain.chars() {
            match sign {
                'a'..='z' | 'A'..='Z' | '0'..='9' | '_' => base.push(sign),
                _ if !base.ends_with('-') => base.push('-'),
                _ => {}
            }
        }
        let base = base.trim_end_matches('-');
        let taken = |name: &str| {
            self.vehicle.piece_named(name).is_some() || self.vehicle.point_named(name).is_some()
        };
        (1..)
            .map(|n: u32| if n == 1 { base.to_owned() } else { format!("{base}-{n}") })
            .find(|name| !taken(name))
            .unwrap_or_default()
    }
}

/// The file with the places of its values; a mark of the byte order keeps its room.
fn parsed(text: &str) -> Result<Document<String>, EditError> {
    let kept = match text.strip_prefix('\u{feff}') {
        Some(rest) => format!("   {rest}"),
        None => text.to_owned(),
    };
    Document::parse(kept).map_err(|error| by_hand(error.message()))
}

fn two<'t>(asked: &'t str, expected: &str) -> Result<(&'t str, &'t str), EditError> {
    let (name, value) = asked
        .rsplit_once('=')
        .ok_or_else(|| refused(format!("`{asked}` has no `=`"), expected.to_owned()))?;
    Ok((name.trim(), value.trim()))
}

/// A text as a value of the file.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

fn refused(what: impl Into<String>, expected: impl Into<String>) -> EditError {
    EditError { place: 0..0, what: what.into(), expected: expected.into(), hint: None }
}

fn by_hand(why: &str) -> EditError {
    refused(format!("nothing was written: {why}"), "this change made by hand, in the file")
}

fn nowhere(name: &str) -> EditError {
    by_hand(&format!("the place where the file describes `{name}` was not found"))
}

fn unsafe_there(name: &str) -> EditError {
    by_hand(&format!("`{name}` is written in a way that cannot be changed safely"))
}

fn other_things(name: &str) -> EditError {
    by_hand(&format!("with it more than `{name}` would change"))
}

/// Where a joint belongs, by the names that the file uses.
fn owner<'v>(vehicle: &'v Vehicle, joint: &'v Joint) -> (&'v str, bool) {
    match joint.of {
        JointOf::From(id) | JointOf::FromCrimp(id) => (&vehicle.conductor(id).id, true),
        JointOf::To(id) | JointOf::ToCrimp(id) => (&vehicle.conductor(id).id, false),
        JointOf::LoadCase(id) => (&vehicle.load(id).id, false),
        JointOf::SourceCase(id) => (&vehicle.regulated_source(id).id, false),
        JointOf::Between(_) => (joint.id.split('.').next().unwrap_or_default(), false),
    }
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod laws;
