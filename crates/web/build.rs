//! Builds the page with Node and writes a table of its files, so that one cargo command builds all.
//!
//! Without Node it says in words what to install or how to do without. Nothing but `node_modules` is
//! written outside of the build folder.

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
const WITHOUT: &str = "Without it: add `--no-default-features` for the command line alone, or set GROUNDLOOM_WEB_DIST to a folder of ready pages.";

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
    let dist = if env::var_os("CARGO_FEATURE_PAGE").is_none() {
        None
    } else if let Some(ready) = env::var_os(READY) {
        let ready = PathBuf::from(ready);
        watched.push(ready.clone());
        Some(ready)
    } else {
        let here = env::var_os("CARGO_MANIFEST_DIR").ok_or("cargo names no package")?;
        let web = Path::new(&here).join("../../web");
        if !web.join("package.json").exists() {
            println!(
                "cargo::warning=the folder `web` with the page is not there; the program is built without the page"
            );
            watched.push(web.clone());
            return written(&out, &[], &watched);
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
        Some(built(&web, &out)?)
    };
    let mut files = Vec::new();
    if let Some(dist) = &dist {
        collect(dist, dist, &mut files)?;
        if !files.iter().any(|(path, _)| path == "index.html") {
            return Err(format!("{} has no index.html", dist.display()));
        }
    }
    files.sort();
    written(&out, &files, &watched)
}

fn written(out: &Path, files: &[(String, PathBuf)], watched: &[PathBuf]) -> Result<(), String> {
    let table = out.join("files.rs");
    fs::write(&table, table_of(files)?).map_err(|error| format!("{table:?}: {error}"))?;
    // After success alone: cargo would repeat these lines under every message of a failure.
    println!("cargo::rerun-if-env-changed={READY}");
    for path in watched {
        println!("cargo::rerun-if-changed={}", path.display());
    }
    Ok(())
}

/// Installs what the page needs, builds it, and gives the folder.
fn built(web: &Path, out: &Path) -> Result<PathBuf, String> {
    let version = Command::new("node").arg("--version").output().map_err(|_| {
        format!(
            "Node.js is needed to build the page, and `node` was not found.\nInstall Node.js 20.19 or newer (it brings npm), open a new terminal, and run the same command again.\n{WITHOUT}"
        )
    })?;
    let version = String::from_utf8_lossy(&version.stdout).trim().to_owned();
    let mut parts = version.trim_start_matches('v').split('.').map(|part| part.parse().ok());
    let found = (parts.next().flatten().unwrap_or(0), parts.next().flatten().unwrap_or(0));
    if found < OLDEST_NODE {
        return Err(format!(
            "Node.js 20.19 or newer is needed to build the page; found {version}.\n{WITHOUT}"
        ));
    }
    let lock = web.join("package-lock.json");
    let installed = web.join("node_modules/.package-lock.json");
    let modified = |path: &Path| path.metadata().and_then(|own| own.modified()).ok();
    if modified(&installed).is_none() || modified(&installed) < modified(&lock) {
        // Developers' tools that are there stay there.
        let developer = web.join("node_modules/vitest").exists();
        let all: &[&str] = if developer { &["ci"] } else { &["ci", "--omit=dev"] };
        let quiet = ["--no-audit", "--no-fund", "--loglevel=error"];
        npm(web, &[all, &quiet].concat()).map_err(|said| {
            format!(
                "`npm {}` could not fetch the packages of the page. Only this step needs the network. It said:\n{said}\n{WITHOUT}",
                all.join(" ")
            )
        })?;
    }
    let dist = out.join("dist");
    let to = dist.to_string_lossy();
    let words = ["exec", "--", "vite", "build", "--outDir", &to, "--emptyOutDir"];
    npm(web, &words).map_err(|said| {
        format!("`npm exec -- vite build` could not build the page. It said:\n{said}")
    })?;
    Ok(dist)
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

fn table_of(files: &[(String, PathBuf)]) -> Result<String, String> {
    let mut table = String::from("/// Every file of the page.\npub const FILES: &[File] = &[\n");
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
