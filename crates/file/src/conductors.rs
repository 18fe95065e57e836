//! Conductors, the leads inside devices, and incidental paths.

use catalogue::{Catalogue, Insulation, Known, Material};
use model::{
    Code, Conductor, ConductorId, ConductorKind, Incidental, Inline, InlineKind, JointId, JointOf,
    Laid, PointId, PointOwner, Problem, Surroundings,
};
use units::{
    Amperes, Dimension, JoulesPerKelvin, Metres, Ohms, PerKelvin, SquareMetres, UnitSystem,
    WireSize, print,
};

use crate::defaults::{insulation_thickness, taken};
use crate::document::Entry;
use crate::inlines::Fuse;
use crate::joints::Seat;
use crate::lent::{Lent, spread};
use crate::likely::{MIDDLE_OF_RANGE, geometric_middle};
use crate::quantities::beyond;
use crate::read::Reader;

/// One end as written: its point, and the table with its joint in the long form.
pub(crate) struct End<'d> {
    pub point: PointId,
    pub joint: Option<Entry<'d>>,
}

impl<'d> Reader<'d> {
    /// The end under a key: a point's name or a table with one.
    pub(crate) fn end(&mut self, entry: &Entry<'d>, key: &str) -> Option<End<'d>> {
        if let Some(name) = entry.text(key) {
            let point = self.names.point(name, entry.place_of(key), &mut self.problems)?;
            return Some(End { point, joint: None });
        }
        let joint = entry.table(key)?;
        let name = joint.text("point")?;
        let point = self.names.point(name, joint.place_of("point"), &mut self.problems)?;
        Some(End { point, joint: Some(joint) })
    }

    /// What kind of place a point is, for the joint that meets it.
    pub(crate) fn seat(&self, point: PointId) -> Seat {
        let point = &self.names.points[point.index()];
        let device = point.id.split('/').next().unwrap_or_default();
        match point.owner {
            PointOwner::Structure(_) => Seat::Metal,
            PointOwner::Positive | PointOwner::Negative if self.battery_names.contains(device) => {
                Seat::BatteryPost
            }
            PointOwner::Positive | PointOwner::Negative => Seat::Terminal,
            PointOwner::Free if self.pin_sides.contains(device) => Seat::Pin,
            PointOwner::Free if self.shunts.contains(device) => Seat::Metal,
            PointOwner::Free if self.inline_names.contains(device) => Seat::Fuse,
            PointOwner::Free => Seat::Metal,
        }
    }

    pub(crate) fn conductors(&mut self) {
        for (name, entry) in self.root.clone().tables("conductors") {
            self.take_piece_name(&name, "conductor");
            let (from, to) = (self.end(&entry, "from"), self.end(&entry, "to"));
            let (Some(from), Some(to)) = (from, to) else { continue };
            if from.point == to.point {
                self.problems.push(Problem::error(
                    Code::BothEndsAlike,
                    entry.place_of("to"),
                    format!(
                        "both ends of `{}` are at `{}`",
                        name.name,
                        self.names.points[to.point.index()].id
                    ),
                    "two different points",
                ));
                continue;
            }
            self.conductor(
                name.name.to_owned(),
                &entry,
                &Lent::default(),
                (from.point, from.joint),
                (to.point, to.joint),
            );
        }
    }

    /// Adds a conductor with its joints. Nothing is added when its resistance cannot be known.
    pub(crate) fn conductor(
        &mut self,
        id: String,
        entry: &Entry<'d>,
        lent: &Lent,
        from: (PointId, Option<Entry<'d>>),
        to: (PointId, Option<Entry<'d>>),
    ) -> Option<ConductorId> {
        let made = self.make(&id, entry, lent)?;
        let this = ConductorId::at(self.vehicle.conductors.len());
        if self.stated_surroundings(entry).is_none() {
            self.unsaid_surroundings.push(this);
        }
        let first_joint = JointId::at(self.vehicle.joints.len());
        let second_joint = JointId::at(self.vehicle.joints.len() + 1);
        self.vehicle.conductors.push(Conductor {
            this,
            from: first_joint,
            to: second_joint,
            id: id.clone(),
            ..made
        });
        let area = self.vehicle.conductors[this.index()].area;
        let (from_seat, to_seat) = (self.seat(from.0), self.seat(to.0));
        self.joint(
            format!("{id}.from"),
            JointOf::From(this),
            from.0,
            from_seat,
            area,
            from.1.as_ref(),
        );
        self.joint(format!("{id}.to"), JointOf::To(this), to.0, to_seat, area, to.1.as_ref());
        let crimps = [
            self.crimp(JointOf::FromCrimp(this), first_joint, from.1.as_ref()),
            self.crimp(JointOf::ToCrimp(this), second_joint, to.1.as_ref()),
        ];
        self.vehicle.conductors[this.index()].crimps = crimps;
        Some(this)
    }

    /// Everything about a conductor but its ends.
    fn make(&mut self, id: &str, entry: &Entry<'d>, lent: &Lent) -> Option<Conductor> {
        let size = entry.size("size").or(lent.size);
        let length = entry.quantity("length", Dimension::Length).map(Metres).or(lent.length);
        let stated = entry.quantity("resistance", Dimension::Resistance).map(Ohms);
        let range = entry.range("likely", Dimension::Resistance);
        let material = self.material(id, entry);
        let per_metre = size.map(|size| {
            (size, Catalogue::standard().conductor_resistance_per_metre(&size, &material))
        });
        if let Some((size, None)) = &per_metre {
            self.problems.push(Problem::error(
                Code::SizeNotListed,
                entry.place_of("size"),
                format!("the catalogue has no size {size}"),
                "an SAE gauge from 18 to 4/0, an American gauge from 40 to 4/0, or an area in mm²",
            ));
        }
        let per_metre = per_metre.and_then(|(_, found)| found);
        let (resistance_at_20, basis) =
            match (stated, &per_metre, length) {
                (Some(stated), _, _) => (stated, "stated in the file".to_owned()),
                (None, Some(found), Some(length)) => (
                    found.per_metre * length.0,
                    format!(
                        "{} ({}, {})",
                        found.basis,
                        found.provenance.confidence.word(),
                        found.provenance.source
                    ),
                ),
                (None, _, _) if range.is_some() => {
                    let (low, high) = range.unwrap_or_default();
                    let middle = geometric_middle(Ohms(low), Ohms(high));
                    let key = format!("{id}.resistance");
                    self.fills.note(key, print::ohms(middle), MIDDLE_OF_RANGE);
                    (middle, MIDDLE_OF_RANGE.to_owned())
                }
                _ => {
                    let lacking = match (entry.has("size"), entry.has("length")) {
                        (false, false) => "size and length",
                        (false, true) => "size",
                        (true, false) => "length",
                        (true, true) => return None,
                    };
                    let problem = Problem::error(
                        Code::ResistanceUnknown,
                        entry.place.clone(),
                        format!("`{id}` lacks its {lacking}"),
                        "`size` and `length`, or a measured `resistance`",
                    );
                    self.problems.push(problem.hint(
                        "an estimate by eye will do: `size = \"25 mm²\"`, `length = \"0.8 m\"`",
                    ));
                    return None;
                }
            };
        let stated_range = self.likely_ohms(id, entry, "likely", Some(resistance_at_20));
        let likely = stated_range.or_else(|| lent.length.map(|_| spread(resistance_at_20)));
        let kind = self.conductor_kind(entry, size);
        let insulation = self.insulation(id, entry, kind);
        let area = per_metre.as_ref().map(|found| found.area);
        let metal_diameter = area.and_then(|area| {
            physics::heat::stranded_diameter(
                area,
                if kind == ConductorKind::Bar { units::Ratio(1.0) } else { taken().strand_fill },
            )
            .ok()
        });
        let outer_diameter = metal_diameter.map(|metal| {
            if insulation.is_some() { metal + insulation_thickness(metal) * 2.0 } else { metal }
        });
        let heat_capacity = heat_capacity(&material, area, metal_diameter, outer_diameter, length);
        let limit = insulation.map(|row| row.limit);
        Some(Conductor {
            this: ConductorId(0),
            id: String::new(),
            from: JointId(0),
            to: JointId(0),
            crimps: [None; 2],
            kind,
            size,
            length,
            material,
            area,
            resistance_at_20,
            temperature_coefficient: PerKelvin(material.temperature_coefficient),
            basis,
            stated: stated.is_some(),
            likely,
            insulation,
            insulation_limit: limit,
            metal_diameter,
            outer_diameter,
            heat_capacity,
            melting: material.melting,
            surroundings: self.stated_surroundings(entry).unwrap_or(Surroundings::Outside),
            laid: laid(entry),
            bundle: entry.count("bundle").unwrap_or(1),
            missing: (entry.has_key("missing"))
                .then(|| entry.quantity("missing", Dimension::Ratio))
                .flatten()
                .map(units::Ratio),
            on_diagram: !(entry.has_key("on-diagram") && entry.flag("on-diagram") == Some(false)),
            fitted: if entry.has_key("fitted") { entry.date("fitted") } else { None },
            note: entry.owned("note"),
        })
    }

    fn material(&mut self, id: &str, entry: &Entry<'d>) -> Known<Material> {
        let materials = &Catalogue::standard().materials;
        let own = entry.text("material").and_then(|word| materials.known(word));
        own.or_else(|| self.default_text("material").and_then(|word| materials.known(&word)))
            .unwrap_or_else(|| {
                self.fills.note(
                    format!("{id}.material"),
                    "copper",
                    "the usual metal of cables and braids",
                );
                materials
                    .known("copper")
                    .expect("copper is in the embedded catalogue, as a test checks")
            })
    }

    fn conductor_kind(&self, entry: &Entry<'d>, size: Option<WireSize>) -> ConductorKind {
        let word = if entry.has_key("kind") { entry.text("kind") } else { None };
        match (word, size) {
            (Some("braid"), _) | (None, Some(WireSize::Braid(_))) => ConductorKind::Braid,
            (Some("bar"), _) | (None, Some(WireSize::Bar { .. })) => ConductorKind::Bar,
            (Some("strap"), _) => ConductorKind::Strap,
            _ => ConductorKind::Cable,
        }
    }

    fn insulation(
        &mut self,
        id: &str,
        entry: &Entry<'d>,
        kind: ConductorKind,
    ) -> Option<Known<Insulation>> {
        const USUAL: &str = "PVC 105";
        let insulations = &Catalogue::standard().insulation;
        if let Some(row) = entry.text("insulation").and_then(|word| insulations.known(word)) {
            return Some(row);
        }
        if kind != ConductorKind::Cable {
            return None;
        }
        let own = self.default_text("insulation").and_then(|word| insulations.known(&word));
        own.or_else(|| {
            let why = "the usual thin-wall cable (common practice)";
            self.fills.note(format!("{id}.insulation"), USUAL, why);
            insulations.known(USUAL)
        })
    }

    fn stated_surroundings(&self, entry: &Entry<'d>) -> Option<Surroundings> {
        let own = entry.owned("surroundings").or_else(|| self.default_text("surroundings"));
        match own.as_deref()? {
            "engine space" => Some(Surroundings::EngineSpace),
            "inside" => Some(Surroundings::Inside),
            _ => Some(Surroundings::Outside),
        }
    }

    /// The lead that feeds a device: `feed` of a load, from somewhere to its live terminal.
    pub(crate) fn feed_lead(&mut self, device: &str, entry: &Entry<'d>, terminal: PointId) {
        let Some(lead) = entry.table("feed") else { return };
        let Some(end) = self.end(&lead, "from") else { return };
        let from = self.lead_fuse(device, &lead, end.point, true);
        self.conductor(
            format!("{device}.feed"),
            &lead,
            &Lent::default(),
            (from, end.joint),
            (terminal, lead.table("terminal")),
        );
    }

    /// The lead from a source's live terminal to where it delivers.
    pub(crate) fn output_lead(&mut self, device: &str, entry: &Entry<'d>, terminal: PointId) {
        let Some(lead) = entry.table("lead") else { return };
        let Some(end) = self.end(&lead, "to") else { return };
        let to = self.lead_fuse(device, &lead, end.point, false);
        self.conductor(
            format!("{device}.lead"),
            &lead,
            &Lent::default(),
            (terminal, lead.table("terminal")),
            (to, end.joint),
        );
    }

    /// The lead that takes a device's current home.
    pub(crate) fn return_lead(&mut self, device: &str, entry: &Entry<'d>, terminal: PointId) {
        let Some(lead) = entry.table("return") else { return };
        let Some(end) = self.end(&lead, "to") else { return };
        let lent = self.lent_to_return(device, entry, &lead, end.point);
        self.conductor(
            format!("{device}.return"),
            &lead,
            &lent,
            (terminal, lead.table("terminal")),
            (end.point, end.joint),
        );
    }

    /// The joint of a device whose case is bolted to metal.
    pub(crate) fn case(
        &mut self,
        device: &str,
        entry: &Entry<'d>,
        of: JointOf,
        seat: Seat,
    ) -> Option<JointId> {
        let end = self.end(entry, "case")?;
        let (positive, negative) = self.terminal_pair(device, "");
        for terminal in [positive, negative] {
            self.lies_at(terminal, end.point, entry);
        }
        Some(self.joint(format!("{device}.case"), of, end.point, seat, None, end.joint.as_ref()))
    }

    /// A fuse at the source's end of a lead; gives the point at which the lead itself begins.
    fn lead_fuse(
        &mut self,
        device: &str,
        lead: &Entry<'d>,
        point: PointId,
        from_source: bool,
    ) -> PointId {
        let id = format!("{device}.fuse");
        let (fuse, note) = match lead.table("fuse") {
            Some(entry) => (self.fuse(&id, &entry), entry.owned("note")),
            None => {
                let Some(rating) = lead.quantity("fuse", Dimension::Current).map(Amperes) else {
                    return point;
                };
                let curve = self.curve_of_kind(&id, "fuse", Some(rating));
                let kind =
                    InlineKind::Fuse { rating: Some(rating), curve, breaking_capacity: None };
                let resistance = self.fuse_resistance(&id, Some(rating));
                (Fuse { make: "fuse", kind, resistance }, None)
            }
        };
        let own = self.names.add_point(format!("{device}/fuse"), PointOwner::Free, None);
        self.lying_at.insert(own, point);
        let (from, to) = if from_source { (point, own) } else { (own, point) };
        self.vehicle.inlines.push(Inline {
            id,
            make: fuse.make.to_owned(),
            kind: fuse.kind,
            from,
            to,
            resistance: fuse.resistance,
            note,
        });
        own
    }

    pub(crate) fn incidentals(&mut self) {
        for (name, entry) in self.root.clone().tables("incidental") {
            self.take_piece_name(&name, "incidental path");
            let mut point = |key: &str| {
                entry.text(key).and_then(|text| {
                    self.names.point(text, entry.place_of(key), &mut self.problems)
                })
            };
            let (from, to) = (point("from"), point("to"));
            let (Some(from), Some(to)) = (from, to) else { continue };
            let Some(row) = entry
                .text("kind")
                .and_then(|word| Catalogue::standard().incidental_paths.known(word))
            else {
                continue;
            };
            let stated = entry.quantity("resistance", Dimension::Resistance).map(Ohms);
            let likely = self.likely_ohms(name.name, &entry, "likely", stated);
            let middle = likely.map(|range| geometric_middle(range.low, range.high));
            if let Some(middle) = middle.filter(|_| stated.is_none()) {
                let key = format!("{}.resistance", name.name);
                self.fills.note(key, print::ohms(middle), MIDDLE_OF_RANGE);
            }
            let resistance = stated.or(middle).unwrap_or_else(|| {
                self.fills.note(
                    format!("{}.resistance", name.name),
                    print::ohms(row.typical),
                    format!(
                        "typical of a {}, {} to {} ({})",
                        row,
                        print::ohms(row.low),
                        print::ohms(row.high),
                        row.provenance.source
                    ),
                );
                row.typical
            });
            let damage =
                entry.quantity("damage", Dimension::Current).map(Amperes).or(Some(row.damage));
            self.vehicle.incidentals.push(Incidental {
                id: name.name.to_owned(),
                kind: row,
                from,
                to,
                resistance,
                likely,
                damage,
                note: entry.owned("note"),
            });
        }
    }
}

fn laid(entry: &Entry<'_>) -> Laid {
    let word = if entry.has_key("laid") { entry.text("laid") } else { None };
    if word == Some("on metal") { Laid::OnMetal } else { Laid::Free }
}

/// Heat that warms a conductor by one kelvin: metal and insulation.
fn heat_capacity(
    material: &Material,
    area: Option<SquareMetres>,
    metal: Option<Metres>,
    outer: Option<Metres>,
    length: Option<Metres>,
) -> Option<JoulesPerKelvin> {
    let (area, metal, outer, length) = (area?, metal?, outer?, length?);
    let ring = physics::heat::ring_area(metal, outer).ok()?;
    let metal_heat = material.density_kg_per_m3 * material.specific_heat_j_per_kg_k * area.0;
    Some(JoulesPerKelvin((metal_heat + taken().insulation_heat.0 * ring.0) * length.0))
}

/// Longest cable that is believed without asking.
pub(crate) const LONGEST: Metres = Metres(60.0);

impl Reader<'_> {
    /// Warns of a conductor whose length looks like a slip of the unit.
    pub(crate) fn check_length(&mut self, entry: &Entry<'_>, id: &str) {
        let Some(length) = entry.quantity("length", Dimension::Length).map(Metres) else { return };
        // What no vehicle can have has been told already.
        let told = beyond(length.0, Dimension::Length).is_some();
        if !told && (length > LONGEST || length < Metres(0.01)) {
            let problem = Problem::warning(
                Code::LengthUnlikely,
                entry.place_of("length"),
                format!("`{id}` is {} long", UnitSystem::Metric.length(length)),
                "the length of a conductor in a vehicle, from a few centimetres to some tens of metres",
            );
            self.problems.push(problem.hint("check the unit: `mm`, `cm`, `m`, `in`, `ft`"));
        }
    }
}
