//! Conductors of the return under the shorts of others, and what fuses have to break.

use protection::{Carried, Harm, Worst};

use super::super::found::overtaxed;
use super::{HANG, Page, bears, count, size};
use crate::told::quantity::{amperes, duration, temperature};
use crate::told::{Line, joined, name};

impl Page<'_> {
    pub(super) fn returns(&mut self) {
        let found = self.found;
        if found.returns.is_empty() {
            return;
        }
        self.heading(say!("Returns under the shorts of others"));
        let before = self.told.blocks.len();
        for own in &found.returns {
            if let Some(worst) = own.fused.filter(|worst| worst.harm != Harm::None) {
                self.carried(own, &worst);
            }
        }
        self.unopened();
        self.waiting();
        if self.told.blocks.len() == before {
            self.body(say!("No short harms any of them before it is cleared."));
        }
    }

    /// A conductor under a short that is cleared too late for it.
    fn carried(&mut self, own: &Carried, worst: &Worst) {
        let conductor = self.vehicle.conductor(own.conductor);
        let of = say!("{}{}", size(conductor.size), bears(own.lasting, ""));
        self.told.line(say!("  {} ({})", name(&conductor.id), of));
        self.alarm(say!("{}, before it is cleared", self.under(worst)));
    }

    /// Conductors under a short that nothing clears.
    fn unopened(&mut self) {
        let found = self.found;
        let bare = found.returns.iter().filter_map(|own| Some((own, &own.unfused.as_ref()?.0)));
        let bare: Vec<(&Carried, &Worst)> = bare.collect();
        if bare.is_empty() {
            return;
        }
        self.body(say!("With a short that nothing opens, such as one of an unfused cable:"));
        for (own, worst) in bare {
            let conductor = self.vehicle.conductor(own.conductor);
            let said = say!("{}: {}", name(&conductor.id), self.under(worst));
            self.told.item(say!("      "), 2 * HANG, said);
        }
    }

    /// Conductors that cannot be judged before the opening times of fuses are known.
    fn waiting(&mut self) {
        let waiting = self.found.returns.iter().filter(|own| own.unknown.is_some());
        let waiting: Vec<Line> = waiting
            .map(|own| say!("{}", name(&self.vehicle.conductor(own.conductor).id)))
            .collect();
        if waiting.is_empty() {
            return;
        }
        self.body(if self.all {
            say!("Waiting for opening times: {}.", joined(waiting, ", "))
        } else {
            say!("{} wait for opening times.", count(waiting.len(), "return"))
        });
    }

    fn under(&self, worst: &Worst) -> Line {
        let at = name(&self.vehicle.point(worst.fault.at).id);
        let end = match worst.harm {
            Harm::Burns { after, .. } => say!("too hot after {}", duration(after)),
            Harm::Ages { hottest } => say!("held at {}", temperature(hottest)),
            Harm::None => say!("borne"),
        };
        say!("{} from a short at {}, {}", amperes(worst.amps), at, end)
    }

    pub(super) fn fuses(&mut self) {
        let found = self.found;
        let beyond: Vec<_> = found.fuses.iter().filter(|fuse| overtaxed(fuse)).collect();
        let silent = found.fuses.iter().filter(|fuse| fuse.capacity.is_none());
        let largest = silent.clone().max_by(|a, b| units::larger_first(b.most.0, a.most.0));
        if beyond.is_empty() && largest.is_none() {
            return;
        }
        self.heading(say!("What the fuses have to break"));
        for own in beyond {
            let capacity = amperes(own.capacity.unwrap_or_default());
            let most = amperes(own.most);
            let fuse = self.fuse(own.fuse);
            self.alarm(say!(
                "{}: up to {}, more than the {} that it can break",
                fuse,
                most,
                capacity
            ));
        }
        if let Some(largest) = largest {
            self.body(say!(
                "No breaking capacity is stated for {} of {} fuses; the largest short \
                 among them is {} through {}.",
                silent.count(),
                found.fuses.len(),
                amperes(largest.most),
                self.fuse(largest.fuse)
            ));
        }
    }
}
