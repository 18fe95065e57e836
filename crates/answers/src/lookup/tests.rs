//! The catalogue as it is looked up.

use catalogue::Catalogue;
use serde_json::{Value, json};
use units::UnitSystem;

use super::{Asked, Found};
use crate::refusal::Refused;
use crate::room::{Question, shape_of};
use crate::told::{Block, written};

fn asked(table: Option<&str>, find: Option<&str>) -> Asked {
    Asked { table: table.map(str::to_owned), find: find.map(str::to_owned) }
}

fn found(asked: &Asked) -> Found {
    let found = asked.find((), &mut |_| true).expect("nothing is wrong");
    found.expect("nobody stopped it")
}

fn shape(asked: &Asked) -> Value {
    serde_json::to_value(shape_of(asked, ()).expect("nothing is wrong")).expect("JSON")
}

/// Every word that a person reads, tables too.
fn words(asked: &Asked) -> String {
    let mut words = Vec::new();
    for block in asked.told(&found(asked)).blocks {
        match block {
            Block::Paragraph(own) => words.push(written(&own.text, UnitSystem::Metric)),
            Block::Table(own) => {
                words.extend(
                    own.rows.iter().flatten().map(|cell| written(cell, UnitSystem::Metric)),
                );
            }
            Block::Bars(_) | Block::Part(_) | Block::Gap => {}
        }
    }
    words.join(" ")
}

#[test]
fn every_table_is_listed_with_its_rows_counted() {
    let (words, shape) = (words(&asked(None, None)), shape(&asked(None, None)));
    let tables = shape["tables"].as_array().expect("tables");
    assert_eq!(tables.len(), Catalogue::standard().tables().len());
    for table in Catalogue::standard().tables() {
        assert!(words.contains(table.name), "{}", table.name);
    }
    let threads = tables.iter().find(|table| table["name"] == "threads").expect("threads");
    assert_eq!(threads["row_count"], Catalogue::standard().threads.len());
}

#[test]
fn a_row_that_was_recalled_is_marked_and_its_source_told() {
    let asked = asked(Some("joint-kinds"), Some("bolted"));
    let (words, shape) = (words(&asked), shape(&asked));
    let row = &shape["tables"][0]["rows"][0];
    assert_eq!(row["confidence"], "unconfirmed");
    assert!(words.contains("unconfirmed"), "{words}");
    let source = row["source"].as_str().expect("a source");
    assert!(words.contains(source), "{words}");
}

#[test]
fn a_word_is_found_in_every_table_that_holds_it() {
    let shape = shape(&asked(None, Some("60228")));
    let tables = shape["tables"].as_array().expect("tables");
    assert!(tables.iter().any(|table| table["name"] == "flexible-cables"));
    for row in tables.iter().flat_map(|table| table["rows"].as_array().expect("rows")) {
        assert!(row.to_string().contains("60228"), "{row}");
    }
}

#[test]
fn a_word_that_is_nowhere_is_a_finding() {
    let asked = asked(None, Some("unobtainium"));
    assert!(asked.wants_attention(&found(&asked)));
    assert_eq!(shape(&asked)["tables"], json!([]));
}

#[test]
fn a_misspelt_table_is_answered_with_the_nearest() {
    let refused = asked(Some("tread"), None).find((), &mut |_| true).expect_err("no such table");
    let Refused(all) = refused;
    let [own] = all.as_slice() else { panic!("{all:?}") };
    assert_eq!(own.what, "the catalogue has no table `tread`");
    assert_eq!(own.expected, "`threads`, or another of `groundloom catalogue`");
}
