//! The garage as the command line sees it: where it is, and files going in and out.

use std::path::{Path, PathBuf};

use garage::{Garage, GarageError, Saved, Stamp, Vehicle, VehicleId, VersionKind};

use crate::answer::Failure;
use crate::vehicle_file::{VEHICLE_FILE, read_bytes, why};
use crate::written::path_text;

/// The longest file that the garage takes, as the page does.
const LARGEST: usize = 2 << 20;

/// Where the garage is.
#[derive(clap::Args, Debug)]
pub(crate) struct Place {
    /// The garage's file; the usual one of this user when left out.
    #[arg(long, value_name = "FILE", env = "GROUNDLOOM_GARAGE", hide_env_values = true)]
    garage: Option<PathBuf>,
}

impl Place {
    /// The garage's file; its folder is made where it is missing, for this user alone.
    pub(crate) fn path(&self) -> Result<PathBuf, Failure> {
        let path = match &self.garage {
            Some(path) => path.clone(),
            None => usual().ok_or_else(|| {
                Failure::new("it is not clear where this user's files are", "`--garage FILE`")
            })?,
        };
        if let Some(folder) = path.parent().filter(|own| !own.as_os_str().is_empty()) {
            private_folder(folder, usual().as_ref() == Some(&path)).map_err(|error| {
                Failure::new(
                    format!("{}: {}", folder.display(), why(&error)),
                    "a folder that can be made",
                )
            })?;
        }
        Ok(path)
    }

    /// A garage that is there: one begun anew would be empty, and a copy of it none of the user's.
    pub(crate) fn open_existing(&self) -> Result<Garage, Failure> {
        let path = self.path()?;
        let there = path.metadata().is_ok_and(|own| own.len() > 0);
        if !there {
            return Err(Failure::new(
                format!("{}: there is no garage", path.display()),
                "`--garage FILE` with one, or `groundloom garage import FILE`, which begins one",
            ));
        }
        self.open()
    }

    /// The garage, begun anew where there is none.
    pub(crate) fn open(&self) -> Result<Garage, Failure> {
        let path = self.path()?;
        Garage::open(&path).map_err(|error| failed(&path, &error))
    }
}

/// Makes a folder for this user alone. One that is there is tightened if it is our own: an older program let everybody
/// look into it. A folder that the user chose may hold other things, and stays as it is.
fn private_folder(folder: &Path, own: bool) -> std::io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)?;
    #[cfg(unix)]
    if own {
        use std::os::unix::fs::PermissionsExt;
        let mode = folder.metadata()?.permissions().mode();
        if mode & 0o077 != 0 {
            // A file system without permissions, or a folder of somebody else's: the file is tightened all the same.
            let _ = std::fs::set_permissions(folder, PermissionsExt::from_mode(mode & 0o700));
        }
    }
    let _ = own;
    Ok(())
}

pub(crate) fn failed(path: &Path, error: &GarageError) -> Failure {
    Failure::new(
        format!("{}: {error}", path.display()),
        "a garage of this program, such as `groundloom open` makes",
    )
}

/// The folder for a user's data by the customs of the system, and the file in it. On Windows it lies in the user's own
/// profile, which other users cannot read.
fn usual() -> Option<PathBuf> {
    let folder =
        |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|own| own.is_absolute());
    let data = if cfg!(windows) {
        folder("LOCALAPPDATA")?
    } else if cfg!(target_os = "macos") {
        folder("HOME")?.join("Library/Application Support")
    } else {
        match folder("XDG_DATA_HOME") {
            Some(own) => own,
            None => folder("HOME")?.join(".local/share"),
        }
    };
    Some(data.join("groundloom").join("garage.db"))
}

/// Now, as the garage keeps it.
pub(crate) fn now() -> String {
    format!("{:.3}", jiff::Timestamp::now())
}

/// What became of a file that was brought in.
#[derive(Debug)]
pub(crate) struct Brought {
    pub vehicle: VehicleId,
    /// In a sentence.
    pub what: String,
}

/// Brings files in: vehicle files, and files of readings (`.readings.` in the name, or `.csv` or
/// `.txt`), which belong to the vehicle before them.
pub(crate) fn bring(garage: &mut Garage, paths: &[PathBuf]) -> Result<Vec<Brought>, Failure> {
    let mut all: Vec<Brought> = Vec::new();
    for path in paths {
        let bytes = read_bytes(path, VEHICLE_FILE)?;
        let shown = path.display();
        if bytes.len() > LARGEST {
            return Err(Failure::new(
                format!("{shown}: the file is too large for the garage"),
                "at most 2 MiB",
            ));
        }
        if is_readings(path) {
            let Some(Brought { vehicle, .. }) = all.last() else {
                return Err(Failure::new(
                    format!("{shown}: it is not clear whose readings these are"),
                    "the vehicle's file before its readings",
                ));
            };
            let vehicle = *vehicle;
            let what = readings(garage, vehicle, path, &bytes);
            let what = what.map_err(|error| failed(path, &error))?;
            all.push(Brought { vehicle, what });
        } else {
            all.push(bring_vehicle(garage, path, bytes)?);
        }
    }
    Ok(all)
}

/// Brings one vehicle file in with, perhaps, one file of readings, whatever that is called.
pub(crate) fn bring_one(
    garage: &mut Garage,
    path: &Path,
    own_readings: Option<&Path>,
) -> Result<VehicleId, Failure> {
    let Brought { vehicle, .. } = bring_vehicle(garage, path, read_bytes(path, VEHICLE_FILE)?)?;
    if let Some(own) = own_readings {
        let bytes = read_bytes(own, "a file of readings")?;
        readings(garage, vehicle, own, &bytes).map_err(|error| failed(own, &error))?;
    }
    Ok(vehicle)
}

fn bring_vehicle(garage: &mut Garage, path: &Path, bytes: Vec<u8>) -> Result<Brought, Failure> {
    let Ok(text) = String::from_utf8(bytes) else {
        return Err(Failure::new(
            format!("{}: the file is no text in UTF-8", path.display()),
            VEHICLE_FILE,
        ));
    };
    vehicle(garage, path, text).map_err(|error| failed(path, &error))
}

fn is_readings(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    name.contains(".readings.") || name.ends_with(".csv") || name.ends_with(".txt")
}

/// A vehicle file: new, the same as before, or one more version of a vehicle that came from the same
/// path. Texts that were changed in the garage meanwhile stay in its history.
fn vehicle(garage: &mut Garage, path: &Path, text: String) -> Result<Brought, GarageError> {
    let now = now();
    let stamp = Stamp { when: &now, by: "desk" };
    let origin = path_text(&path.canonicalize().unwrap_or_else(|_| path.to_owned()));
    let shown = path.display();
    let read = file::read(text.as_bytes());
    let unread = unread(&read, &text);
    let name = read.vehicle.map(|own| own.name);
    if let Some(id) = garage.vehicle_from(&origin)? {
        // What can be read is not hidden behind what cannot.
        let kept = || garage.current(id).map(|own| own.text);
        let what = match &unread {
            Some(errors) if file::read(kept()?.as_bytes()).vehicle.is_some() => {
                format!("{shown} was left out, vehicle {} stays as it is: {errors}", id.0)
            }
            _ => read_again(garage, id, path, name.as_deref(), &text, stamp)?,
        };
        return Ok(Brought { vehicle: id, what });
    }
    let name =
        name.unwrap_or_else(|| path.file_stem().unwrap_or_default().to_string_lossy().into());
    let made = garage.create(&name, Some(&origin), &text, &format!("read from {shown}"), stamp)?;
    let errors = unread.map_or_else(String::new, |errors| format!("; {errors}"));
    Ok(Brought { vehicle: made.id, what: format!("{shown} is vehicle {} now{errors}", made.id.0) })
}

/// How many errors keep a file from being read, and where the first stands; nothing where there are none.
fn unread(read: &file::Reading, text: &str) -> Option<String> {
    let mut all = answers::problem::of(&read.problems, text).into_iter();
    let first = all.find(|own| own.severity == answers::problem::Severity::Error)?;
    let many = match read.errors() {
        1 => "an error".to_owned(),
        more => format!("{more} errors, the first"),
    };
    Some(format!("it has {many} in line {}: {}", first.line, first.what))
}

/// A vehicle whose file is read once more; what became of it, as a person is told.
fn read_again(
    garage: &mut Garage,
    id: VehicleId,
    path: &Path,
    name: Option<&str>,
    text: &str,
    stamp: Stamp<'_>,
) -> Result<String, GarageError> {
    let shown = path.display();
    let current = garage.current(id)?;
    if current.text == text {
        return Ok(format!("{shown} is in the garage as vehicle {}, unchanged", id.0));
    }
    let last = last_import(garage, id)?;
    if last.as_deref() == Some(text) {
        return Ok(format!(
            "{shown} is vehicle {}; it was changed in the garage since, and the file was not",
            id.0
        ));
    }
    let both = last.is_some_and(|last| last != current.text);
    let words = format!("read again from {shown}");
    let at = current.revision;
    Ok(match garage.save(id, at, VersionKind::Import, name, text, &words, stamp)? {
        Saved::Stored(own) if both => format!(
            "{shown} and vehicle {} were both changed: the file is its revision {} now, and what was in the garage is revision {at}",
            id.0, own.current.revision
        ),
        Saved::Stored(own) => {
            format!("{shown} is revision {} of vehicle {} now", own.current.revision, id.0)
        }
        Saved::Conflict(_) => format!("{shown} was left out: vehicle {} is being changed", id.0),
    })
}

/// The text as it was last read from its file.
fn last_import(garage: &Garage, id: VehicleId) -> Result<Option<String>, GarageError> {
    let history = garage.history(id)?;
    let last = history.into_iter().find(|own| own.kind == VersionKind::Import);
    last.map(|own| garage.version(id, own.revision).map(|own| own.text)).transpose()
}

/// A file of readings, once for each content.
fn readings(
    garage: &mut Garage,
    id: VehicleId,
    path: &Path,
    bytes: &[u8],
) -> Result<String, GarageError> {
    let shown = path.display();
    let known = garage.readings_files(id)?;
    if known.iter().any(|own| own.bytes == bytes && !own.file.retracted) {
        return Ok(format!("{shown} belongs to vehicle {} already", id.0));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let cid = format!("file-{:04}", known.len() + 1);
    let now = now();
    garage.put_readings_file(id, &cid, &name, bytes, Stamp { when: &now, by: "desk" })?;
    Ok(format!("{shown} belongs to vehicle {} now", id.0))
}

/// A vehicle by its number or its name.
pub(crate) fn named(garage: &Garage, name: &str) -> Result<Vehicle, Failure> {
    let all = garage.vehicles(true).map_err(|error| Failure(error.to_string()))?;
    let found: Vec<_> =
        all.iter().filter(|own| own.id.0.to_string() == name || own.name == name).collect();
    match found.as_slice() {
        [one] => garage.vehicle(one.id).map_err(|error| Failure(error.to_string())),
        [] => {
            let known: Vec<String> =
                all.iter().take(20).map(|own| format!("{} (`{}`)", own.id.0, own.name)).collect();
            let known = if known.is_empty() {
                "a vehicle; the garage is empty, and `groundloom garage import FILE` fills it"
                    .to_owned()
            } else {
                format!("one of {}", known.join(", "))
            };
            Err(Failure::new(format!("the garage has no vehicle `{name}`"), known))
        }
        several => {
            let ids: Vec<String> = several.iter().map(|own| own.id.0.to_string()).collect();
            Err(Failure::new(
                format!("{} vehicles are called `{name}`", several.len()),
                format!("the number of one: {}", ids.join(", ")),
            ))
        }
    }
}
