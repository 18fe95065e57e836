//! Garages of every older version open today with everything in them.

use rusqlite::Connection;

use super::NOW;
use crate::schema::{LATEST, migrate};
use crate::{Garage, GarageError, NewReading, VehicleId};

/// Rows as the program of that version wrote them.
const WRITTEN_BY: [&str; 3] = [
    "INSERT INTO vehicle (id, name, revision) VALUES (1, 'cart', 2);
     INSERT INTO step (id, vehicle, parent, text) VALUES (1, 1, NULL, 'one'), (2, 1, 1, 'two');
     INSERT INTO version VALUES (1, 1, 1, 'import', 'read', '2026-01-01T00:00:00Z', 'desk'),
        (1, 2, 2, 'edit', 'changed', '2026-01-02T00:00:00Z', 'desk');
     INSERT INTO reading (vehicle, cid, text, taken, stored, by)
        VALUES (1, 'cid-00001', '0.4 V', '2026-01-01T00:00:00Z', '2026-01-01T00:00:00Z', 'phone');",
    "INSERT INTO readings_file (vehicle, cid, name, bytes, stored, by)
        VALUES (1, 'file-0001', 'a.csv', x'00ff', '2026-01-01T00:00:00Z', 'desk');
     INSERT INTO work (vehicle, cid, on_piece, what, stored, by)
        VALUES (1, 'work-0001', 'strap', 'cleaned', '2026-01-01T00:00:00Z', 'desk');
     INSERT INTO photo (vehicle, cid, media_type, bytes, stored, by)
        VALUES (1, 'photo-001', 'image/png', x'89', '2026-01-01T00:00:00Z', 'desk');",
    "INSERT INTO device (name, role, key_digest, paired, seen, expires)
        VALUES ('phone', 'read', x'01', '2026-01-01', '2026-01-01', '2026-01-02');",
];

#[test]
fn a_garage_of_every_older_version_opens_with_everything_in_it() {
    assert_eq!(WRITTEN_BY.len(), LATEST as usize, "a new version needs rows that it wrote");
    for version in 1..=LATEST {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("garage.db");
        let mut old = Connection::open(&path).unwrap();
        migrate(&mut old, version).unwrap();
        let at: u32 = old.query_row("PRAGMA user_version", (), |row| row.get(0)).unwrap();
        assert_eq!(at, version);
        for rows in &WRITTEN_BY[..version as usize] {
            old.execute_batch(rows).unwrap();
        }
        drop(old);
        let mut garage = Garage::open(&path).unwrap();
        let id = VehicleId(1);
        let vehicle = garage.vehicle(id).unwrap();
        assert_eq!((vehicle.current.text.as_str(), vehicle.can_undo), ("two", true));
        assert_eq!(garage.readings(id).unwrap()[0].text, "0.4 V");
        if version >= 2 {
            assert_eq!(garage.readings_files(id).unwrap()[0].bytes, [0, 255]);
            assert_eq!(garage.work(id).unwrap().len(), 1);
            assert_eq!(garage.photos(id).unwrap().len(), 1);
        }
        assert_eq!(garage.devices().unwrap().len(), usize::from(version >= 3));
        assert_eq!(garage.verify().unwrap(), Vec::<String>::new());
        // It can be written as any other.
        let new = NewReading { cid: "cid-00002", text: "0.5 V", taken: NOW.when };
        garage.put_reading(id, new, NOW).unwrap();
        garage.undo(id, 2, NOW).unwrap();
    }
}

#[test]
fn a_garage_of_a_later_program_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage.db");
    drop(Garage::open(&path).unwrap());
    Connection::open(&path).unwrap().pragma_update(None, "user_version", LATEST + 1).unwrap();
    let Err(GarageError::Foreign(why)) = Garage::open(&path) else { panic!("it opened") };
    assert!(why.contains("later groundloom"), "{why}");
}

#[test]
fn another_programs_database_or_file_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.db");
    Connection::open(&path).unwrap().execute_batch("CREATE TABLE a (b)").unwrap();
    assert!(matches!(Garage::open(&path), Err(GarageError::Foreign(_))));
    let text = folder.path().join("vehicle.toml");
    std::fs::copy("Cargo.toml", &text).unwrap();
    assert!(matches!(Garage::open(&text), Err(GarageError::Foreign(_))));
    let tables: i64 = Connection::open(&path)
        .unwrap()
        .query_row("SELECT count(*) FROM sqlite_schema", (), |row| row.get(0))
        .unwrap();
    assert_eq!(tables, 1);
}
