//! Readings, files, work, photographs, answers and devices.

use proptest::prelude::*;

use super::{NOW, with_vehicle};
use crate::{
    Garage, GarageError, NewDevice, NewPhoto, NewReading, NewResult, NewWork, Put, VehicleId,
};

fn reading<'a>(cid: &'a str, text: &'a str) -> NewReading<'a> {
    NewReading { cid, text, taken: NOW.when }
}

#[test]
fn a_reading_sent_twice_is_stored_once() {
    let (mut garage, id) = with_vehicle("");
    let new = reading("cid-00001", "cranking: a to b 0.4 V");
    assert!(matches!(garage.put_reading(id, new, NOW).unwrap(), Put::New(_)));
    assert!(matches!(garage.put_reading(id, new, NOW).unwrap(), Put::Known(_)));
    assert_eq!(garage.readings(id).unwrap().len(), 1);
}

#[test]
fn an_id_cannot_be_used_for_another_reading() {
    let (mut garage, id) = with_vehicle("");
    garage.put_reading(id, reading("cid-00001", "0.4 V"), NOW).unwrap();
    let other = garage.put_reading(id, reading("cid-00001", "0.5 V"), NOW);
    assert!(matches!(other, Err(GarageError::Taken(_))));
    assert_eq!(garage.readings(id).unwrap()[0].text, "0.4 V");
}

#[test]
fn a_reading_taken_back_can_count_again() {
    let (mut garage, id) = with_vehicle("");
    garage.put_reading(id, reading("cid-00001", "0.4 V"), NOW).unwrap();
    assert!(garage.set_reading_retracted(id, "cid-00001", true).unwrap().retracted);
    assert!(garage.readings(id).unwrap()[0].retracted);
    assert!(!garage.set_reading_retracted(id, "cid-00001", false).unwrap().retracted);
    let none = garage.set_reading_retracted(id, "cid-00002", true);
    assert!(matches!(none, Err(GarageError::NotFound(_))));
}

#[test]
fn nothing_can_be_kept_for_a_vehicle_that_is_not_there() {
    let mut garage = Garage::in_memory().unwrap();
    let none = VehicleId(7);
    assert!(garage.put_reading(none, reading("cid-00001", ""), NOW).is_err());
    assert!(garage.put_readings_file(none, "cid-00001", "a", b"", NOW).is_err());
    assert!(garage.readings(none).is_err());
}

#[test]
fn work_and_its_photographs_are_kept_and_taken_back() {
    let (mut garage, id) = with_vehicle("");
    let work = NewWork {
        cid: "work-0001".to_owned(),
        on: "main-negative.to".to_owned(),
        what: "cleaned and tightened".to_owned(),
        done: None,
        torque: Some("18 N·m".to_owned()),
        protection: None,
        note: None,
    };
    garage.put_work(id, &work, NOW).unwrap();
    assert!(matches!(garage.put_work(id, &work, NOW).unwrap(), Put::Known(_)));
    let photo = NewPhoto {
        cid: "photo-001",
        on: Some("main-negative.to"),
        work: Some("work-0001"),
        side: Some("before"),
        caption: None,
        media_type: "image/png",
        bytes: &[0, 1, 2, 255],
    };
    let kept = garage.put_photo(id, photo, NOW).unwrap().into_inner();
    assert_eq!((kept.size, kept.side.as_deref()), (4, Some("before")));
    assert_eq!(garage.photo_bytes(id, "photo-001").unwrap().1, photo.bytes);
    let other = garage.put_photo(id, NewPhoto { bytes: b"other", ..photo }, NOW);
    assert!(matches!(other, Err(GarageError::Taken(_))));
    assert!(garage.set_work_retracted(id, "work-0001", true).unwrap().retracted);
    assert!(garage.set_photo_retracted(id, "photo-001", true).unwrap().retracted);
    assert_eq!(garage.vehicles(false).unwrap()[0].photos, 0);
}

#[test]
fn an_answer_is_kept_with_the_program_and_the_text_it_was_given_for() {
    let (mut garage, id) = with_vehicle("");
    let new = NewResult {
        revision: 1,
        question: "solve",
        asked: "{}",
        answer: "{\"format\":1}",
        program: "groundloom 0.1.0",
    };
    garage.add_result(id, new, NOW).unwrap();
    let kept = &garage.results(id).unwrap()[0];
    assert_eq!((kept.program.as_str(), kept.revision), ("groundloom 0.1.0", 1));
    assert!(garage.add_result(id, NewResult { revision: 9, ..new }, NOW).is_err());
}

#[test]
fn a_device_is_found_by_the_digest_of_its_key_and_stays_revoked() {
    let mut garage = Garage::in_memory().unwrap();
    let new = NewDevice {
        name: "phone",
        role: "read",
        key_digest: &[1; 32],
        paired: NOW.when,
        expires: "2026-11-26T15:10:00Z",
    };
    let id = garage.add_device(new).unwrap();
    assert_eq!(garage.device_with_key(&[1; 32]).unwrap().unwrap().name, "phone");
    assert!(garage.device_with_key(&[2; 32]).unwrap().is_none());
    garage.revoke_device(id).unwrap();
    garage.device_seen(id, "2026-11-26T04:00:00Z").unwrap();
    assert!(garage.device_with_key(&[1; 32]).unwrap().unwrap().revoked);
}

#[test]
fn two_writers_at_once_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage.db");
    let id = Garage::open(&path).unwrap().create("cart", None, "", "", NOW).unwrap().id;
    const EACH: usize = 150;
    std::thread::scope(|scope| {
        for writer in 0..2 {
            let path = &path;
            scope.spawn(move || {
                let mut garage = Garage::open(path).unwrap();
                for number in 0..EACH {
                    let cid = format!("writer-{writer}-{number}");
                    garage.put_reading(id, reading(&cid, &cid), NOW).unwrap();
                }
            });
        }
    });
    let readings = Garage::open(&path).unwrap().readings(id).unwrap();
    assert_eq!(readings.len(), 2 * EACH);
    for writer in 0..2 {
        let own = format!("writer-{writer}-");
        let numbers: Vec<&str> =
            readings.iter().filter_map(|reading| reading.cid.strip_prefix(&own)).collect();
        let expected: Vec<String> = (0..EACH).map(|number| number.to_string()).collect();
        assert_eq!(numbers, expected);
    }
}

proptest! {
    #[test]
    fn texts_and_files_come_out_byte_for_byte(text in any::<String>(), bytes: Vec<u8>) {
        let (mut garage, id) = with_vehicle(&text);
        prop_assert_eq!(garage.current(id).unwrap().text, text);
        garage.put_readings_file(id, "file-0001", "a.csv", &bytes, NOW).unwrap();
        prop_assert_eq!(garage.readings_file(id, "file-0001").unwrap().bytes, bytes);
    }
}
