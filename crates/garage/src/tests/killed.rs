//! A program that is killed at any moment has kept everything that it acknowledged.

use std::io::{BufRead, BufReader, Write, stderr};
use std::process::{Command, Stdio};
use std::time::Duration;

use super::NOW;
use crate::{Garage, NewReading, VehicleId, VersionKind};

/// Names the garage for the writer below.
const PATH: &str = "GARAGE_OF_THE_KILLED_WRITER";

/// Not a test of its own: the program that the next test kills.
#[test]
#[ignore = "is started and killed by the test below"]
fn writer() {
    let Some(path) = std::env::var_os(PATH) else { return };
    let mut garage = Garage::open(std::path::Path::new(&path)).unwrap();
    let id = VehicleId(1);
    let first = garage.readings(id).unwrap().len();
    for number in first.. {
        let cid = format!("reading-{number}");
        let new = NewReading { cid: &cid, text: &cid, taken: NOW.when };
        garage.put_reading(id, new, NOW).unwrap();
        let revision = garage.current(id).unwrap().revision;
        let text = format!("text {number}\n").repeat(200);
        garage.save(id, revision, VersionKind::Edit, None, &text, "", NOW).unwrap();
        // In one piece: a line that is cut short would be read as another number or none.
        stderr().write_all(format!("kept {number}\n").as_bytes()).unwrap();
    }
}

#[test]
fn a_writer_killed_at_any_moment_loses_nothing_that_it_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage.db");
    let id = Garage::open(&path).unwrap().create("cart", None, "", "", NOW).unwrap().id;
    let (mut acknowledged, mut there) = (0, 0);
    for round in 0..25_u64 {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["tests::killed::writer", "--exact", "--ignored", "--nocapture"])
            .env(PATH, &path)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stderr.take().unwrap());
        let (tell, begun) = std::sync::mpsc::channel();
        let reader = std::thread::spawn(move || {
            // All that was said before the end, in order.
            let mut last = None;
            for line in lines.lines().map_while(Result::ok) {
                if let Some(number) = line.strip_prefix("kept ") {
                    last = Some(number.parse::<usize>().unwrap());
                    // Nobody listens any more once the moment is chosen.
                    let _ = tell.send(());
                }
            }
            last
        });
        // Mostly at some moment while it writes, however slowly it began; sometimes while it begins.
        if round % 5 != 0 {
            begun.recv().unwrap();
        }
        std::thread::sleep(Duration::from_millis(20 + (round * 37) % 150));
        child.kill().unwrap();
        child.wait().unwrap();
        if let Some(last) = reader.join().unwrap() {
            acknowledged = last + 1;
        }
        let garage = Garage::open(&path).unwrap();
        assert_eq!(garage.verify().unwrap(), Vec::<String>::new());
        let readings = garage.readings(id).unwrap();
        // What was stored and not acknowledged in the round before is still there.
        let most = there.max(acknowledged) + 1;
        there = readings.len();
        assert!(
            (acknowledged..=most).contains(&there),
            "round {round}: {acknowledged} acknowledged, {} there",
            readings.len()
        );
        for (number, reading) in readings.iter().enumerate() {
            assert_eq!(reading.text, format!("reading-{number}"));
        }
        if acknowledged > 0 {
            let text = garage.current(id).unwrap().text;
            let last: usize = text.lines().next().unwrap()[5..].parse().unwrap();
            assert!((acknowledged - 1..there).contains(&last), "{last}: {acknowledged}, {there}");
        }
    }
    // One at least in each round that waited for it.
    assert!(acknowledged >= 20, "the writer came to nothing: {acknowledged}");
}
