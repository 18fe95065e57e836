//! Studs that several eyes share, and plugs with their pins: joints that stand between two points.

use std::collections::BTreeSet;

use catalogue::{Catalogue, Known, PlugLayout};
use model::{Code, JointOf, PointOwner, Problem};
use toml::de::DeValue;

use crate::document::{Entry, Named, name_fault};
use crate::expanded::{MatedPin, Plug, Stud};
use crate::joints::{MOST_STACKED, Seat};
use crate::read::Reader;
use crate::suggest::did_you_mean;

impl<'d> Reader<'d> {
    /// Adds the points of all studs.
    pub(crate) fn stud_points(&mut self) {
        for (name, entry) in self.root.clone().tables("studs") {
            self.names.take(&name, "stud", &mut self.problems);
            let point = self.names.add_point(name.name.to_owned(), PointOwner::Free, Some(&entry));
            let catalogue = Catalogue::standard();
            let foot = entry.table("on");
            let word = |key: &str| foot.as_ref().and_then(|foot| foot.text(key));
            self.studs.push(Stud {
                point,
                thread: word("thread").and_then(|word| catalogue.threads.known(word)),
                class: word("class").and_then(|word| catalogue.property_classes.known(word)),
            });
        }
    }

    /// Adds the feet of all studs.
    pub(crate) fn feet(&mut self) {
        for (name, entry) in self.root.clone().tables("studs") {
            let Some(own) = self.names.find(name.name) else { continue };
            let Some(end) = self.end(&entry, "on") else { continue };
            if end.point == own {
                self.problems.push(Problem::error(
                    Code::BothEndsAlike,
                    entry.place_of("on"),
                    format!("`{}` stands on itself", name.name),
                    "the metal that the stud stands on, such as `body/wing`",
                ));
                continue;
            }
            self.lies_at(own, end.point, &entry);
            let eyes = self.vehicle.joints.iter().filter(|eye| eye.point == own).count();
            let id = format!("{}.foot", name.name);
            self.joint(id, JointOf::Between(own), end.point, Seat::Foot, None, end.joint.as_ref());
            self.crowded(&name, eyes);
        }
    }

    fn crowded(&mut self, name: &Named<&str>, eyes: usize) {
        if eyes > MOST_STACKED as usize {
            self.problems.push(Problem::warning(
                Code::StackTooHigh,
                name.place.clone(),
                format!("{eyes} eyes share the stud `{}`", name.name),
                format!("at most {MOST_STACKED} on a stud, and a bus across studs beyond that (FAA AC 43.13-1B, 11-174b)"),
            ));
        }
    }

    /// Adds the points on both sides of every pin that the file uses.
    pub(crate) fn plug_points(&mut self) {
        let plugs = self.root.clone().tables("plugs");
        if plugs.is_empty() {
            return;
        }
        let mut used = BTreeSet::new();
        self.root.each_text(&mut |text| {
            used.insert(text);
        });
        for (name, entry) in plugs {
            self.names.take(&name, "plug", &mut self.problems);
            self.take_piece_name(&name, "plug");
            let layout = entry
                .text("layout")
                .and_then(|word| Catalogue::standard().plug_layouts.known(word));
            let mut plug = Plug { name: name.name.to_owned(), layout, pins: Vec::new() };
            for pin in self.pins(&name, &entry, layout) {
                let side = |side: &str| format!("{}.{side}/{pin}", name.name);
                let [socket, other] = ["socket", "plug"].map(side);
                if used.contains(socket.as_str()) || used.contains(other.as_str()) {
                    let mut add =
                        |id: String| self.names.add_point(id, PointOwner::Free, Some(&entry));
                    let (socket, other) = (add(socket), add(other));
                    plug.pins.push(MatedPin { pin, socket, plug: other });
                } else {
                    self.names.unused_pins.extend([socket, other]);
                }
            }
            for side in ["socket", "plug"] {
                let side = format!("{}.{side}", name.name);
                self.names.places.insert(side.clone(), name.place.clone());
                self.pin_sides.insert(side);
            }
            self.plugs.push(plug);
        }
    }

    /// The marks of a plug's pins: those of its layout, or those that it names.
    fn pins(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
        layout: Option<Known<PlugLayout>>,
    ) -> Vec<String> {
        let mut pins: Vec<String> = layout
            .iter()
            .flat_map(|layout| layout.pins.iter().map(|own| own.pin.clone()))
            .collect();
        for named in entry.names("pins").unwrap_or_default() {
            if let Some(fault) = name_fault(named.name) {
                self.problems.push(Problem::error(
                    Code::NameUnusable,
                    named.place,
                    format!("the pin `{}` {fault}", named.name),
                    "a name of letters, digits and `-`, such as `1` or `feed`",
                ));
            } else if !pins.iter().any(|own| own == named.name) {
                pins.push(named.name.to_owned());
            }
        }
        if pins.is_empty() && layout.is_none() {
            self.problems.push(
                Problem::error(
                    Code::MissingKey,
                    name.place.clone(),
                    format!("the plug `{}` has no pins", name.name),
                    "a `layout`, or the names of its `pins`",
                )
                .hint("for example `pins = [\"1\", \"2\"]`"),
            );
        }
        for (pin, own) in entry.tables("pin") {
            if !pins.iter().any(|known| known == pin.name) {
                let mut problem = Problem::error(
                    Code::UnknownName,
                    own.place.clone(),
                    format!("the plug `{}` has no pin `{}`", name.name, pin.name),
                    "a pin of its layout, or one of its `pins`",
                );
                problem.hint = did_you_mean(pin.name, pins.iter().map(String::as_str));
                self.problems.push(problem);
            }
        }
        pins
    }

    /// Adds the contacts of all mated pins.
    pub(crate) fn mated_pins(&mut self) {
        let plugs = std::mem::take(&mut self.plugs);
        for (name, entry) in self.root.clone().tables("plugs") {
            let Some(plug) = plugs.iter().find(|plug| plug.name == name.name) else { continue };
            let own: Vec<_> = entry.tables("pin");
            for pin in &plug.pins {
                let single = own.iter().find(|(mark, _)| mark.name == pin.pin);
                let said = single.map_or(&entry, |(_, entry)| entry);
                self.joint(
                    format!("{}.{}", plug.name, pin.pin),
                    JointOf::Between(pin.socket),
                    pin.plug,
                    Seat::MatedPin,
                    None,
                    Some(said),
                );
            }
        }
        self.plugs = plugs;
    }
}

impl<'d> Entry<'d> {
    /// Every text that stands anywhere in this table.
    fn each_text(&self, told: &mut impl FnMut(&'d str)) {
        fn inside<'d>(value: &'d DeValue<'d>, told: &mut impl FnMut(&'d str)) {
            match value {
                DeValue::String(text) => told(text),
                DeValue::Array(list) => list.iter().for_each(|own| inside(own.get_ref(), told)),
                DeValue::Table(table) => {
                    table.values().for_each(|own| inside(own.get_ref(), told));
                }
                _ => {}
            }
        }
        self.values().for_each(|own| inside(own, told));
    }
}
