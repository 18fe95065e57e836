//! Temperature over time of the warmest conductors, as an SVG picture.

use std::fmt::Write;

use ::failures::{ConductorWarmth, Warmth};
use model::Vehicle;
use units::{Kelvin, Seconds, UnitSystem, print};

use super::Found;

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 420.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 216.0;
const TOP: f64 = 44.0;
const BOTTOM: f64 = 52.0;

/// Lines in one picture; more could not be told apart.
const MOST_LINES: usize = 5;
/// Points of a line.
const POINTS: usize = 96;

/// Colours that differ in lightness too (after Okabe and Ito), each with a dash of its own.
const LINES: [(&str, &str); MOST_LINES] = [
    ("#0072b2", ""),
    ("#d55e00", "7 3"),
    ("#007a5a", "2 3"),
    ("#8a3d74", "9 3 2 3"),
    ("#5b4a00", "4 4"),
];

/// The picture, a file of its own.
#[must_use]
pub fn plot(found: &Found<'_>, units: UnitSystem) -> String {
    let Found { vehicle, warmth, .. } = found;
    let times: Vec<Seconds> =
        (0..=POINTS).map(|at| warmth.time * (at as f64 / POINTS as f64)).collect();
    let shown: Vec<(&ConductorWarmth, Vec<(Seconds, Kelvin)>)> = warmth
        .conductors
        .iter()
        .take(MOST_LINES)
        .map(|own| (own, warmth.course(own, &times)))
        .filter(|(_, course)| !course.is_empty())
        .collect();
    let degrees = |kelvin: Kelvin| match units {
        UnitSystem::Metric => kelvin.celsius(),
        UnitSystem::Us => kelvin.celsius() * 1.8 + 32.0,
    };
    let all = shown.iter().flat_map(|(_, course)| course).map(|(_, kelvin)| degrees(*kelvin));
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let (low, high) = if low <= high { (low, high) } else { (0.0, 100.0) };
    // A limit just above the lines is worth the room; one far away is not.
    let limits = shown.iter().map(|(own, _)| degrees(own.limit));
    let high =
        limits.filter(|limit| *limit < high + 0.5 * (high - low).max(20.0)).fold(high, f64::max);
    let step = step((high - low).max(10.0));
    let (low, high) = ((low / step).floor() * step, (high / step).ceil() * step);
    let high = if high > low { high } else { low + step };
    let frame = Frame { low, high, last: warmth.time.0 };
    let mut svg = String::new();
    head(&mut svg, vehicle, warmth);
    frame.axes(&mut svg, step, units);
    let mut drawn: Vec<Kelvin> = Vec::new();
    for (own, _) in &shown {
        let limit = degrees(own.limit);
        if drawn.contains(&own.limit) || !(frame.low <= limit && limit <= frame.high) {
            continue;
        }
        drawn.push(own.limit);
        let y = frame.y(limit);
        let _ = writeln!(
            svg,
            r#"<line x1="{LEFT}" x2="{:.1}" y1="{y:.1}" y2="{y:.1}" stroke="{GREY}" stroke-dasharray="1 2"/><text x="{:.1}" y="{:.1}" fill="{GREY}">limit {}</text>"#,
            WIDTH - RIGHT,
            LEFT + 6.0,
            y - 4.0,
            units.temperature(own.limit)
        );
    }
    let mut labels: Vec<(f64, usize)> = Vec::new();
    for (at, (_, course)) in shown.iter().enumerate() {
        let (colour, dash) = LINES[at];
        let points: Vec<String> = course
            .iter()
            .map(|(time, kelvin)| {
                format!("{:.1},{:.1}", frame.x(time.0), frame.y(degrees(*kelvin)))
            })
            .collect();
        let _ = writeln!(
            svg,
            r#"<polyline points="{}" fill="none" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}"/>"#,
            points.join(" ")
        );
        let end = course.last().map_or(frame.low, |(_, kelvin)| degrees(*kelvin));
        labels.push((frame.y(end), at));
    }
    place(&mut labels);
    for (y, at) in labels {
        let own = shown[at].0;
        let conductor = vehicle.conductor(own.conductor);
        let (colour, dash) = LINES[at];
        let x = WIDTH - RIGHT + 8.0;
        let _ = writeln!(
            svg,
            r#"<line x1="{x:.1}" x2="{:.1}" y1="{:.1}" y2="{:.1}" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}"/>"#,
            x + 18.0,
            y - 4.0,
            y - 4.0
        );
        let size = conductor.size.map_or_else(String::new, |size| format!(", {size}"));
        let _ = writeln!(
            svg,
            r#"<text x="{:.1}" y="{y:.1}"><tspan font-weight="bold">{}</tspan><tspan x="{:.1}" dy="14" fill="{GREY}">{}{}, limit {}</tspan></text>"#,
            x + 24.0,
            escaped(&shortened(&conductor.id)),
            x + 24.0,
            print::amperes(own.amps),
            escaped(&size),
            units.temperature(own.limit)
        );
    }
    svg.push_str("</svg>\n");
    svg
}

const GREY: &str = "#555555";

fn head(svg: &mut String, vehicle: &Vehicle, warmth: &Warmth) {
    let state = &vehicle.state(warmth.state).name;
    let title = format!("{}: {state}, {}", vehicle.name, print::duration(warmth.time));
    let _ = writeln!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="12" role="img" aria-labelledby="title">"#
    );
    let _ =
        writeln!(svg, r#"<title id="title">Temperature over time. {}</title>"#, escaped(&title));
    let _ = writeln!(svg, r#"<rect width="100%" height="100%" fill="white"/>"#);
    let _ = writeln!(
        svg,
        r#"<text x="{LEFT}" y="22" font-size="14" font-weight="bold">{}</text>"#,
        escaped(&title)
    );
}

/// What lies where.
struct Frame {
    low: f64,
    high: f64,
    last: f64,
}

impl Frame {
    fn x(&self, seconds: f64) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * seconds / self.last
    }

    fn y(&self, degrees: f64) -> f64 {
        HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * (degrees - self.low) / (self.high - self.low)
    }

    fn axes(&self, svg: &mut String, step: f64, units: UnitSystem) {
        let unit = match units {
            UnitSystem::Metric => "°C",
            UnitSystem::Us => "°F",
        };
        let mut degrees = self.low;
        while degrees <= self.high + 1e-6 {
            let y = self.y(degrees);
            let _ = writeln!(
                svg,
                r##"<line x1="{LEFT}" x2="{:.1}" y1="{y:.1}" y2="{y:.1}" stroke="#dddddd"/><text x="{:.1}" y="{:.1}" text-anchor="end">{} {unit}</text>"##,
                WIDTH - RIGHT,
                LEFT - 6.0,
                y + 4.0,
                print::fixed(degrees, 0)
            );
            degrees += step;
        }
        let (name, seconds) = match self.last {
            last if last <= 180.0 => ("seconds", 1.0),
            last if last <= 10_800.0 => ("minutes", 60.0),
            _ => ("hours", 3600.0),
        };
        let step = self::step(self.last / seconds);
        let mut time = 0.0;
        while time * seconds <= self.last * (1.0 + 1e-9) {
            let x = self.x(time * seconds);
            let _ = writeln!(
                svg,
                r#"<line x1="{x:.1}" x2="{x:.1}" y1="{:.1}" y2="{:.1}" stroke="black"/><text x="{x:.1}" y="{:.1}" text-anchor="middle">{}</text>"#,
                HEIGHT - BOTTOM,
                HEIGHT - BOTTOM + 5.0,
                HEIGHT - BOTTOM + 19.0,
                print::plain(time, 3)
            );
            time += step;
        }
        let _ = writeln!(
            svg,
            r#"<line x1="{LEFT}" x2="{:.1}" y1="{:.1}" y2="{:.1}" stroke="black"/><text x="{:.1}" y="{:.1}" text-anchor="end">{name}</text>"#,
            WIDTH - RIGHT,
            HEIGHT - BOTTOM,
            HEIGHT - BOTTOM,
            WIDTH - RIGHT,
            HEIGHT - BOTTOM + 38.0
        );
    }
}

/// A round step that divides a span into four to nine parts.
fn step(span: f64) -> f64 {
    let rough = span / 8.0;
    let power = 10_f64.powf(rough.log10().floor());
    let factor = match rough / power {
        part if part <= 1.0 => 1.0,
        part if part <= 2.0 => 2.0,
        part if part <= 5.0 => 5.0,
        _ => 10.0,
    };
    factor * power
}

/// Moves labels apart, lowest line last, so that none covers another.
fn place(labels: &mut [(f64, usize)]) {
    const APART: f64 = 34.0;
    labels.sort_by(|a, b| units::larger_first(b.0, a.0));
    let mut above = TOP - APART + 8.0;
    for label in labels.iter_mut() {
        label.0 = label.0.max(above + APART);
        above = label.0;
    }
    // What was pushed out at the bottom pushes the others back up.
    let mut below = HEIGHT - BOTTOM + APART - 12.0;
    for label in labels.iter_mut().rev() {
        label.0 = label.0.min(below - APART);
        below = label.0;
    }
}

/// A name cut to what fits beside the picture.
fn shortened(name: &str) -> String {
    const MOST: usize = 24;
    if name.chars().count() <= MOST {
        return name.to_owned();
    }
    name.chars().take(MOST - 1).chain(['…']).collect()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn labels_keep_their_distance_and_stay_inside() {
        let mut labels = vec![(300.0, 0), (302.0, 1), (360.0, 2), (359.0, 3), (358.0, 4)];
        place(&mut labels);
        for pair in labels.windows(2) {
            assert!(pair[1].0 - pair[0].0 >= 33.9, "{labels:?}");
        }
        assert!(labels.iter().all(|(y, _)| (TOP..HEIGHT - 20.0).contains(y)), "{labels:?}");
    }

    #[test]
    fn steps_are_round_and_few() {
        for span in [3.0, 10.0, 47.0, 180.0, 1400.0] {
            let parts = span / step(span);
            assert!((3.0..=9.0).contains(&parts), "{span}: {parts}");
        }
    }

    #[test]
    fn names_of_a_file_cannot_break_the_picture() {
        assert_eq!(escaped("a<b>&\"c\""), "a&lt;b&gt;&amp;&quot;c&quot;");
    }
}
