//! What is said of the joint about a bolt.

use catalogue::{Catalogue, Preparation, Row};
use units::Pascals;

use crate::bolt::place::Place;
use crate::bolt::sheet::{MOST_TERMINALS, Range, Sheet, ZINC_PLATE};
use crate::told::names::capital;
use crate::told::quantity::{amperes, loss, ohms, torque, watts};
use crate::told::sources::Sources;
use crate::told::{Line, Paragraph, Quantity, Span, Told, Tone, aside, joined, name};

/// Contact pressure at which the resistance of copper bars hardly falls any more, in megapascals.
const FLAT_FROM_MPA: (f64, f64) = (7.0, 10.0);

/// What stands before every line.
const LEAD: &str = "  ";
/// By how many letters the lines after the first are set in.
const HANG: usize = 4;

/// Which joint it is; above the figures of the bolt.
pub(super) fn heading(told: &mut Told, place: &Place) {
    let kind = place.kind.to_string();
    told.toned(
        Tone::Strong,
        say!(
            "{}: {} ({} at {})",
            name(&place.vehicle),
            name(&place.name),
            kind,
            name(&place.point)
        ),
    );
    let mut known = Vec::new();
    if let Some((amps, state)) = &place.carries {
        let volts = place.resistance * *amps;
        known.push(say!(
            "carries up to {} ({}{}{} losing {} and {}",
            amperes(*amps),
            name(state),
            if place.stated { "), at its stated " } else { "), at its typical " },
            ohms(place.resistance),
            loss(volts),
            watts(volts * *amps)
        ));
    }
    if let Some(protection) = &place.protection {
        known.push(say!("protected by {}", protection.to_string()));
    }
    if let Some(serviced) = &place.serviced {
        known.push(say!("serviced {}", name(serviced)));
    }
    if !known.is_empty() {
        told.paragraph(sentence(known));
    }
}

/// Faces, pressure, contact, air, advice.
pub(super) fn of(told: &mut Told, sheet: &Sheet, sources: &mut Sources) {
    told.heading("The joint");
    let plain = |line: Line| (line, false);
    let items = [
        Some(couple(sheet, sources)),
        pressures(sheet).map(plain),
        Some(plain(contact(sheet, sources))),
        stack(sheet),
        forming(sheet, sources),
        air(sheet, sources).map(plain),
        sheet.asked.washer.as_ref().map(|washer| plain(say!("Washers: {}.", name(washer)))),
    ];
    for (line, alarm) in items.into_iter().flatten() {
        item(told, line, alarm);
    }
    told.heading("How it is made, and kept");
    advice(told, &sheet.advice(), sources);
    told.heading("What tightening it again tells");
    told.item(
        say!("{}", LEAD),
        LEAD.len(),
        say!(
            "A wrench that clicks at the old torque says that the bolt does not turn, \
             not that the clamp force is there, and nothing of the contact. Read the \
             millivolts under load instead; open, clean and tighten anew where they have \
             grown."
        ),
    );
    advice(told, &sheet.on_torque_later(), sources);
}

fn item(told: &mut Told, line: Line, alarm: bool) {
    let (text, tone) =
        if alarm { (say!("! {}", line), Tone::Warning) } else { (line, Tone::Plain) };
    told.push(Paragraph::item(LEAD, HANG, text).toned(tone).narrower(HANG - LEAD.len()));
}

fn advice(told: &mut Told, rows: &[&'static Preparation], sources: &mut Sources) {
    for row in rows {
        let mark = sources.mark(&row.provenance);
        item(told, say!("– {} {}", row.practice.as_str(), mark), false);
    }
    if rows.is_empty() {
        told.line(say!("{}{}", LEAD, aside("nothing particular")));
    }
}

fn couple(sheet: &Sheet, sources: &mut Sources) -> (Line, bool) {
    let Some(couple) = &sheet.couple else {
        let told = sheet.asked.finish.as_ref().map_or_else(
            || say!("no finish of its faces is stated"),
            |finish| say!("`{}` does not name two listed metals", name(finish.to_string())),
        );
        let tells = ". `--faces 'tin, bare steel'` tells what they do to each other.";
        return (say!("Faces: {}{}", told, tells), false);
    };
    let marks = [couple.first, couple.second].map(|own| sources.short_mark(&own.provenance));
    let [first, second] = marks;
    let mark = if first == second { say!("{}", first) } else { say!("{} {}", first, second) };
    let allowances = &Catalogue::standard().galvanic_allowances;
    let allowed = allowances.find(&sheet.asked.environment.allowance);
    let allowed =
        allowed.map_or_else(Line::new, |row| say!("{}", sources.short_mark(&row.provenance)));
    let assumed = if sheet.asked.environment_assumed { " (assumed) " } else { " " };
    let suits = couple.suits();
    let line = say!(
        "{} against {}: {} apart in the anodic index {}{}{} usually accepted for {}{}{}{}",
        capital(couple.first.key()),
        couple.second.key(),
        Quantity::Fixed(couple.difference.0, 2, " V"),
        mark,
        if suits { ", within the " } else { ", more than the " },
        Quantity::Fixed(couple.allowed.0, 2, " V"),
        sheet.asked.environment.to_string(),
        assumed,
        allowed,
        if couple.unlike() && !suits {
            let goes = couple.goes().key();
            say!("; where water bridges them the {} goes. Plate one, or seal it.", goes)
        } else {
            say!(".")
        }
    );
    (line, !suits)
}

fn pressures(sheet: &Sheet) -> Option<Line> {
    let ([under_head, over_pad], pad) = sheet.pressures.zip(sheet.pad)?;
    Some(say!(
        "Pressure: {} under the head, {} if it spreads over a pad of {}{}. Copper bars gain \
         little above {} to {} (from memory).",
        pressure(&under_head),
        pressure(&over_pad),
        Quantity::Plain(pad.mm(), 3, " mm"),
        if sheet.asked.pad.is_none() { ", assumed" } else { "" },
        Quantity::Fixed(FLAT_FROM_MPA.0, 0, ""),
        Quantity::Fixed(FLAT_FROM_MPA.1, 0, " MPa")
    ))
}

fn pressure(range: &Range<Pascals>) -> Line {
    say!(
        "{} to {}",
        Quantity::Plain(range.low.0 * 1e-6, 2, ""),
        Quantity::Plain(range.high.0 * 1e-6, 2, " MPa")
    )
}

fn contact(sheet: &Sheet, sources: &mut Sources) -> Line {
    let clean = match sheet.couple.as_ref().and_then(|couple| couple.clean.as_ref()) {
        Some((clean, soft)) => say!(
            "{} to {} if both faces were clean metal, the least that physics allows {}.",
            ohms(clean.low),
            ohms(clean.high),
            sources.mark(&soft.provenance)
        ),
        None => say!("no least value without two known faces."),
    };
    let kind = sheet.kind;
    say!(
        "Contact: {} Sound ones of this kind ({}), films included, have {} to {}, bad \
         ones {} to {} {}.",
        clean,
        kind.to_string(),
        ohms(kind.clean_low),
        ohms(kind.clean_high),
        ohms(kind.bad_low),
        ohms(kind.bad_high),
        sources.mark(&kind.provenance)
    )
}

fn stack(sheet: &Sheet) -> Option<(Line, bool)> {
    let stack = sheet.asked.stack;
    let many = stack > MOST_TERMINALS;
    let more = match stack {
        0 | 1 => return None,
        _ if many => " More than the four that are allowed: join studs with a bus.",
        2 => "",
        _ => " The faces settle more: 10 % of the clamp force is taken off instead of 5 %.",
    };
    let line = say!(
        "Stack: {} terminals on one stud. The outermost current passes all faces below it; the \
         largest current goes next to the metal.{}",
        stack as usize,
        more
    );
    Some((line, many))
}

fn forming(sheet: &Sheet, sources: &mut Sources) -> Option<(Line, bool)> {
    let own = sheet.forming?;
    let over = sheet.overtorqued();
    let mut line = say!(
        "Thread-forming screw: {}{} the highest torque of {}, it breaks at {} {}.",
        torque(own.torque),
        if over { " is above" } else { " is within" },
        torque(own.screw.highest),
        torque(own.screw.breaking),
        sources.mark(&own.screw.provenance)
    );
    if own.assumed {
        line.extend(say!(
            " The forming torque is taken as three eighths of that (from memory: a \
             quarter to a half in thin sheet): measure it while turning, before the head \
             lands, and give `--running-torque`."
        ));
    }
    Some((line, over))
}

fn air(sheet: &Sheet, sources: &mut Sources) -> Option<Line> {
    let (years, class) = sheet.zinc?;
    Some(say!(
        "Air: read as ISO 9223 class {} at the most (our assignment for {}) {}; {} of zinc on \
         plated hardware is gone after {} there (ISO 9224). Crevices, engine spaces and spray are \
         harsher than open air.",
        class.key(),
        sheet.asked.environment.to_string(),
        sources.mark(&class.provenance),
        Quantity::Plain(ZINC_PLATE.0 * 1e6, 2, " µm"),
        Quantity::Plain(years.0, 2, " years")
    ))
}

/// What is known, as one sentence.
fn sentence(parts: Vec<Line>) -> Line {
    let mut line = joined(parts, "; ");
    if let Some(Span::Words(first)) = line.first_mut() {
        *first = capital(first);
    }
    line.push(".".into());
    line
}
