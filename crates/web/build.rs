//! Builds the page with Node and writes a table of its files, so that one cargo command builds all.
//!
//! Where Node is missing, too old or cannot fetch its packages, the program is built without the page:
//! one warning says so, the program tells the same, and the next build looks again. Nothing but
//! `node_modules` is written outside of the build folder.

#![expect(clippy::disallowed_methods, reason = "a build script reads and writes files")]

use std::collections::hash_map::DefaultHasher;
use std::fmt::Write as _;
use std::hash::{Hash, Hasher};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::{env, fs};

/// The oldest Node with which the page is built.
const OLDEST_NODE: (u32, u32) = (20, 19);
/// Where ready pages are, for those who build without Node.
const READY: &str = "GROUNDLOOM_WEB_DIST";
/// Set by cargo where the page is wanted.
const FEATURE: &str = "CARGO_FEATURE_PAGE";
/// What goes for every way of lacking the page.
const REMEDY: &str =
    "everything else works; for the page install Node.js 20.19 or newer with npm and build again";

/// Why there is no page.
enum Why {
    /// The program is whole without it, and the next build looks again when one of these has changed.
    Lacking { what: String, watch: Vec<PathBuf> },
    /// It was asked for in words, or is broken: no program either.
    Broken(String),
}

impl From<String> for Why {
    fn from(what: String) -> Self {
        Self::Broken(what)
    }
}

fn main() -> ExitCode {
    match build() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            for line in message.lines() {
                println!("cargo::error={line}");
            }
            ExitCode::FAILURE
        }
    }
}

fn build() -> Result<(), String> {
    let out = PathBuf::from(env::var_os("OUT_DIR").ok_or("cargo names no folder to write to")?);
    let mut watched = vec![PathBuf::from("build.rs")];
    match page(&out, &mut watched) {
        Ok(dist) => {
            let mut files = Vec::new();
            collect(&dist, &dist, &mut files)?;
            if !files.iter().any(|(path, _)| path == "index.html") {
                return Err(format!("{} has no index.html", dist.display()));
            }
            files.sort();
            written(&out, &files, None, &watched)
        }
        Err(Why::Lacking { what, watch }) => {
            watched.extend(watch);
            if env::var_os(FEATURE).is_some() {
                println!("cargo::warning=built without the page, because {what}: {REMEDY}");
                // Node that comes to another folder changes the folders alone.
                println!("cargo::rerun-if-env-changed=PATH");
            }
            written(&out, &[], Some(&what), &watched)
        }
        Err(Why::Broken(message)) => Err(message),
    }
}

/// The folder with the page's files.
fn page(out: &Path, watched: &mut Vec<PathBuf>) -> Result<PathBuf, Why> {
    if env::var_os(FEATURE).is_none() {
        let what = "it was left out with `--no-default-features`".to_owned();
        return Err(Why::Lacking { what, watch: Vec::new() });
    }
    if let Some(ready) = env::var_os(READY) {
        let ready = PathBuf::from(ready);
        watched.push(ready.clone());
        return Ok(ready);
    }
    let here = env::var_os("CARGO_MANIFEST_DIR").ok_or("cargo names no package".to_owned())?;
    let web = Path::new(&here).join("../../web");
    if !web.join("package.json").exists() {
        let what = "the folder `web` with its source is not there".to_owned();
        return Err(Why::Lacking { what, watch: vec![web] });
    }
    for name in ["src", "public", "index.html", "phone.html", "export.html", "package.json"]
        .into_iter()
        .chain(["package-lock.json", "vite.config.ts", "vite.report.config.ts"])
        .chain(["svelte.config.js", "tsconfig.json"])
    {
        let path = web.join(name);
        if path.exists() {
            watched.push(path);
        }
    }
    built(&web, out)
}

fn written(
    out: &Path,
    files: &[(String, PathBuf)],
    without: Option<&str>,
    watched: &[PathBuf],
) -> Result<(), String> {
    let table = out.join("files.rs");
    let text = table_of(files, without)?;
    fs::write(&table, text).map_err(|error| format!("{table:?}: {error}"))?;
    // After success alone: cargo would repeat these lines under every message of a failure.
    println!("cargo::rerun-if-env-changed={READY}");
    for path in watched {
        println!("cargo::rerun-if-changed={}", path.display());
    }
    Ok(())
}

/// Installs what the page needs, builds it, and gives the folder.
fn built(web: &Path, out: &Path) -> Result<PathBuf, Why> {
    let lacking = |what: String| Why::Lacking { what, watch: searched() };
    let version = Command::new("node").arg("--version").output();
    let version = version.map_err(|_| lacking("`node` was not found".to_owned()))?;
    let version = String::from_utf8_lossy(&version.stdout).trim().to_owned();
    let mut parts = version.trim_start_matches('v').split('.').map(|part| part.parse().ok());
    let found = (parts.next().flatten().unwrap_or(0), parts.next().flatten().unwrap_or(0));
    if found < OLDEST_NODE {
        return Err(lacking(format!("Node.js {version} is too old")));
    }
    if npm(web, &["--version"]).is_err() {
        return Err(lacking("`npm` was not found beside Node.js".to_owned()));
    }
    let lock = web.join("package-lock.json");
    let installed = web.join("node_modules/.package-lock.json");
    let modified = |path: &Path| path.metadata().and_then(|own| own.modified()).ok();
    if modified(&installed).is_none() || modified(&installed) < modified(&lock) {
        // Developers' tools that are there stay there.
        let developer = web.join("node_modules/vitest").exists();
        let all: &[&str] = if developer { &["ci"] } else { &["ci", "--omit=dev"] };
        // As often as npm tries by itself, but within seconds: without a network every build gets here.
        let quiet = ["--no-audit", "--no-fund", "--loglevel=error"];
        let soon = ["--fetch-retry-mintimeout=1000", "--fetch-retry-maxtimeout=4000"];
        npm(web, &[all, &quiet, &soon].concat()).map_err(|said| Why::Lacking {
            what: format!("`npm ci` could not fetch its packages ({})", first_of(&said)),
            // Nothing tells that a network has come: a file that is never there has the next build try.
            watch: vec![out.join("try-again")],
        })?;
    }
    let dist = out.join("dist");
    let to = dist.to_string_lossy();
    let words = ["exec", "--", "vite", "build", "--outDir", &to, "--emptyOutDir"];
    npm(web, &words).map_err(|said| {
        format!(
            "`npm exec -- vite build` could not build the page. It said:\n{said}\nWithout the page: add `--no-default-features`, or set {READY} to a folder of ready pages."
        )
    })?;
    Ok(dist)
}

/// The folders in which programs are looked for: one that gets Node changes.
fn searched() -> Vec<PathBuf> {
    let path = env::var_os("PATH").unwrap_or_default();
    // The system's own folders are large there, and nobody installs Node into them.
    let system = env::var_os("SystemRoot").map(PathBuf::from);
    env::split_paths(&path)
        .filter(|own| own.is_absolute() && own.is_dir())
        .filter(|own| !system.as_ref().is_some_and(|system| own.starts_with(system)))
        .collect()
}

/// Runs npm; what it said when it failed, its first lines without those of a stack.
fn npm(web: &Path, words: &[&str]) -> Result<(), String> {
    let name = if cfg!(windows) { "npm.cmd" } else { "npm" };
    let ran = Command::new(name).args(words).current_dir(web).output();
    let ran = ran.map_err(|error| format!("`npm` cannot be run: {error}"))?;
    if ran.status.success() {
        return Ok(());
    }
    let said = [ran.stderr, ran.stdout].concat();
    let said = String::from_utf8_lossy(&said);
    let lines = said.lines().filter(|line| {
        let line = line.trim_start();
        !line.is_empty() && !line.starts_with("at ")
    });
    Err(lines.take(10).collect::<Vec<_>>().join("\n"))
}

/// What npm said, in one line: its first words without its own name.
fn first_of(said: &str) -> String {
    let lines = said.lines().map(|line| line.trim_start_matches("npm").trim_start());
    let lines =
        lines.map(|line| line.trim_start_matches("error").trim_start_matches(" ERR!").trim());
    lines.filter(|line| !line.is_empty()).take(3).collect::<Vec<_>>().join(", ")
}

fn collect(root: &Path, folder: &Path, into: &mut Vec<(String, PathBuf)>) -> Result<(), String> {
    let told = |error: std::io::Error| format!("{}: {error}", folder.display());
    for entry in fs::read_dir(folder).map_err(told)? {
        let path = entry.map_err(told)?.path();
        if path.is_dir() {
            collect(root, &path, into)?;
        } else if let Ok(below) = path.strip_prefix(root) {
            let below = below.to_string_lossy().replace('\\', "/");
            into.push((below, path.canonicalize().map_err(told)?));
        }
    }
    Ok(())
}

fn table_of(files: &[(String, PathBuf)], without: Option<&str>) -> Result<String, String> {
    let mut table = format!(
        "/// Why the page is not built in.\nconst WITHOUT: Option<&str> = {without:?};\n/// Every file of the page.\npub const FILES: &[File] = &[\n"
    );
    for (path, from) in files {
        let bytes = fs::read(from).map_err(|error| format!("{}: {error}", from.display()))?;
        // Tells caches that a file has changed; no secret hangs on it.
        let mut hasher = DefaultHasher::new();
        bytes.hash(&mut hasher);
        let _ = writeln!(
            table,
            "    File {{ path: {path:?}, bytes: include_bytes!({from:?}), tag: \"\\\"{:016x}\\\"\" }},",
            hasher.finish()
        );
    }
    table.push_str("];\n");
    Ok(table)
}
