//! Versions, conflicts, undoing and redoing.

use proptest::prelude::*;

use super::{NOW, edit, stored, with_vehicle};
use crate::{GarageError, Saved, VersionKind};

#[test]
fn every_version_stays_readable() {
    let (mut garage, id) = with_vehicle("one");
    edit(&mut garage, id, "two");
    edit(&mut garage, id, "three");
    let history = garage.history(id).unwrap();
    assert_eq!(history.iter().map(|own| own.revision).collect::<Vec<_>>(), [3, 2, 1]);
    assert_eq!(garage.version(id, 1).unwrap().text, "one");
    assert_eq!(garage.version(id, 2).unwrap().text, "two");
    assert!(matches!(garage.version(id, 4), Err(GarageError::NotFound(_))));
}

#[test]
fn the_second_of_two_changes_made_on_one_text_is_shown_both_and_stored_nowhere() {
    let (mut garage, id) = with_vehicle("one");
    stored(garage.save(id, 1, VersionKind::Edit, None, "theirs", "t", NOW).unwrap());
    let saved = garage.save(id, 1, VersionKind::Edit, None, "yours", "y", NOW).unwrap();
    let Saved::Conflict(conflict) = saved else { panic!("{saved:?}") };
    assert_eq!(conflict.base.unwrap().text, "one");
    assert_eq!(conflict.theirs.text, "theirs");
    assert_eq!(garage.history(id).unwrap().len(), 2);
    // Having seen both, one is put on top of the other.
    let merged = garage.save(id, 2, VersionKind::Edit, None, "both", "b", NOW).unwrap();
    assert_eq!(stored(merged).current.text, "both");
}

#[test]
fn the_same_change_sent_twice_is_one_version() {
    let (mut garage, id) = with_vehicle("one");
    stored(garage.save(id, 1, VersionKind::Edit, None, "two", "t", NOW).unwrap());
    let again = stored(garage.save(id, 1, VersionKind::Edit, None, "two", "t", NOW).unwrap());
    assert_eq!(again.current.revision, 2);
}

#[test]
fn undoing_goes_back_one_text_at_a_time_and_redoing_forward_again() {
    let (mut garage, id) = with_vehicle("one");
    edit(&mut garage, id, "two");
    edit(&mut garage, id, "three");
    let mut revision = 3;
    let mut texts = Vec::new();
    for undo in [true, true, false, false] {
        let saved = if undo {
            garage.undo(id, revision, NOW).unwrap()
        } else {
            garage.redo(id, revision, NOW).unwrap()
        };
        let vehicle = stored(saved);
        revision = vehicle.current.revision;
        texts.push(vehicle.current.text);
    }
    assert_eq!(texts, ["two", "one", "two", "three"]);
    assert!(matches!(garage.redo(id, revision, NOW), Err(GarageError::NothingToRedo)));
}

#[test]
fn a_change_after_undoing_leaves_nothing_to_redo() {
    let (mut garage, id) = with_vehicle("one");
    edit(&mut garage, id, "two");
    stored(garage.undo(id, 2, NOW).unwrap());
    let vehicle = edit(&mut garage, id, "another");
    assert!(!vehicle.can_redo);
    let back = stored(garage.undo(id, 4, NOW).unwrap());
    assert_eq!(back.current.text, "one");
    assert_eq!(stored(garage.redo(id, 5, NOW).unwrap()).current.text, "another");
}

#[test]
fn the_first_text_cannot_be_undone() {
    let (mut garage, id) = with_vehicle("one");
    assert!(!garage.vehicle(id).unwrap().can_undo);
    assert!(matches!(garage.undo(id, 1, NOW), Err(GarageError::NothingToUndo)));
}

#[test]
fn undoing_what_somebody_else_changed_meanwhile_is_a_conflict() {
    let (mut garage, id) = with_vehicle("one");
    edit(&mut garage, id, "two");
    edit(&mut garage, id, "theirs");
    assert!(matches!(garage.undo(id, 2, NOW).unwrap(), Saved::Conflict(_)));
    assert_eq!(garage.current(id).unwrap().text, "theirs");
}

#[test]
fn a_removed_vehicle_leaves_the_list_and_keeps_everything() {
    let (mut garage, id) = with_vehicle("one");
    garage.set_removed(id, true).unwrap();
    assert!(garage.vehicles(false).unwrap().is_empty());
    assert_eq!(garage.vehicles(true).unwrap().len(), 1);
    garage.set_removed(id, false).unwrap();
    assert_eq!(garage.vehicles(false).unwrap()[0].name, "cart");
}

/// What a person may do with a text.
#[derive(Debug, Clone, Copy)]
enum Act {
    Edit,
    Undo,
    Redo,
}

proptest! {
    /// Undo and redo follow the two stacks that everybody has in mind, whatever is done.
    #[test]
    fn undo_and_redo_are_two_stacks(
        acts in prop::collection::vec(
            prop_oneof![Just(Act::Edit), Just(Act::Undo), Just(Act::Redo)], 0..40),
    ) {
        let (mut garage, id) = with_vehicle("0");
        let (mut now, mut undo, mut redo) = ("0".to_owned(), Vec::new(), Vec::new());
        for (number, act) in acts.into_iter().enumerate() {
            let revision = garage.current(id).unwrap().revision;
            match act {
                Act::Edit => {
                    let text = format!("edit {number}");
                    undo.push(std::mem::replace(&mut now, text));
                    redo.clear();
                    edit(&mut garage, id, &now);
                }
                Act::Undo => match undo.pop() {
                    Some(text) => {
                        redo.push(std::mem::replace(&mut now, text));
                        stored(garage.undo(id, revision, NOW).unwrap());
                    }
                    None => prop_assert!(garage.undo(id, revision, NOW).is_err()),
                },
                Act::Redo => match redo.pop() {
                    Some(text) => {
                        undo.push(std::mem::replace(&mut now, text));
                        stored(garage.redo(id, revision, NOW).unwrap());
                    }
                    None => prop_assert!(garage.redo(id, revision, NOW).is_err()),
                },
            }
            let vehicle = garage.vehicle(id).unwrap();
            prop_assert_eq!(&vehicle.current.text, &now);
            prop_assert_eq!(vehicle.can_undo, !undo.is_empty());
            prop_assert_eq!(vehicle.can_redo, !redo.is_empty());
        }
    }
}
