//! Structures: bodies of metal with several points, and the stretches between those.

use catalogue::{Catalogue, Known, Material};
use model::{Code, Likely, Place, PointId, PointOwner, Problem, Stretch, Structure};
use units::{Dimension, Metres, OhmMetres, Ohms, SquareMetres, print};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::likely::{MIDDLE_OF_RANGE, geometric_middle};
use crate::read::Reader;

/// Name of the point in the middle of a body of metal, from which its points hang.
const MIDDLE: &str = "metal";

impl<'d> Reader<'d> {
    /// Adds the points of all structures.
    pub(crate) fn structure_points(&mut self) {
        for (at, (name, entry)) in self.root.clone().tables("structures").into_iter().enumerate() {
            self.names.take(&name, "structure", &mut self.problems);
            let owner = PointOwner::Structure(u32::try_from(at).unwrap_or(u32::MAX));
            let mut points = Vec::new();
            for (point, place) in entry.tables("points") {
                if point.name == MIDDLE {
                    self.problems.push(Problem::error(
                        Code::NameReserved,
                        point.place.clone(),
                        format!("a point cannot be called `{MIDDLE}`: the middle of the metal is called so"),
                        "another name, such as `front` or `gearbox`",
                    ));
                }
                self.names.add_point(format!("{}/{}", name.name, point.name), owner, Some(&place));
                points.push(point.name.to_owned());
            }
            self.names.note_structure(name.name, points);
        }
    }

    pub(crate) fn structures(&mut self) {
        for (at, (name, entry)) in self.root.clone().tables("structures").into_iter().enumerate() {
            let material = self.structure_material(&name, &entry);
            let points: Vec<PointId> = entry
                .tables("points")
                .iter()
                .filter_map(|(point, _)| self.names.find(&format!("{}/{}", name.name, point.name)))
                .collect();
            let number = u32::try_from(at).unwrap_or(u32::MAX);
            self.vehicle.structures.push(Structure {
                id: name.name.to_owned(),
                name: entry.owned("name").unwrap_or_else(|| name.name.replace('-', " ")),
                material,
                points: points.clone(),
                note: entry.owned("note"),
            });
            self.stretches(number, &name, &entry, &points, &material);
        }
    }

    fn structure_material(&mut self, name: &Named<&str>, entry: &Entry<'d>) -> Known<Material> {
        let materials = &Catalogue::standard().materials;
        entry.text("material").and_then(|word| materials.known(word)).unwrap_or_else(|| {
            self.fills.note(
                format!("structures.{}.material", name.name),
                "carbon steel",
                "the usual metal of frames and bodies",
            );
            materials
                .known("carbon steel")
                .expect("carbon steel is in the embedded catalogue, as a test checks")
        })
    }

    fn stretches(
        &mut self,
        number: u32,
        name: &Named<&str>,
        entry: &Entry<'d>,
        points: &[PointId],
        material: &Material,
    ) {
        let ways = ["resistance", "section", "sheet", "between"];
        let given: Vec<&str> = ways.into_iter().filter(|key| entry.has(key)).collect();
        if given.len() > 1 {
            self.problems.push(Problem::error(
                Code::StructureSaidTwice,
                entry.place_of(given[1]),
                format!(
                    "`{}` gives its resistance twice: by `{}` and by `{}`",
                    name.name, given[0], given[1]
                ),
                "one of `resistance`, `section`, `sheet` and `between`",
            ));
        }
        let stated = entry.quantity("resistance", Dimension::Resistance).map(Ohms);
        let likely = self.likely_ohms(name.name, entry, "likely", stated);
        if let Some(other) = ["section", "sheet", "between"].into_iter().find(|key| entry.has(key))
            && likely.is_some()
        {
            self.problems.push(
                Problem::error(
                    Code::LikelyWithoutResistance,
                    entry.place_of("likely"),
                    format!(
                        "`likely` of `{}` stands beside `{other}`, which gives each stretch a value of its own",
                        name.name
                    ),
                    "`likely` beside `resistance`, or alone",
                )
                .hint("in a list `between`, each stretch may have a `likely` of its own"),
            );
        }
        if let Some(ohms) = stated {
            let legs = vec![ohms * 0.5; points.len()];
            return self.star(number, name.name, points, &legs, likely, "stated in the file");
        }
        if let Some(section) = entry.quantity("section", Dimension::Area) {
            return self.rail(
                number,
                name,
                entry,
                points,
                material.resistivity,
                SquareMetres(section),
            );
        }
        if let Some(sheet) = entry.quantity("sheet", Dimension::Length) {
            return self.shell(number, name.name, points, material.resistivity, Metres(sheet));
        }
        if entry.has("between") {
            return self.stated_stretches(number, name, entry, points);
        }
        if let Some(range) = likely {
            let middle = geometric_middle(range.low, range.high);
            if points.len() > 1 {
                let key = format!("structures.{}.resistance", name.name);
                self.fills.note(key, print::ohms(middle), MIDDLE_OF_RANGE);
            }
            let legs = vec![middle * 0.5; points.len()];
            return self.star(number, name.name, points, &legs, likely, MIDDLE_OF_RANGE);
        }
        if points.len() > 1 {
            self.fills.note(
                format!("structures.{}.resistance", name.name),
                print::ohms(taken().body),
                "between any two points of a body of metal about which nothing is said (common practice, a rough value)",
            );
        }
        self.star(
            number,
            name.name,
            points,
            &vec![taken().body / 2.0; points.len()],
            None,
            "a rough value for a body of metal",
        );
    }

    /// Every point hangs from the middle by its own leg; two points hang from each other.
    fn star(
        &mut self,
        number: u32,
        name: &str,
        points: &[PointId],
        legs: &[Ohms],
        likely: Option<Likely<Ohms>>,
        basis: &str,
    ) {
        match points {
            [] | [_] => {}
            [from, to] => {
                let resistance = legs.iter().copied().sum();
                self.stretch(number, name, (*from, *to), resistance, likely, basis);
            }
            _ => {
                let middle = self.names.add_point(
                    format!("{name}/{MIDDLE}"),
                    PointOwner::Structure(number),
                    None,
                );
                self.names.points[middle.index()].access.out_of_reach = true;
                let half = likely.map(|own| Likely { low: own.low * 0.5, high: own.high * 0.5 });
                for (point, leg) in points.iter().zip(legs) {
                    self.stretch(number, name, (*point, middle), *leg, half, basis);
                }
            }
        }
    }

    fn stretch(
        &mut self,
        structure: u32,
        name: &str,
        (from, to): (PointId, PointId),
        resistance: Ohms,
        likely: Option<Likely<Ohms>>,
        basis: &str,
    ) {
        let own = |point: PointId| {
            let id = &self.names.points[point.index()].id;
            id.split_once('/').map_or_else(|| id.clone(), |(_, own)| own.to_owned())
        };
        let id = format!("{name}/{}..{}", own(from), own(to));
        self.vehicle.stretches.push(Stretch {
            id,
            structure,
            from,
            to,
            resistance,
            likely,
            basis: basis.to_owned(),
        });
    }

    /// A rail or beam: its points in order along its longer direction, resistance by distance.
    fn rail(
        &mut self,
        number: u32,
        name: &Named<&str>,
        entry: &Entry<'d>,
        points: &[PointId],
        resistivity: OhmMetres,
        section: SquareMetres,
    ) {
        let mut placed: Vec<(PointId, Place)> = Vec::new();
        for &point in points {
            match self.names.points[point.index()].place {
                Some(place) => placed.push((point, place)),
                None => self.problems.push(Problem::error(
                    Code::PlaceMissing,
                    entry.place_of("section"),
                    format!(
                        "`{}` has no place, so its distance along `{}` is unknown",
                        self.names.points[point.index()].id,
                        name.name
                    ),
                    "`at` for every point of a structure with a `section`",
                )),
            }
        }
        let spread = |of: fn(&Place) -> f64| {
            let values = placed.iter().map(|(_, place)| of(place));
            values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
        };
        let along: fn(&Place) -> f64 =
            if spread(|place| place.forward.0) >= spread(|place| place.left.0) {
                |place| place.forward.0
            } else {
                |place| place.left.0
            };
        placed.sort_by(|a, b| along(&b.1).total_cmp(&along(&a.1)));
        for pair in placed.windows(2) {
            let ((from, a), (to, b)) = (pair[0], pair[1]);
            let distance = Metres((a.forward - b.forward).0.hypot((a.left - b.left).0).max(1e-3));
            if let Ok(resistance) = physics::conductor::resistance(resistivity, distance, section) {
                self.stretch(
                    number,
                    name.name,
                    (from, to),
                    resistance,
                    None,
                    "resistivity, distance and section of the rail",
                );
            }
        }
    }

    /// A shell or plate: current spreads from each fixing.
    ///
    /// Between two discs of radius a at distance D on a wide sheet lies (Rs/π)·ln(D/a); each point
    /// takes half of that, with its mean distance to the others.
    fn shell(
        &mut self,
        number: u32,
        name: &str,
        points: &[PointId],
        resistivity: OhmMetres,
        thickness: Metres,
    ) {
        let Ok(sheet) = physics::conductor::sheet_resistance(resistivity, thickness) else {
            return;
        };
        let places: Vec<Option<Place>> =
            points.iter().map(|point| self.names.points[point.index()].place).collect();
        let legs: Vec<Ohms> = places
            .iter()
            .enumerate()
            .map(|(at, own)| {
                let distances: Vec<f64> = places
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != at)
                    .filter_map(|(_, other)| own.zip(*other))
                    .map(|(a, b)| (a.forward - b.forward).0.hypot((a.left - b.left).0))
                    .collect();
                let mean = if distances.is_empty() {
                    taken().shell_distance.0
                } else {
                    distances.iter().sum::<f64>()
                        / f64::from(u32::try_from(distances.len()).unwrap_or(1))
                };
                let ratio = (mean / taken().seat_radius.0).max(4.0);
                Ohms(sheet.0 / (2.0 * std::f64::consts::PI) * ratio.ln())
            })
            .collect();
        self.star(
            number,
            name,
            points,
            &legs,
            None,
            "spreading of current around fixings of 16 mm across on a wide sheet",
        );
    }

    fn stated_stretches(
        &mut self,
        number: u32,
        name: &Named<&str>,
        entry: &Entry<'d>,
        points: &[PointId],
    ) {
        let mut joined = Vec::new();
        for stretch in entry.many("between") {
            let mut point = |key: &str| {
                let text = stretch.text(key)?;
                let text = text.strip_prefix(&format!("{}/", name.name)).unwrap_or(text);
                self.names.point(
                    &format!("{}/{text}", name.name),
                    stretch.place_of(key),
                    &mut self.problems,
                )
            };
            let (from, to) = (point("from"), point("to"));
            let (Some(from), Some(to), Some(ohms)) =
                (from, to, stretch.quantity("resistance", Dimension::Resistance))
            else {
                continue;
            };
            joined.extend([from, to]);
            let id = format!("{}/{}", name.name, stretch.text("from").unwrap_or_default());
            let likely = self.likely_ohms(&id, &stretch, "likely", Some(Ohms(ohms)));
            let ends = (from, to);
            self.stretch(number, name.name, ends, Ohms(ohms), likely, "stated in the file");
        }
        for point in points.iter().filter(|point| !joined.contains(point)) {
            self.problems.push(Problem::warning(
                Code::PointNotJoined,
                entry.place_of("between"),
                format!(
                    "no stretch of `{}` ends at `{}`",
                    name.name,
                    self.names.points[point.index()].id
                ),
                "a resistance between this point and another of the structure",
            ));
        }
    }
}
