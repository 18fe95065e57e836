//! What is written is what was meant, in whatever way the file spells it; the rest is refused.

use super::*;

const EXAMPLES: [&str; 9] = [
    include_str!("../../../../examples/rescue-ambulance.toml"),
    include_str!("../../../../examples/harbour-workboat.toml"),
    include_str!("../../../../examples/utility-cart.toml"),
    include_str!("../../../../layouts/camper-van.toml"),
    include_str!("../../../../layouts/front-engine.toml"),
    include_str!("../../../../layouts/plant.toml"),
    include_str!("../../../../layouts/rear-battery.toml"),
    include_str!("../../../../layouts/small-boat.toml"),
    include_str!("../../../../layouts/two-batteries.toml"),
];

/// A small vehicle, with the given words for its main return cable.
fn with(cable: &str) -> String {
    format!(
        r#"format = 1

[vehicle]
name = "Made up"
nominal = "12 V"
note = """
[conductors.main]
size = "1 mm²"
"""

[structures.block]
material = "carbon steel"
section = "10000 mm²"
points = {{ front = {{ at = ["0.2 m", "0 m"] }}, rear = {{ at = ["-0.2 m", "0 m"] }} }}

[batteries.main]
cranking = "700 A"

{cable}
[fuses]
f-lamp = {{ from = "main/+", rating = "25 A" }}

[loads.starter]
kind = "starter"
draws = "300 A"
on = ["cranking"]
feed = {{ from = "main/+", size = "50 mm²", length = "1 m" }} # as bought
case = "block/rear"

[loads.lamp]
kind = "lamp"
draws = "5 A"
feed = {{ from = "f-lamp/out", size = "1.5 mm²", length = "2 m", fuse = "10 A" }}
return = {{ to = "block/front", size = "1.5 mm²", length = "1 m" }}
"#
    )
}

const HEADED: &str = "[conductors.earth]\nsize = \"35 mm²\" # by eye\nlength = \"0.6 m\"\nfrom = \"main/-\"\nto = { point = \"block/front\", torque = \"12 N·m\" }\n";

fn set(text: &str, resistance: &str) -> Result<String, EditError> {
    let edits = Edits { resistances: &[resistance.to_owned()], ..Edits::default() };
    rewrite(text, edits).map(|own| own.text)
}

fn size(text: &str, size: &str) -> Result<String, EditError> {
    rewrite(text, Edits { sizes: &[size.to_owned()], ..Edits::default() }).map(|own| own.text)
}

fn add(text: &str, conductor: &str) -> Result<Rewritten, EditError> {
    rewrite(text, Edits { conductors: &[conductor.to_owned()], ..Edits::default() })
}

fn vehicle(text: &str) -> Vehicle {
    let reading = crate::read(text.as_bytes());
    reading.vehicle.unwrap_or_else(|| panic!("{:?}", reading.problems))
}

fn area(text: &str, name: &str) -> f64 {
    let vehicle = vehicle(text);
    let own = vehicle.conductors.iter().find(|own| own.id == name).unwrap();
    own.area.unwrap().mm2()
}

fn ohms(text: &str, name: &str) -> f64 {
    let vehicle = vehicle(text);
    vehicle.piece_resistance(vehicle.piece_named(name).unwrap()).0
}

#[test]
fn a_size_is_written_whatever_way_the_cable_is_written() {
    for (cable, expected) in [
        (HEADED, HEADED.replace("35 mm²", "50 mm²")),
        (
            "[conductors.earth]\nsize = '35 mm²' # by eye\nlength = '0.6 m'\nfrom = 'main/-'\nto = 'block/front'\n",
            "[conductors.earth]\nsize = \"50 mm²\" # by eye\nlength = '0.6 m'\nfrom = 'main/-'\nto = 'block/front'\n".to_owned(),
        ),
        (
            "[conductors]\nearth = { size = '35 mm²', length = '0.6 m', from = 'main/-', to = 'block/front' }\n",
            "[conductors]\nearth = { size = \"50 mm²\", length = '0.6 m', from = 'main/-', to = 'block/front' }\n".to_owned(),
        ),
        (
            "[conductors]\nearth.size = \"35 mm²\"\nearth.length = \"0.6 m\"\nearth.from = \"main/-\"\nearth.to = \"block/front\"\n",
            "[conductors]\nearth.size = \"50 mm²\"\nearth.length = \"0.6 m\"\nearth.from = \"main/-\"\nearth.to = \"block/front\"\n".to_owned(),
        ),
        (
            "[ conductors . \"earth\" ]\n\"size\" = \"\"\"35 mm²\"\"\"\nlength = \"0.6 m\"\nfrom = \"main/-\"\nto = \"block/front\"\n",
            "[ conductors . \"earth\" ]\n\"size\" = \"50 mm²\"\nlength = \"0.6 m\"\nfrom = \"main/-\"\nto = \"block/front\"\n".to_owned(),
        ),
    ] {
        assert_eq!(size(&with(cable), "earth=50 mm²"), Ok(with(&expected)));
    }
}

#[test]
fn a_resistance_is_put_where_the_joint_is_described() {
    let text = with(HEADED);
    for (asked, before, after) in [
        ("earth.to=5 mΩ", "torque = \"12 N·m\" }", "torque = \"12 N·m\", resistance = \"5 mΩ\" }"),
        (
            "earth.from=5 mΩ",
            "from = \"main/-\"\nto",
            "from = { point = \"main/-\", resistance = \"5 mΩ\" }\nto",
        ),
        (
            "starter.case=2 mΩ",
            "case = \"block/rear\"",
            "case = { point = \"block/rear\", resistance = \"2 mΩ\" }",
        ),
        (
            "starter.feed.to=2 mΩ",
            "length = \"1 m\" } # as bought",
            "length = \"1 m\", terminal = { resistance = \"2 mΩ\" } } # as bought",
        ),
        (
            "starter.feed.from=2 mΩ",
            "feed = { from = \"main/+\", size",
            "feed = { from = { point = \"main/+\", resistance = \"2 mΩ\" }, size",
        ),
        (
            "lamp.return.to=9 mΩ",
            "to = \"block/front\", size",
            "to = { point = \"block/front\", resistance = \"9 mΩ\" }, size",
        ),
        (
            "lamp.return.from=9 mΩ",
            "size = \"1.5 mm²\", length = \"1 m\" }",
            "size = \"1.5 mm²\", length = \"1 m\", terminal = { resistance = \"9 mΩ\" } }",
        ),
        (
            "lamp.fuse=9 mΩ",
            "fuse = \"10 A\"",
            "fuse = { rating = \"10 A\", resistance = \"9 mΩ\" }",
        ),
        ("f-lamp=9 mΩ", "rating = \"25 A\" }", "rating = \"25 A\", resistance = \"9 mΩ\" }"),
        ("earth=9 mΩ", "torque = \"12 N·m\" }\n", "torque = \"12 N·m\" }\nresistance = \"9 mΩ\"\n"),
    ] {
        assert_eq!(text.matches(before).count(), 1, "{before}");
        assert_eq!(set(&text, asked), Ok(text.replace(before, after)), "{asked}");
    }
}

#[test]
fn a_value_that_is_there_is_replaced_and_going_back_gives_the_same_bytes() {
    let text = set(&with(HEADED), "earth.to=5 mΩ").unwrap();
    let again = set(&text, "earth.to=7 mΩ").unwrap();
    assert_eq!(again, text.replace("5 mΩ", "7 mΩ"));
    assert_eq!(set(&again, "earth.to=5 mΩ"), Ok(text));
}

#[test]
fn ends_of_lines_and_the_mark_at_the_beginning_stay() {
    let plain =
        with(HEADED).replace("note = \"\"\"\n[conductors.main]\nsize = \"1 mm²\"\n\"\"\"\n", "");
    let text = format!("\u{feff}{}", plain.replace('\n', "\r\n"));
    let changed = set(&text, "earth=9 mΩ").unwrap();
    assert_eq!(changed.replace("\r\nresistance = \"9 mΩ\"", ""), text);
    let longer = add(&text, "main/-,block/rear,25 mm²,0.5 m").unwrap().text;
    assert!(longer.starts_with(&text));
    assert!(!longer.replace("\r\n", "").contains('\n'), "{longer:?}");
    assert_eq!(size(&text, "earth=50 mm²"), Ok(text.replace("35 mm²", "50 mm²")));
}

#[test]
fn a_head_inside_a_long_text_is_no_head() {
    let cable = HEADED.replace("conductors.earth", "conductors.main2");
    let text = with(&cable).replace("[conductors.main]", "[conductors.main2]");
    assert_eq!(size(&text, "main2=50 mm²"), Ok(text.replace("35 mm²", "50 mm²")));
}

#[test]
fn a_size_beside_a_stated_resistance_is_not_written() {
    let text = with(&HEADED.replace("size = ", "resistance = \"1 mΩ\"\nsize = "));
    let error = size(&text, "earth=50 mm²").unwrap_err();
    assert_eq!(
        error.what,
        "nothing was written: the file states the resistance of `earth`, which goes before its size"
    );
}

#[test]
fn a_braid_stays_a_braid_and_a_bar_is_left_alone() {
    let braid = with(&HEADED.replace("35 mm²", "braid 35 mm²"));
    assert_eq!(size(&braid, "earth=50 mm²"), Ok(braid.replace("braid 35 mm²", "braid 50 mm²")));
    let bar = with(&HEADED.replace("35 mm²", "bar 20 mm x 3 mm"));
    assert!(vehicle(&bar).conductors.iter().any(|own| own.id == "earth"));
    assert!(size(&bar, "earth=50 mm²").unwrap_err().what.starts_with("nothing was written"));
}

/// From 6 mm² on the ends of a lead are taken for bolted lugs: the try had the pins that are there.
#[test]
fn ends_keep_their_kind_when_the_cable_grows() {
    let text = with(HEADED);
    let changed = size(&text, "lamp.feed=10 mm²").unwrap();
    let kinds = |text: &str| -> Vec<String> {
        vehicle(text).joints.iter().map(|own| format!("{} {}", own.id, own.kind)).collect()
    };
    assert_eq!(kinds(&changed), kinds(&text));
    assert!((area(&changed, "lamp.feed") - 10.0).abs() < 1e-9);
    assert!(changed.contains("terminal = { joint = \"connector pin\" }"), "{changed}");
}

#[test]
fn what_cannot_be_written_changes_nothing_and_says_so() {
    let text = with(HEADED);
    for (asked, says) in [
        ("earth.to=open", "`open` is no resistance that a file can hold"),
        ("earth.to=5 kg", "`5 kg` has the unknown unit `kg`"),
        ("erth.to=5 mΩ", "there is no joint, conductor, stretch, path, fuse or switch `erth.to`"),
        ("block/front..rear=5 mΩ", "nothing was written: the metal between two points"),
    ] {
        let what = set(&text, asked).unwrap_err().what;
        assert!(what.starts_with(says), "{asked}: {what}");
    }
    let dotted = "[conductors]\nearth = { size = \"35 mm²\", length = \"0.6 m\", from = \"main/-\", to.point = \"block/front\" }\n";
    let what = set(&with(dotted), "earth.to=5 mΩ").unwrap_err().what;
    assert_eq!(
        what,
        "nothing was written: `earth.to` is written in a way that cannot be changed safely"
    );
    let broken = text.replace("block/rear\"", "block/raer\"");
    assert!(set(&broken, "earth.to=5 mΩ").unwrap_err().what.starts_with("the file has an error"));
}

#[test]
fn a_new_cable_stands_where_the_file_has_its_cables_under_a_free_name() {
    let asked = "main/-,block/rear,25 mm²,0.5 m";
    let text = with(HEADED);
    let once = add(&text, asked).unwrap();
    assert_eq!(once.added, ["added-main-minus-block-rear"]);
    assert!(once.text.starts_with(&text));
    let twice = add(&once.text, asked).unwrap();
    assert_eq!(twice.added, ["added-main-minus-block-rear-2"]);
    let braces = "conductors = { earth = { size = \"35 mm²\", length = \"0.6 m\", from = \"main/-\", to = \"block/front\" } }\n";
    let text = with("").replace("format = 1\n", &format!("format = 1\n{braces}"));
    let inside = add(&text, asked).unwrap().text;
    assert!((area(&inside, "added-main-minus-block-rear") - 25.0).abs() < 1e-9);
    assert_eq!(inside.lines().count(), text.lines().count());
    let dotted = braces.replace(
        "conductors = { earth = { size = \"35 mm²\", length = \"0.6 m\", from = \"main/-\", to = \"block/front\" } }",
        "conductors.earth.size = \"35 mm²\"\nconductors.earth.length = \"0.6 m\"\nconductors.earth.from = \"main/-\"\nconductors.earth.to = \"block/front\"",
    );
    let text = with("").replace("format = 1\n", &format!("format = 1\n{dotted}"));
    assert!(add(&text, asked).unwrap().text.starts_with(&text));
}

/// One line differs, and the value is the one that was asked for.
fn one_line(before: &str, after: &str, name: &str) {
    let (before, after): (Vec<_>, Vec<_>) = (before.lines().collect(), after.lines().collect());
    assert!(after.len() - before.len() <= 1, "{name}");
    let same = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
    let tail = before.iter().rev().zip(after.iter().rev()).take_while(|(a, b)| a == b).count();
    assert!(same + tail + 1 >= before.len(), "{name}: more than a line differs");
}

#[test]
fn every_joint_and_fuse_of_every_example_can_be_written() {
    for text in EXAMPLES {
        let vehicle = vehicle(text);
        let names = vehicle.pieces().filter(|piece| !matches!(piece, Piece::Stretch(_)));
        for piece in names.step_by(29) {
            let name = vehicle.piece_name(piece);
            let changed = set(text, &format!("{name}=1.37 mΩ"))
                .unwrap_or_else(|own| panic!("{name}: {own:?}"));
            assert!((ohms(&changed, name) - 1.37e-3).abs() < 1e-12, "{name}");
            one_line(text, &changed, name);
        }
    }
}

#[test]
fn every_size_of_every_example_can_be_written() {
    for text in EXAMPLES {
        let vehicle = vehicle(text);
        for own in
            vehicle.conductors.iter().filter(|own| own.area.is_some() && !own.stated).step_by(17)
        {
            let changed = size(text, &format!("{}=95 mm²", own.id))
                .unwrap_or_else(|error| panic!("{}: {error:?}", own.id));
            assert!((area(&changed, &own.id) - 95.0).abs() < 1e-9, "{}", own.id);
        }
    }
}

#[test]
fn what_a_crimp_has_is_written_where_it_is_stated() {
    let table =
        |crimp: &str| with(&HEADED.replace("torque = \"12 N·m\"", &format!("crimp = {crimp}")));
    let stated = table("{ made = \"hexagonal\", resistance = \"1.2 mΩ\" }");
    assert!((ohms(&stated, "earth.to.crimp") - 1.2e-3).abs() < 1e-12);
    assert_eq!(
        set(&stated, "earth.to.crimp=0.4 mΩ"),
        Ok(table("{ made = \"hexagonal\", resistance = \"0.4 mΩ\" }"))
    );
    let ranged = vehicle(&table("{ likely = [\"0.1 mΩ\", \"0.9 mΩ\"] }"));
    let crimp = ranged.joint(ranged.conductors[0].crimps[1].unwrap());
    assert!((crimp.resistance.0 - 0.3e-3).abs() < 1e-12 && !crimp.stated);
}

/// Words about a crimp are none of its resistance: nothing is added, and no number moves.
#[test]
fn a_crimp_that_is_only_described_is_no_piece() {
    for crimp in ["\"hexagonal\"", "{ made = \"hexagonal\" }"] {
        let text = with(&HEADED.replace("torque = \"12 N·m\"", &format!("crimp = {crimp}")));
        let own = vehicle(&text);
        assert_eq!(own.conductors[0].crimps, [None; 2]);
        assert_eq!(own.joints[1].crimp.as_deref(), Some("hexagonal"));
        assert_eq!(own.joints.len(), vehicle(&with(HEADED)).joints.len());
    }
}

#[test]
fn a_case_has_no_crimp_to_state() {
    let text = with(HEADED).replace(
        "case = \"block/rear\"",
        "case = { point = \"block/rear\", crimp = { resistance = \"1 mΩ\" } }",
    );
    let reading = crate::read(text.as_bytes());
    assert!(reading.vehicle.is_none());
    assert_eq!(reading.problems[0].code, model::Code::WrongKindOfValue);
}
