//! The smallest sizes of a new conductor between two points, tried in the network as it is.

use catalogue::Material;
use failures::Analysis;
use model::{ConductorId, StateId, Vehicle};
use network::Network;
use protection::sizing::{Asked as Wishes, Tried, try_conductor};
use units::Volts;

use super::fitted::{Fitted, Names};
use super::wanted::Wanted;
use crate::arguments::Arguments;
use crate::failures::words;
use crate::refusal::Refused;
use crate::room::{Progress, Watch, Written};
use crate::size::Asked;
use crate::size::families::{Candidate, Family, families};
use crate::told::Line;
use crate::unsettled;

/// The sizes that do, and those that are too small.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) wanted: Wanted,
    pub(super) choices: Vec<Choice>,
    /// What lies between the two points without the conductor, at its worst.
    pub(super) before: Option<(Volts, StateId)>,
    /// States that are looked at and have no operating point without it.
    pub(super) unsettled: Vec<StateId>,
}

/// The sizes of one family in one metal, thin to thick, up to the first that does.
#[derive(Debug)]
pub(super) struct Choice {
    pub material: &'static Material,
    pub family: Family,
    pub smaller: Vec<Size>,
    pub chosen: Option<Size>,
}

/// A size that was tried.
#[derive(Debug)]
pub(super) struct Size {
    pub candidate: Candidate,
    pub tried: Tried,
    pub burnt_by: Option<BurntBy>,
}

/// A failure elsewhere that would burn the conductor: it must not become a hidden fuse.
#[derive(Debug)]
pub(super) struct BurntBy {
    /// Such as `main-negative opens`; its piece is one of the vehicle with the conductor.
    pub fault: Line,
    pub state: StateId,
    pub endurance: failures::Endurance,
}

impl<'v> Found<'v> {
    pub(in crate::size) fn of(
        written: Written<'v>,
        asked: &Asked,
        arguments: Arguments,
        watch: Watch<'_>,
    ) -> Result<Option<Self>, Refused> {
        let vehicle = written.vehicle;
        let wanted = Wanted::read(vehicle, asked, arguments)?;
        let names = Names::free_in(vehicle);
        let lists = wanted.materials.iter().flat_map(|material| {
            families(material).into_iter().map(|(family, sizes)| (*material, family, sizes))
        });
        let lists: Vec<(&'static Material, Family, Vec<Candidate>)> = lists.collect();
        let (mut choices, all) = (Vec::new(), lists.len());
        for (at, (material, family, candidates)) in lists.into_iter().enumerate() {
            let mut choice = Choice { material, family, smaller: Vec::new(), chosen: None };
            let sizes = candidates.len();
            for (size, candidate) in candidates.into_iter().enumerate() {
                let share = (at as f64 + size as f64 / sizes as f64) / all as f64;
                if !watch(Progress { what: "sizes", share }) {
                    return Ok(None);
                }
                let fitted = Fitted::with(written, &wanted, &names, material, &candidate)?;
                let Some(fitted) = fitted else { continue };
                let size = Size::tried(candidate, &fitted, &wanted);
                if size.does() {
                    choice.chosen = Some(size);
                    break;
                }
                choice.smaller.push(size);
            }
            choices.push(choice);
        }
        let before = without(vehicle, &wanted);
        let mut unsettled = unsettled::states(vehicle);
        unsettled.retain(|own| states(vehicle, &wanted).contains(own));
        Ok(Some(Self { vehicle, wanted, choices, before, unsettled }))
    }

    /// True where no size of any family does, or a state has no operating point.
    pub(in crate::size) fn wants_attention(&self) -> bool {
        !self.unsettled.is_empty() || self.choices.iter().all(|choice| choice.chosen.is_none())
    }
}

impl Size {
    fn tried(candidate: Candidate, fitted: &Fitted, wanted: &Wanted) -> Self {
        let Fitted { vehicle, conductor, ends: (near, far) } = fitted;
        let wishes = Wishes {
            // Without a wish the drop is found all the same.
            drop: Some((*near, *far, wanted.drop.unwrap_or(Volts(f64::MAX)))),
            load: wanted.load,
            scope: wanted.scope.clone(),
        };
        let tried = try_conductor(vehicle, *conductor, &wishes);
        let burnt_by = burnt_by(vehicle, *conductor, &states(vehicle, wanted));
        Self { candidate, tried, burnt_by }
    }

    fn does(&self) -> bool {
        self.tried.reasons.is_empty() && self.burnt_by.is_none()
    }
}

/// The states that are looked at; a new conductor changes none of them.
fn states(vehicle: &Vehicle, wanted: &Wanted) -> Vec<StateId> {
    if wanted.scope.states.is_empty() {
        (0..vehicle.states.len()).map(StateId::at).collect()
    } else {
        wanted.scope.states.clone()
    }
}

fn burnt_by(vehicle: &Vehicle, id: ConductorId, states: &[StateId]) -> Option<BurntBy> {
    let hidden = Analysis::new(vehicle, states).burnt_on_duty(id)?;
    let fault = words::fault(vehicle, hidden.fault);
    Some(BurntBy { fault, state: hidden.state, endurance: hidden.endurance })
}

/// What lies between the two points without the conductor, state by state, at its worst.
fn without(vehicle: &Vehicle, wanted: &Wanted) -> Option<(Volts, StateId)> {
    let mut network = Network::new(vehicle);
    let across = states(vehicle, wanted).into_iter().filter_map(|state| {
        let point = network.operating_point(state);
        Some(((point.point(wanted.from)? - point.point(wanted.to)?).abs(), state))
    });
    across.max_by(|a, b| a.0.0.total_cmp(&b.0.0))
}
