//! `groundloom garage`: what is kept, in and out of it, and its safety.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use garage::{Garage, GarageError, Vehicle};
use serde_json::json;

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::kept::{Place, bring, failed, named, now};
use crate::problems::count;
use crate::style::{bold, whole_file};
use crate::table::{Column, table};
use crate::vehicle_file::why;
use crate::written::{For, path_text, write_new};

/// The vehicles that are kept: bring files in, take them out, back up, restore, verify.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    act: Act,
}

#[derive(clap::Subcommand, Debug)]
enum Act {
    /// List the vehicles.
    List {
        #[command(flatten)]
        place: Place,
    },
    /// Bring vehicle files in, each followed by its files of readings.
    Import {
        /// The files; `.readings.` in the name, `.csv` or `.txt` means readings.
        #[arg(required = true)]
        files: Vec<PathBuf>,
        #[command(flatten)]
        place: Place,
    },
    /// Take a vehicle out: its file to the screen, or all its files into a folder.
    Export {
        /// Its number or its name.
        vehicle: String,
        /// The folder; files that exist are left alone.
        #[arg(long, short)]
        output: Option<PathBuf>,
        #[command(flatten)]
        place: Place,
    },
    /// Copy the whole garage into a new file, also while the page is open.
    Backup {
        /// The new file.
        file: PathBuf,
        #[command(flatten)]
        place: Place,
    },
    /// Put a backup in place of everything in the garage; that is backed up first.
    Restore {
        /// The backup.
        file: PathBuf,
        #[command(flatten)]
        place: Place,
    },
    /// Check that the garage, or a backup, is sound.
    Verify {
        /// A backup; the garage itself when left out.
        file: Option<PathBuf>,
        #[command(flatten)]
        place: Place,
    },
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    match &arguments.act {
        Act::List { place } => list(&place.open()?, asked),
        Act::Import { files, place } => import(&mut place.open()?, files),
        Act::Export { vehicle, output, place } => {
            export(&place.open_existing()?, vehicle, output.as_deref())
        }
        Act::Backup { file, place } => {
            place.open_existing()?.backup(file).map_err(|error| failed_file(file, &error))?;
            well(
                format!("{} is a copy of the whole garage\n", bold(file.display())),
                json!({ "format": 1, "written": path_text(file) }),
            )
        }
        Act::Restore { file, place } => restore(place, file),
        Act::Verify { file, place } => {
            verify(&file.as_ref().map_or_else(|| place.path(), |own| Ok(own.clone()))?)
        }
    }
}

fn well(text: String, json: serde_json::Value) -> Result<Answer, Failure> {
    Ok(Answer { text, json, exit: Exit::Well })
}

fn failed_file(path: &Path, error: &GarageError) -> Failure {
    Failure::new(format!("{}: {error}", path.display()), "a file that can be used for this")
}

fn list(garage: &Garage, asked: &Asked) -> Result<Answer, Failure> {
    let all = garage.vehicles(false).map_err(|error| Failure(error.to_string()))?;
    let json = all.iter().map(|own| {
        json!({
            "id": own.id.0, "name": own.name, "revision": own.revision, "changed": own.changed,
            "by": own.by, "readings": own.readings, "readings_files": own.readings_files,
            "work": own.work, "photos": own.photos,
        })
    });
    let json = json!({ "format": 1, "vehicles": json.collect::<Vec<_>>() });
    if all.is_empty() {
        let text = "the garage is empty; `groundloom garage import FILE` brings a vehicle in\n";
        return well(text.to_owned(), json);
    }
    let rows = all.iter().map(|own| {
        let numbers =
            [own.id.0, own.revision, own.readings, own.readings_files, own.work, own.photos];
        let [id, revision, readings, files, work, photos] = numbers.map(|own| own.to_string());
        let changed = own.changed.get(..16).unwrap_or_default().replace('T', " ");
        vec![id, own.name.clone(), revision, changed, readings, files, work, photos]
    });
    let columns = [
        Column::Right("no."),
        Column::Left("vehicle"),
        Column::Right("revision"),
        Column::Left("changed (UTC)"),
        Column::Right("readings"),
        Column::Right("files of them"),
        Column::Right("work"),
        Column::Right("photos"),
    ];
    well(table(&columns, rows.collect(), asked.width), json)
}

fn import(garage: &mut Garage, files: &[PathBuf]) -> Result<Answer, Failure> {
    let brought = bring(garage, files)?;
    let (mut text, mut all) = (String::new(), Vec::new());
    for own in &brought {
        let _ = writeln!(text, "{}", own.what);
        all.push(json!({ "vehicle": own.vehicle.0, "what": own.what }));
    }
    well(text, json!({ "format": 1, "brought": all }))
}

fn export(garage: &Garage, name: &str, folder: Option<&Path>) -> Result<Answer, Failure> {
    let vehicle = named(garage, name)?;
    let Some(folder) = folder else {
        let json = json!({ "format": 1, "vehicle": vehicle.id.0, "file": vehicle.current.text });
        return well(whole_file(&vehicle.current.text), json);
    };
    let files = files_of(garage, &vehicle).map_err(|error| Failure(error.to_string()))?;
    let (mut text, mut written) = (String::new(), Vec::new());
    for (file, bytes) in files {
        let path = folder.join(file);
        write_new(&path, &bytes, For::Owner).map_err(|error| {
            Failure::new(
                format!("{}: {}", path.display(), why(&error)),
                "a folder that exists, without files of these names",
            )
        })?;
        let _ = writeln!(text, "{} is written", bold(path.display()));
        written.push(path_text(&path));
    }
    well(text, json!({ "format": 1, "vehicle": vehicle.id.0, "written": written }))
}

/// The vehicle file, its files of readings as they came, and what was typed, one reading a line.
/// Their names are made of letters, digits and hyphens alone, whatever things are called.
fn files_of(garage: &Garage, vehicle: &Vehicle) -> Result<Vec<(String, Vec<u8>)>, GarageError> {
    let stem = plain(&vehicle.name);
    let mut files = vec![(format!("{stem}.toml"), vehicle.current.text.clone().into_bytes())];
    let known = garage.readings_files(vehicle.id)?;
    for (number, own) in known.into_iter().filter(|own| !own.file.retracted).enumerate() {
        let ending = own.file.name.rsplit_once('.').map_or("txt", |(_, ending)| ending);
        let number = if number == 0 { String::new() } else { format!("-{}", number + 1) };
        files.push((format!("{stem}.readings{number}.{}", plain(ending)), own.bytes));
    }
    let typed: String = garage
        .readings(vehicle.id)?
        .into_iter()
        .filter(|own| !own.retracted)
        .map(|own| format!("{}\n", own.text))
        .collect();
    if !typed.is_empty() {
        files.push((format!("{stem}.typed.readings.txt"), typed.into_bytes()));
    }
    Ok(files)
}

fn plain(name: &str) -> String {
    let words = name.to_lowercase();
    let words = words.split(|c: char| !c.is_ascii_alphanumeric()).filter(|own| !own.is_empty());
    let plain = words.collect::<Vec<_>>().join("-");
    let plain: String = plain.chars().take(60).collect();
    if plain.is_empty() { "vehicle".to_owned() } else { plain }
}

fn restore(place: &Place, file: &Path) -> Result<Answer, Failure> {
    let path = place.path()?;
    let mut garage = Garage::open(&path).map_err(|error| {
        Failure::new(
            format!("{}: {error}", path.display()),
            "a garage that opens; move this file away, and `restore` begins a new one",
        )
    })?;
    let before = path.with_extension(format!("before-{}.db", now().replace([':', '.'], "-")));
    let kept = match garage.backup(&before) {
        // What is damaged is replaced by something whole, and kept for whoever can save more of it.
        Err(GarageError::Damaged(_)) => {
            garage.copy_as_it_is(&before).map(|()| ", damaged as it was")
        }
        other => other.map(|()| ""),
    };
    let damaged = kept.map_err(|error| failed_file(&before, &error))?;
    if let Err(error) = garage.restore(file) {
        // Nothing was changed: the copy of what is there is of no use.
        let _ = std::fs::remove_file(&before);
        return Err(Failure::new(
            format!("{}: {error}", file.display()),
            "a backup that `groundloom garage verify` finds sound",
        ));
    }
    let text = format!(
        "the garage is as it was in {}; what was in it before is kept in {}{damaged}\n",
        bold(file.display()),
        bold(before.display())
    );
    let json = json!({ "format": 1, "restored": path_text(file), "before": path_text(&before) });
    well(text, json)
}

fn verify(path: &Path) -> Result<Answer, Failure> {
    let wrong = Garage::verify_file(path).map_err(|error| failed(path, &error))?;
    let mut text = String::new();
    for line in &wrong {
        let _ = writeln!(text, "{line}");
    }
    let verdict = if wrong.is_empty() { "sound".to_owned() } else { count(wrong.len(), "fault") };
    let _ = writeln!(text, "{}: {verdict}", path.display());
    let exit = if wrong.is_empty() { Exit::Well } else { Exit::Finding };
    Ok(Answer { text, json: json!({ "format": 1, "faults": wrong }), exit })
}
