//! Opening times of fuses and breakers: points that belong to one, and curves that several share.

use std::ops::Range;

use model::{Code, Curve, CurvePoint, Problem};
use physics::protection::{CurveFault, OpeningPoint, TimeCurrent};
use units::{Amperes, Dimension, Ratio, Seconds};

use crate::document::Entry;
use crate::read::Reader;
use crate::shared_curves::{Scale, Written};
use crate::suggest::{did_you_mean, listed};

impl<'d> Reader<'d> {
    /// Reads the curves that fuses may name.
    pub(crate) fn shared_curves(&mut self) {
        for (name, entry) in self.root.clone().tables("curves") {
            let source = entry.owned("source").unwrap_or_default();
            let written = self.written(&entry, "points", source);
            let in_amperes = written.as_ref().is_some_and(|own| own.scale == Scale::Amperes);
            if let Some(kind) = entry.text("for") {
                if in_amperes {
                    self.problems.push(Problem::error(
                        Code::CurveInAmperes,
                        entry.place_of("points"),
                        format!(
                            "the curve `{}` is for every {kind}, but its currents are in amperes",
                            name.name
                        ),
                        "currents as shares of the rating, such as `135 %`",
                    ));
                }
                if let Some(other) = self.curves.of_kind.get(kind) {
                    self.problems.push(Problem::error(
                        Code::CurveKindTaken,
                        entry.place_of("for"),
                        format!("the curve `{other}` is for every {kind} already"),
                        "one curve for a kind; a fuse may name another",
                    ));
                } else {
                    self.curves.of_kind.insert(kind.to_owned(), name.name.to_owned());
                }
            }
            self.curves.named.insert(name.name.to_owned(), written);
        }
    }

    /// The curve of a fuse: its own, one that it names, or the one for its kind.
    pub(crate) fn curve_of_fuse(
        &mut self,
        id: &str,
        entry: &Entry<'d>,
        make: &str,
        rating: Option<Amperes>,
    ) -> Option<Curve> {
        if !entry.has("curve") {
            return self.curve_of_kind(id, make, rating);
        }
        let written = match entry.text("curve") {
            Some(name) => match self.curves.named.get(name) {
                Some(known) => known.clone(),
                None => {
                    let known: Vec<&str> = self.curves.named.keys().map(String::as_str).collect();
                    let expected = if known.is_empty() {
                        "the name of a table `[curves.NAME]` of this file".to_owned()
                    } else {
                        format!("one of {}", listed(known.iter().copied()))
                    };
                    let mut problem = Problem::error(
                        Code::UnknownCurve,
                        entry.place_of("curve"),
                        format!("there is no curve `{name}`"),
                        expected,
                    );
                    problem.hint = did_you_mean(name, known);
                    self.problems.push(problem);
                    None
                }
            },
            None => {
                let source = entry.owned("curve-source");
                self.written(
                    entry,
                    "curve",
                    source.unwrap_or_else(|| "the vehicle file".to_owned()),
                )
            }
        }?;
        let curve = written.at_rating(rating);
        if curve.is_none() {
            self.problems.push(Problem::error(
                Code::CurveNeedsRating,
                entry.place_of("curve"),
                format!("`{id}` has no rating, and its curve counts in shares of one"),
                "a `rating`, or currents in amperes",
            ));
        }
        curve
    }

    /// The curve that holds for every fuse of a kind, with a note that it was taken.
    pub(crate) fn curve_of_kind(
        &mut self,
        id: &str,
        make: &str,
        rating: Option<Amperes>,
    ) -> Option<Curve> {
        let name = self.curves.of_kind.get(make)?;
        let curve = self.curves.named.get(name)?.as_ref()?.at_rating(rating)?;
        self.fills.note(
            format!("{id}.curve"),
            name.clone(),
            format!("the curve for every {make} ({})", curve.source),
        );
        Some(curve)
    }

    /// The points under a key, when they make a curve; otherwise everything that is wrong is told.
    fn written(&mut self, entry: &Entry<'d>, key: &str, source: String) -> Option<Written> {
        let entries = entry.many(key);
        let mut scale = None;
        let mut points = Vec::new();
        let mut places = Vec::new();
        for point in &entries {
            let share = point.quantity("current", Dimension::Ratio).map(Ratio);
            let amps = point.quantity("current", Dimension::Current).map(Amperes);
            let (own, current) = match (amps, share) {
                (Some(amps), _) => (Scale::Amperes, amps),
                (None, Some(share)) => (Scale::OfRating, Amperes(share.0)),
                // What cannot be read has been told.
                (None, None) => return None,
            };
            if *scale.get_or_insert(own) != own {
                self.problems.push(Problem::error(
                    Code::CurveInTwoUnits,
                    point.place_of("current"),
                    "this curve counts its currents in amperes and in shares of the rating",
                    "one of the two throughout",
                ));
                return None;
            }
            let seconds = |key: &str| point.quantity(key, Dimension::Time).map(Seconds);
            // A time that is there and cannot be read has been told too.
            if ["not-before", "time"].iter().any(|key| point.has(key) && seconds(key).is_none()) {
                return None;
            }
            points.push(OpeningPoint {
                current,
                not_before: seconds("not-before"),
                not_after: seconds("time"),
            });
            places.push(point.place.clone());
        }
        if let Err(faults) = TimeCurrent::new(&points) {
            let whole = entry.place_of(key);
            self.problems.extend(faults.iter().filter_map(|fault| told(*fault, &places, &whole)));
            return None;
        }
        points.sort_by(|a, b| a.current.0.total_cmp(&b.current.0));
        let points = points
            .into_iter()
            .map(|OpeningPoint { current, not_before, not_after }| CurvePoint {
                current,
                not_before,
                not_after,
            })
            .collect();
        Some(Written { scale: scale?, points, source })
    }
}

/// A fault of a curve as a problem; nothing for what the check of quantities has told.
fn told(fault: CurveFault, places: &[Range<usize>], whole: &Range<usize>) -> Option<Problem> {
    let place = |at: usize| places.get(at).cloned().unwrap_or_else(|| whole.clone());
    Some(match fault {
        CurveFault::NotPositive { .. } => return None,
        CurveFault::Empty => Problem::error(
            Code::CurveEmpty,
            whole.clone(),
            "this curve has no point",
            "at least one, such as `{ current = \"200 %\", time = \"5 s\" }`",
        ),
        CurveFault::NoTime { at } => Problem::error(
            Code::CurveWithoutTime,
            place(at),
            "this point of a curve has no time",
            "`time`, by which it has opened, or `not-before`, or both",
        ),
        CurveFault::SameCurrent { at, .. } => Problem::error(
            Code::CurveCurrentTwice,
            place(at),
            "another point of this curve is at the same current",
            "one point for a current, with both of its times",
        ),
        CurveFault::Crossed { at } => Problem::error(
            Code::CurveTimesCrossed,
            place(at),
            "`not-before` is later than `time`",
            "`not-before` for the earliest opening, `time` for the latest",
        ),
        CurveFault::HoldsLonger { at, .. } => Problem::error(
            Code::CurveRises,
            place(at),
            "`not-before` is longer than at less current",
            "a time that falls, or stays, as the current rises",
        ),
        CurveFault::OpensLater { at, .. } => Problem::error(
            Code::CurveRises,
            place(at),
            "`time` is longer than at less current",
            "a time that falls, or stays, as the current rises",
        ),
    })
}
