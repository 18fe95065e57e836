//! Galvanic isolators, and shunts with what reaches the battery without passing them.

use std::collections::{BTreeSet, VecDeque};

use model::{Code, InlineId, InlineKind, Piece, PointId, Problem, Vehicle};
use units::{Amperes, Dimension, Ohms, Volts, print};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::read::Reader;
use crate::suggest::did_you_mean;

impl<'d> Reader<'d> {
    /// Adds the two ways of every galvanic isolator.
    pub(crate) fn isolators(&mut self) {
        for (name, entry) in self.root.clone().tables("isolators") {
            let Some((from, to)) = self.inline_ends(&name, &entry) else { continue };
            let stated = entry.quantity("drop", Dimension::Voltage).map(Volts);
            let drop = stated.unwrap_or_else(|| {
                self.fills.note(
                    format!("{}.drop", name.name),
                    print::volts(taken().isolator_drop),
                    "two silicon diodes in series each way, about 1.2 to 1.4 V (common practice)",
                );
                taken().isolator_drop
            });
            let resistance =
                entry.quantity("resistance", Dimension::Resistance).unwrap_or(taken().diode.0);
            for (way, ends) in [("there", (from, to)), ("back", (to, from))] {
                let id = format!("{}.{way}", name.name);
                let own = Named { name: id.as_str(), place: name.place.clone() };
                let kind = InlineKind::Diode { drop };
                self.add_inline(&own, &entry, "galvanic isolator", kind, ends, resistance);
            }
        }
    }

    /// Adds every shunt.
    pub(crate) fn all_shunts(&mut self) {
        for (name, entry) in self.root.clone().tables("shunts") {
            let Some(ends) = self.inline_ends(&name, &entry) else { continue };
            let stated = entry.quantity("resistance", Dimension::Resistance);
            let resistance = stated.unwrap_or_else(|| self.shunt_ohms(&name, &entry).0);
            self.add_inline(&name, &entry, "shunt", InlineKind::Shunt, ends, resistance);
        }
    }

    fn shunt_ohms(&mut self, name: &Named<&str>, entry: &Entry<'d>) -> Ohms {
        let drop = taken().shunt_drop;
        let (ohms, why) = match entry.quantity("rating", Dimension::Current).map(Amperes) {
            Some(rating) => {
                let at = print::amperes(rating);
                let why = format!("{} at its {at} (common practice)", print::volts(drop));
                (Ohms(drop.0 / rating.0), why)
            }
            None => (taken().shunt, "a shunt or sensor without a rating (common practice)".into()),
        };
        self.fills.note(format!("{}.resistance", name.name), print::ohms(ohms), why);
        ohms
    }

    /// What reaches a battery's post without passing the shunt that is to see it.
    pub(crate) fn check_shunts(&mut self) {
        for (name, entry) in self.root.clone().tables("shunts") {
            let found = self.vehicle.piece_named(name.name);
            let Some(Piece::Inline(id)) = found else { continue };
            let place = name.place.clone();
            let wanted = entry.text("battery");
            let batteries = self.vehicle.batteries.iter().map(|own| own.id.as_str());
            if let Some(wanted) = wanted
                && !batteries.clone().any(|own| own == wanted)
            {
                let mut problem = Problem::error(
                    Code::UnknownName,
                    entry.place_of("battery"),
                    format!("there is no battery `{wanted}`"),
                    "the name of a table `[batteries.NAME]` of this file",
                );
                problem.hint = did_you_mean(wanted, batteries);
                self.problems.push(problem);
                continue;
            }
            let Some(seen) = Seen::of(&self.vehicle, id, wanted) else {
                self.problems.push(Problem::warning(
                    Code::ShuntBypassed,
                    place,
                    format!("no metal joins `{}` to a battery's post", name.name),
                    "a conductor from the shunt to the post of its battery",
                ));
                continue;
            };
            for (piece, what) in seen.past() {
                self.problems.push(
                    Problem::warning(
                        Code::ShuntBypassed,
                        place.clone(),
                        format!(
                            "`{}` does not see all: {what} reaches `{}` by `{piece}`, past it",
                            name.name,
                            self.vehicle.point(seen.post).id
                        ),
                        "every return on the far side of the shunt, and nothing but the shunt at the post",
                    )
                    .hint("a shunt's own supply and a boat's bilge pump are often led past it on purpose: then say so in `note`"),
                );
            }
        }
    }
}

/// A shunt and the post that it is to see.
struct Seen<'v> {
    vehicle: &'v Vehicle,
    shunt: InlineId,
    post: PointId,
    /// The shunt's terminal on the battery's side, and the one on the other.
    near: PointId,
    far: PointId,
}

impl<'v> Seen<'v> {
    /// The nearest post of the battery, or of any.
    fn of(vehicle: &'v Vehicle, shunt: InlineId, battery: Option<&str>) -> Option<Self> {
        let part = vehicle.inline(shunt);
        let named = |own: &&model::Battery| battery.is_none_or(|name| own.id == name);
        let batteries = vehicle.batteries.iter().filter(named);
        let posts: Vec<PointId> = batteries.flat_map(|own| [own.negative, own.positive]).collect();
        let sides = [(part.from, part.to), (part.to, part.from)];
        let nearest = sides.iter().flat_map(|&(near, far)| {
            let walk = Walk::from(vehicle, shunt, near);
            let steps = posts.iter().map(move |post| Some((walk.steps(*post)?, *post, near, far)));
            steps.flatten().collect::<Vec<_>>()
        });
        let (_, post, near, far) = nearest.min_by_key(|own| own.0)?;
        Some(Self { vehicle, shunt, post, near, far })
    }

    /// The pieces by which something passes the shunt, each with what does.
    fn past(&self) -> Vec<(&'v str, String)> {
        let vehicle = self.vehicle;
        let walk = Walk::from(vehicle, self.shunt, self.post);
        let through = walk.way(self.near);
        let mut found = Vec::new();
        let mut told = BTreeSet::new();
        let mut tell = |point: PointId, what: String| {
            if let Some(piece) = walk.leaves(point, &through)
                && told.insert(piece)
            {
                found.push((vehicle.piece_name(piece), what));
            }
        };
        tell(self.far, format!("what is behind `{}`", vehicle.inline(self.shunt).id));
        for load in &vehicle.loads {
            for end in [load.positive, load.negative] {
                tell(end, format!("`{}`", load.id));
            }
        }
        for source in &vehicle.regulated {
            for end in [source.positive, source.negative] {
                tell(end, format!("`{}`", source.id));
            }
        }
        found
    }
}

/// What metal joins to a point without the shunt: from where each was reached, and by which piece.
struct Walk {
    reached: Vec<Option<Step>>,
}

/// How a point was reached.
#[derive(Debug, Clone, Copy)]
struct Step {
    steps: usize,
    /// The point before it, and the piece between; nothing at the start.
    before: Option<(usize, Piece)>,
}

impl Walk {
    fn from(vehicle: &Vehicle, shunt: InlineId, start: PointId) -> Self {
        let mut around: Vec<Vec<(Piece, usize)>> = vec![Vec::new(); vehicle.points.len()];
        for piece in vehicle.pieces().filter(|piece| *piece != Piece::Inline(shunt)) {
            if let Some((a, b)) = vehicle.piece_ends(piece) {
                around[a.index()].push((piece, b.index()));
                around[b.index()].push((piece, a.index()));
            }
        }
        let mut reached = vec![None; vehicle.points.len()];
        reached[start.index()] = Some(Step { steps: 0, before: None });
        let mut next = VecDeque::from([(start.index(), 0)]);
        while let Some((here, steps)) = next.pop_front() {
            for &(piece, there) in &around[here] {
                if reached[there].is_none() {
                    let before = Some((here, piece));
                    reached[there] = Some(Step { steps: steps + 1, before });
                    next.push_back((there, steps + 1));
                }
            }
        }
        Self { reached }
    }

    fn steps(&self, point: PointId) -> Option<usize> {
        self.reached[point.index()].map(|step| step.steps)
    }

    fn before(&self, point: usize) -> Option<(usize, Piece)> {
        self.reached[point]?.before
    }

    /// The points on the way to one, both ends among them.
    fn way(&self, to: PointId) -> BTreeSet<usize> {
        let mut way = BTreeSet::from([to.index()]);
        let mut here = to.index();
        while let Some((before, _)) = self.before(here) {
            way.insert(before);
            here = before;
        }
        way
    }

    /// The piece by which the way to a point leaves the way through the shunt; nothing where the point
    /// was not reached or lies on that way.
    fn leaves(&self, point: PointId, through: &BTreeSet<usize>) -> Option<Piece> {
        let mut here = point.index();
        if through.contains(&here) {
            return None;
        }
        while let Some((before, piece)) = self.before(here) {
            if through.contains(&before) {
                return Some(piece);
            }
            here = before;
        }
        None
    }
}
