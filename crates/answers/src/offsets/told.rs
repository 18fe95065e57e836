//! What is said of grounds that are lifted.

use model::{LoadId, StateId, Vehicle};
use network::{Offset, Offsets, OperatingPoint};
use units::{Ohms, Volts};

use super::{Asked, Found};
use crate::told::quantity::loss;
use crate::told::{Quantity, Span, Told, Tone, name, names, strong};
use crate::unsettled;

/// Lifts below this are not worth a line.
const LEAST_LIFT: Volts = Volts(1e-4);

pub(super) fn of(found: &Found<'_>, asked: &Asked) -> Told {
    let mut told = Told::default();
    for (point, offsets) in &found.states {
        of_state(&mut told, found.vehicle, point, offsets, asked.causes);
    }
    told
}

/// In the unit of its size: an ohm of shared metal is a volt for each ampere.
fn per_ampere(own: Ohms) -> Quantity {
    match own.0.abs() {
        size if size >= 0.999_5 => Quantity::Plain(own.0, 3, " V"),
        size if size >= 0.999_5e-3 => Quantity::Plain(own.0 * 1e3, 3, " mV"),
        _ => Quantity::Plain(own.0 * 1e6, 3, " µV"),
    }
}

/// Lifted loads that are on or whose ground is a reference, references first, then by total lift.
fn in_order(vehicle: &Vehicle, state: StateId, offsets: &Offsets) -> Vec<(LoadId, Vec<Offset>)> {
    let reference = |id: LoadId| vehicle.load(id).kind.is_reference();
    let mut lifted: Vec<(LoadId, Vec<Offset>)> = offsets
        .victims
        .iter()
        .map(|victim| {
            let mut own: Vec<Offset> = offsets
                .entries
                .iter()
                .filter(|entry| {
                    entry.victim == *victim
                        && entry.cause != *victim
                        && entry.lift.abs() > LEAST_LIFT
                })
                .copied()
                .collect();
            own.sort_by(|a, b| b.lift.0.abs().total_cmp(&a.lift.0.abs()));
            (*victim, own)
        })
        .filter(|(victim, own)| {
            !own.is_empty() && (reference(*victim) || vehicle.load(*victim).is_on_in(state))
        })
        .collect();
    lifted.sort_by(|a, b| {
        let total = |own: &[Offset]| own.iter().map(|entry| entry.lift.0).sum::<f64>().abs();
        reference(b.0).cmp(&reference(a.0)).then(total(&b.1).total_cmp(&total(&a.1)))
    });
    lifted
}

fn of_state(
    told: &mut Told,
    vehicle: &Vehicle,
    point: &OperatingPoint,
    offsets: &Offsets,
    causes: usize,
) {
    let state = point.state;
    let at = names::state(vehicle, state);
    told.line(say!("{} · {}: grounds lifted", strong(name(&vehicle.name)), strong(at)));
    told.gap();
    unsettled::told(told, point);
    let lifted = in_order(vehicle, state, offsets);
    if lifted.is_empty() {
        told.line("no load lifts another one's ground by more than 0.1 mV");
        told.gap();
        return;
    }
    for (victim, own) in &lifted {
        let total: Volts = own.iter().map(|entry| entry.lift).sum();
        let subject = vehicle.load(*victim);
        let words = say!("{} ({})", name(&subject.id), subject.kind.word());
        told.line(say!("{}  {}", Span::from(loss(total)).right(9), strong(words)));
        for entry in own.iter().take(causes) {
            let lead = say!("{}  ", Span::from(loss(entry.lift)).right(13));
            let mut by = say!(
                "by {}, {} per ampere; ",
                name(&vehicle.load(entry.cause).id),
                per_ampere(entry.per_ampere)
            );
            if let Some((piece, volts)) = entry.blame {
                by.extend(say!("{} of it in {}", loss(volts), name(vehicle.piece_name(piece))));
            }
            told.item(lead, 15, by);
        }
    }
    told.gap();
    told.toned(
        Tone::Aside,
        say!(
            "lift: rise of a load's own ground against the earthed post of its battery, \
             by all other loads together and by the largest of them; modules and sensors \
             first; `--causes N` shows more"
        ),
    );
    told.gap();
}
