//! Backups, restoring and verifying.

use std::io::{Read, Seek, SeekFrom, Write};

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::time::Duration;

use rusqlite::Connection;

use super::{NOW, edit};
use crate::{Garage, GarageError, NewDevice, NewPhoto, NewReading};

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
    Connection::open(&other).unwrap().execute_batch("CREATE TABLE a (b)").unwrap();
    assert!(matches!(garage.restore(&other), Err(GarageError::Damaged(_))));
    assert_eq!(garage.current(id).unwrap().text, "two");
}

#[test]
fn a_backup_ends_while_somebody_writes_a_hundred_times_a_second() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("garage.db"), folder.path().join("copy.db"));
    let mut garage = Garage::open(&path).unwrap();
    let id = garage.create("cart", None, "one", "read", NOW).unwrap().id;
    for number in 0..20 {
        let (cid, bytes) = (format!("photo-{number}"), vec![number; 1_000_000]);
        garage.put_photo(id, NewPhoto { cid: &cid, ..photo(&bytes) }, NOW).unwrap();
    }
    let ended = AtomicBool::new(false);
    let (tell, told) = mpsc::channel();
    let target = &copy;
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut other = Garage::open(&path).unwrap();
            for number in 0.. {
                if ended.load(Ordering::Relaxed) {
                    break;
                }
                let cid = format!("reading-{number}");
                let new = NewReading { cid: &cid, text: &cid, taken: NOW.when };
                other.put_reading(id, new, NOW).unwrap();
                std::thread::sleep(Duration::from_millis(10));
            }
        });
        scope.spawn(move || {
            garage.backup(target).unwrap();
            tell.send(()).unwrap();
        });
        // Until then writers go on; a copy that begins anew at each write ends only after them.
        let in_time = told.recv_timeout(Duration::from_secs(15));
        ended.store(true, Ordering::Relaxed);
        assert!(in_time.is_ok(), "the backup did not end while somebody wrote");
    });
    assert_eq!(Garage::verify_file(&copy).unwrap(), Vec::<String>::new());
    let copied = Garage::open(&copy).unwrap();
    assert_eq!(copied.photos(id).unwrap().len(), 20);
    assert_eq!(copied.photo_bytes(id, "photo-7").unwrap().1, vec![7; 1_000_000]);
}

fn photo(bytes: &[u8]) -> NewPhoto<'_> {
    let (on, work, side, caption) = (None, None, None, None);
    NewPhoto { cid: "photo-001", on, work, side, caption, media_type: "image/png", bytes }
}

#[test]
fn a_copy_of_a_damaged_garage_is_refused_and_nothing_is_left_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("garage.db"), folder.path().join("copy.db"));
    let mut garage = Garage::open(&path).unwrap();
    garage.create("cart", None, &"one\n".repeat(20_000), "read", NOW).unwrap();
    drop(garage);
    let at: i64 = Connection::open(&path)
        .unwrap()
        .query_row("SELECT rootpage FROM sqlite_schema WHERE name = 'version'", (), |r| r.get(0))
        .unwrap();
    let mut file = std::fs::OpenOptions::new().write(true).open(&path).unwrap();
    file.seek(SeekFrom::Start(u64::try_from(at - 1).unwrap() * 4096)).unwrap();
    file.write_all(&[0; 4096]).unwrap();
    drop(file);
    let garage = Garage::open(&path).unwrap();
    let refused = garage.backup(&copy).unwrap_err();
    assert!(matches!(refused, GarageError::Damaged(_)), "{refused:?}");
    let names = || -> Vec<String> {
        let all = std::fs::read_dir(folder.path()).unwrap();
        all.map(|own| own.unwrap().file_name().to_string_lossy().into_owned()).collect()
    };
    assert!(names().iter().all(|own| own.starts_with("garage.db")), "{:?}", names());
    // For whoever wants to keep what is left of it, before something whole takes its place.
    garage.copy_as_it_is(&copy).unwrap();
    assert!(Garage::verify_file(&copy).map_or(true, |wrong| !wrong.is_empty()));
    assert!(copy.metadata().unwrap().len() >= path.metadata().unwrap().len());
}

#[test]
fn a_trigger_a_view_or_a_table_of_somebody_elses_is_neither_restored_nor_opened() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage.db");
    let mut garage = Garage::open(&path).unwrap();
    let id = garage.create("cart", None, "one", "read", NOW).unwrap().id;
    for (number, (made, named)) in [
        (
            "CREATE TRIGGER tidy AFTER INSERT ON reading BEGIN DELETE FROM reading; END",
            "trigger `tidy`",
        ),
        ("CREATE VIEW mine AS SELECT * FROM device", "view `mine`"),
        ("CREATE TABLE other (a)", "table `other`"),
        ("CREATE INDEX quick ON reading (text)", "index `quick`"),
        ("DROP INDEX step_parent", "index `step_parent` is missing"),
        ("ALTER TABLE work ADD COLUMN more TEXT", "table `work`"),
    ]
    .into_iter()
    .enumerate()
    {
        let copy = folder.path().join(format!("copy-{number}.db"));
        garage.backup(&copy).unwrap();
        Connection::open(&copy).unwrap().execute_batch(made).unwrap();
        edit(&mut garage, id, &format!("text {number}"));
        let before = std::fs::metadata(&copy).unwrap().len();
        for refused in [garage.restore(&copy).unwrap_err(), Garage::open(&copy).unwrap_err()] {
            assert!(refused.to_string().contains(named), "{made}: {refused}");
        }
        let wrong = Garage::verify_file(&copy).unwrap();
        assert!(wrong.iter().any(|own| own.contains(named)), "{made}: {wrong:?}");
        assert_eq!(std::fs::metadata(&copy).unwrap().len(), before);
        assert_eq!(garage.current(id).unwrap().text, format!("text {number}"));
    }
    // Counts that another tool had the database make are no foreign thing.
    drop(garage);
    Connection::open(&path).unwrap().execute_batch("ANALYZE").unwrap();
    assert_eq!(Garage::open(&path).unwrap().verify().unwrap(), Vec::<String>::new());
}

#[test]
fn a_key_whose_time_was_over_stays_ended_when_the_clock_goes_back() {
    let mut garage = Garage::in_memory().unwrap();
    let expires = "2026-11-26T04:00:00.000Z";
    let new = NewDevice { name: "a", role: "read", key_digest: &[7; 32], paired: "", expires };
    let id = garage.add_device(new).unwrap();
    let later = NewDevice { key_digest: &[8; 32], expires: "2026-11-27T04:00:00.000Z", ..new };
    garage.add_device(later).unwrap();
    assert_eq!(garage.end_keys("2026-11-26T03:59:59.999Z").unwrap(), []);
    assert!(garage.device_with_key(&[7; 32]).unwrap().is_some());
    assert_eq!(garage.end_keys("2026-11-26T04:00:00.000Z").unwrap(), [id]);
    assert_eq!(garage.end_keys("2026-11-26T05:00:00.000Z").unwrap(), []);
    // Whatever the clock says now.
    assert!(garage.device_with_key(&[7; 32]).unwrap().is_none());
    assert!(garage.device_with_key(&[8; 32]).unwrap().is_some());
    assert_eq!(garage.devices().unwrap().len(), 2);
}

#[test]
fn a_backup_brings_no_key_back_that_was_taken_away_since() {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.db");
    let mut garage = Garage::in_memory().unwrap();
    let (paired, expires) = ("", "2026-11-26T04:00:00.000Z");
    let new = NewDevice { name: "a", role: "read", key_digest: &[7; 32], paired, expires };
    let lost = garage.add_device(new).unwrap();
    garage.add_device(NewDevice { key_digest: &[8; 32], ..new }).unwrap();
    garage.backup(&copy).unwrap();
    garage.revoke_device(lost).unwrap();
    garage.restore(&copy).unwrap();
    let revoked = |digest| garage.device_with_key(digest).unwrap().unwrap().revoked;
    assert_eq!((revoked(&[7; 32]), revoked(&[8; 32])), (true, false));
}

#[cfg(unix)]
#[test]
fn a_garage_its_journal_and_its_copies_are_their_owners_alone_and_an_open_one_is_tightened() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    std::fs::set_permissions(folder.path(), PermissionsExt::from_mode(0o755)).unwrap();
    let at = |name: &str| folder.path().join(name);
    let mode = |name: &str| at(name).metadata().unwrap().permissions().mode() & 0o777;
    let mut garage = Garage::open(&at("garage.db")).unwrap();
    garage.create("cart", None, "one", "read", NOW).unwrap();
    garage.backup(&at("copy.db")).unwrap();
    for name in ["garage.db", "garage.db-wal", "garage.db-shm", "copy.db"] {
        assert_eq!(mode(name), 0o600, "{name}");
    }
    for name in ["garage.db", "garage.db-wal", "garage.db-shm"] {
        std::fs::set_permissions(at(name), PermissionsExt::from_mode(0o664)).unwrap();
    }
    drop(Garage::open(&at("garage.db")).unwrap());
    for name in ["garage.db", "garage.db-wal", "garage.db-shm"] {
        assert_eq!(mode(name), 0o600, "{name}");
    }
    // The folder is somebody's own, and so is a database of another program.
    assert_eq!(folder.path().metadata().unwrap().permissions().mode() & 0o777, 0o755);
    Connection::open(at("other.db")).unwrap().execute_batch("CREATE TABLE a (b)").unwrap();
    std::fs::set_permissions(at("other.db"), PermissionsExt::from_mode(0o644)).unwrap();
    let content = || {
        let mut all = Vec::new();
        std::fs::File::open(at("other.db")).unwrap().read_to_end(&mut all).unwrap();
        all
    };
    let before = content();
    assert!(Garage::open(&at("other.db")).is_err());
    assert_eq!(mode("other.db"), 0o644);
    assert_eq!(content(), before);
    assert!(!at("other.db-wal").exists());
}
