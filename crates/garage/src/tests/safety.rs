//! Backups, restoring and verifying.

use std::io::{Read, Seek, SeekFrom, Write};

use super::{NOW, edit};
use crate::{Garage, GarageError, NewReading};

#[test]
fn a_backup_taken_while_somebody_writes_is_whole_and_restores() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("garage.db"), folder.path().join("copy.db"));
    let mut garage = Garage::open(&path).unwrap();
    let id = garage.create("cart", None, "one", "read", NOW).unwrap().id;
    std::thread::scope(|scope| {
        let writer = scope.spawn(|| {
            let mut other = Garage::open(&path).unwrap();
            for number in 0..100 {
                let cid = format!("reading-{number}");
                let new = NewReading { cid: &cid, text: &cid, taken: NOW.when };
                other.put_reading(id, new, NOW).unwrap();
            }
        });
        garage.backup(&copy).unwrap();
        writer.join().unwrap();
    });
    assert_eq!(Garage::verify_file(&copy).unwrap(), Vec::<String>::new());
    let kept = Garage::open(&copy).unwrap().readings(id).unwrap().len();
    edit(&mut garage, id, "two");
    garage.restore(&copy).unwrap();
    assert_eq!(garage.current(id).unwrap().text, "one");
    assert_eq!(garage.readings(id).unwrap().len(), kept);
    edit(&mut garage, id, "three");
    drop(garage);
    let again = Garage::open(&path).unwrap();
    assert_eq!(again.current(id).unwrap().text, "three");
    assert_eq!(again.verify().unwrap(), Vec::<String>::new());
}

#[test]
fn a_backup_replaces_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let garage = Garage::in_memory().unwrap();
    let path = folder.path().join("copy.db");
    garage.backup(&path).unwrap();
    assert!(garage.backup(&path).is_err());
}

#[test]
fn a_damaged_or_foreign_backup_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.db");
    let mut garage = Garage::in_memory().unwrap();
    let id = garage.create("cart", None, &"one\n".repeat(20_000), "read", NOW).unwrap().id;
    garage.backup(&copy).unwrap();
    edit(&mut garage, id, "two");
    let mut file = std::fs::OpenOptions::new().read(true).write(true).open(&copy).unwrap();
    let mut page = vec![0; 4096];
    file.seek(SeekFrom::Start(4096)).unwrap();
    file.read_exact(&mut page).unwrap();
    page.iter_mut().for_each(|byte| *byte ^= 0x5a);
    file.seek(SeekFrom::Start(4096)).unwrap();
    file.write_all(&page).unwrap();
    drop(file);
    assert!(garage.restore(&copy).is_err());
    assert!(garage.restore(&folder.path().join("none.db")).is_err());
    let other = folder.path().join("other.db");
    rusqlite::Connection::open(&other).unwrap().execute_batch("CREATE TABLE a (b)").unwrap();
    assert!(matches!(garage.restore(&other), Err(GarageError::Damaged(_))));
    assert_eq!(garage.current(id).unwrap().text, "two");
}
