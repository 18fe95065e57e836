//! Random files, written in every way that TOML has, edited at random: what comes out means what was asked for.

use model::Vehicle;
use proptest::prelude::*;

use super::*;

/// A cable as somebody may have written it.
#[derive(Debug, Clone)]
struct Cable {
    way: usize,
    mm2: u32,
    decimetres: u32,
    /// The joint at its end: a plain point, or described in one of two ways.
    end: usize,
    remark: usize,
}

fn cable() -> impl Strategy<Value = Cable> {
    (0..6_usize, 6..120_u32, 2..40_u32, 0..3_usize, 0..4_usize)
        .prop_map(|(way, mm2, decimetres, end, remark)| Cable { way, mm2, decimetres, end, remark })
}

impl Cable {
    fn written(&self, name: &str) -> String {
        let Self { way, mm2, decimetres, end, remark } = self;
        let remark = ["", " # as bought", " # = [x] \"", "\t# ' {"][*remark];
        let quote = if way % 2 == 0 { '"' } else { '\'' };
        let text = |value: String| format!("{quote}{value}{quote}");
        let (size, length) = (
            text(format!("{mm2} mm²")),
            text(format!("{}.{} m", decimetres / 10, decimetres % 10)),
        );
        let from = text("main/-".to_owned());
        let to = match end {
            0 => text("block/front".to_owned()),
            1 => format!(
                "{{ point = {}, torque = {} }}",
                text("block/front".to_owned()),
                text("12 N·m".to_owned())
            ),
            _ => format!(
                "{{ point={},note={} }}",
                text("block/rear".to_owned()),
                text("a # b".to_owned())
            ),
        };
        match way {
            0 | 1 => format!(
                "[conductors.{name}]{remark}\nsize = {size}{remark}\nlength = {length}\nfrom = {from}\nto = {to}{remark}\n"
            ),
            2 | 3 => format!(
                "[ conductors . \"{name}\" ]\n{remark}\n\n\"size\"={size}\nlength= {length}{remark}\nfrom = {from}\nto = {to}\n"
            ),
            _ => format!(
                "[conductors.{name}]\nlength = {length}\nto = {to}\nfrom = {from}\n\n# size = \"1 mm²\"\nsize = {size}{remark}\n"
            ),
        }
    }

    /// In one table with others: as a row in braces or with dotted keys.
    fn in_table(&self, name: &str) -> String {
        let Self { way, mm2, decimetres, .. } = self;
        let length = format!("{}.{} m", decimetres / 10, decimetres % 10);
        if way % 2 == 0 {
            format!(
                "{name} = {{ size = \"{mm2} mm²\", length = '{length}', from = \"main/-\", to = 'block/front' }} # {{\n"
            )
        } else {
            format!(
                "{name}.size = '{mm2} mm²'\n{name}.length = \"{length}\"\n{name}.from = 'main/-'\n\"{name}\".to = \"block/front\"\n"
            )
        }
    }
}

fn file(cables: &[Cable], one_table: bool, line_end: &str) -> String {
    let head = "format = 1\n[vehicle]\nname = \"Made up\"\nnominal = \"12 V\"\nnote = '''\n[conductors.c0]\nsize = \"1 mm²\"\n'''\n\
        [structures.block]\nmaterial = \"carbon steel\"\nsection = \"10000 mm²\"\n\
        points = { front = { at = [\"0.2 m\", \"0 m\"] }, rear = { at = [\"-0.2 m\", \"0 m\"] } }\n\
        [batteries.main]\ncranking = \"700 A\"\n\
        [loads.lamp]\nkind = \"lamp\"\ndraws = \"5 A\"\nfeed = { from = \"main/+\", size = \"1.5 mm²\", length = \"2 m\", fuse = \"10 A\" }\n\
        return = { to = \"block/front\", size = \"1.5 mm²\", length = \"1 m\" }\n";
    let names = (0..cables.len()).map(|at| format!("c{at}"));
    let cables: String = if one_table {
        let rows = cables.iter().zip(names).map(|(own, name)| own.in_table(&name));
        std::iter::once("[conductors]\n".to_owned()).chain(rows).collect()
    } else {
        cables.iter().zip(names).map(|(own, name)| own.written(&name)).collect()
    };
    format!("{head}{cables}").replace('\n', line_end)
}

fn vehicle(text: &str) -> Vehicle {
    let reading = crate::read(text.as_bytes());
    reading.vehicle.unwrap_or_else(|| panic!("{:?}\n{text}", reading.problems))
}

/// Every resistance by its name, in the order of the names: a new cable may stand anywhere.
fn resistances(vehicle: &Vehicle) -> Vec<(String, f64)> {
    let of = |own| (vehicle.piece_name(own).to_owned(), vehicle.piece_resistance(own).0);
    let mut all: Vec<_> = vehicle.pieces().map(of).collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

fn same(one: &[(String, f64)], other: &[(String, f64)]) -> Result<(), TestCaseError> {
    prop_assert_eq!(one.len(), other.len());
    for ((name, ohms), (other, others)) in one.iter().zip(other) {
        prop_assert_eq!(name, other);
        prop_assert!((ohms - others).abs() <= 1e-12 * ohms.abs(), "{} {} {}", name, ohms, others);
    }
    Ok(())
}

proptest! {
    #[test]
    fn a_random_edit_of_a_random_file_means_what_was_asked_and_leaves_the_rest(
        cables in prop::collection::vec(cable(), 1..6),
        (one_table, carriage) in any::<(bool, bool)>(),
        (kind, at, value) in (0..4_usize, any::<prop::sample::Index>(), 1..400_u32),
    ) {
        let text = file(&cables, one_table, if carriage { "\r\n" } else { "\n" });
        let before = vehicle(&text);
        let name = format!("c{}", at.index(cables.len()));
        let (size, ohms, cable) = (
            [format!("{name}={value} mm²")],
            [format!("{name}.{}={value} mΩ", if kind == 1 { "to" } else { "from" })],
            ["main/-,block/rear,25 mm²,0.5 m".to_owned()],
        );
        let edits = match kind {
            0 => Edits { sizes: &size, ..Edits::default() },
            1 | 2 => Edits { resistances: &ohms, ..Edits::default() },
            _ => Edits { conductors: &cable, ..Edits::default() },
        };
        // What is refused changes nothing: there is no text then.
        let Ok(after) = rewrite(&text, edits) else { return Ok(()) };
        let meant = match kind {
            0 => {
                let (mut cables, touched) = (cables.clone(), at.index(cables.len()));
                cables[touched].mm2 = value;
                vehicle(&file(&cables, one_table, "\n"))
            }
            1 | 2 => {
                let mut changed = before;
                prop_assert!(set_resistance(&mut changed, &ohms[0]).is_ok());
                changed
            }
            _ => {
                let mut changed = before;
                prop_assert!(add_conductor(&mut changed, &cable[0]).is_ok());
                changed
            }
        };
        let (mut is, mut meant) = (resistances(&vehicle(&after.text)), resistances(&meant));
        if kind == 3 {
            // A trial names what it adds its own way.
            is.iter_mut().chain(&mut meant).for_each(|own| own.0.clear());
            is.sort_by(|a, b| a.1.total_cmp(&b.1));
            meant.sort_by(|a, b| a.1.total_cmp(&b.1));
        }
        same(&is, &meant)?;
        // Comments and everything else stay: no line but the touched ones is another.
        let kept = text.lines().filter(|line| after.text.lines().any(|other| other == *line)).count();
        prop_assert!(kept + 1 >= text.lines().count(), "{}", after.text);
    }

    #[test]
    fn a_plain_file_is_edited_and_not_refused(
        cables in prop::collection::vec(cable(), 1..6),
        one_table in any::<bool>(),
        value in 1..400_u32,
    ) {
        let text = file(&cables, one_table, "\n");
        let edited = rewrite(&text, Edits { sizes: &[format!("c0={value} mm²")], ..Edits::default() });
        prop_assert!(edited.is_ok(), "{edited:?}\n{text}");
    }
}
