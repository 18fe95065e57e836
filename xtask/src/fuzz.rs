//! Runs the fuzz targets on the stable compiler: built and called as `cargo fuzz` would, without it.

use std::path::Path;
use std::time::Duration;

use crate::project::{Complaints, Project, output, show};

/// A run that fits among the other checks.
pub(crate) const SHORT: Duration = Duration::from_secs(20);

/// What a target is fed with.
struct Target {
    name: &'static str,
    /// The longest input worth trying, in bytes.
    longest: usize,
    /// Folders of inputs to begin with.
    seeds: &'static [&'static str],
}

const TARGETS: [Target; 6] = [
    Target { name: "quantity", longest: 64, seeds: &["fuzz/corpus/quantity"] },
    Target {
        name: "vehicle_file",
        longest: 16_384,
        seeds: &["fuzz/corpus/vehicle_file", "layouts", "examples"],
    },
    Target { name: "readings", longest: 4_096, seeds: &["fuzz/corpus/readings"] },
    Target { name: "plain_words", longest: 400, seeds: &["fuzz/corpus/plain_words"] },
    Target { name: "host", longest: 64, seeds: &["fuzz/corpus/host"] },
    Target { name: "image", longest: 64, seeds: &["fuzz/corpus/image"] },
];

/// Tells the compiler to count which branches an input takes, which is what the fuzzer steers by.
const INSTRUMENTED: &str = "--cfg fuzzing -Ccodegen-units=1 -Cpasses=sancov-module \
    -Cllvm-args=-sanitizer-coverage-level=4 \
    -Cllvm-args=-sanitizer-coverage-inline-8bit-counters \
    -Cllvm-args=-sanitizer-coverage-pc-table \
    -Cllvm-args=-sanitizer-coverage-trace-compares";

/// Runs each target for so long; with a seed, on the same draws each time.
pub(crate) fn fuzz(project: &Project, time: Duration, seed: Option<u32>) -> Complaints {
    let host = match host(project) {
        Ok(host) => host,
        Err(complaint) => return vec![complaint],
    };
    let target = project.target.join("fuzz");
    // Naming the host keeps the instrumentation out of build scripts, which do not link with it.
    let complaints = show(
        project
            .command("cargo")
            .args(["build", "--locked", "--release", "--bins", "--target", &host])
            .args(["--manifest-path", "fuzz/Cargo.toml", "--target-dir"])
            .arg(&target)
            .env("RUSTFLAGS", INSTRUMENTED),
    );
    if !complaints.is_empty() {
        return complaints;
    }
    let programs = target.join(host).join("release");
    let found = target.join("found");
    TARGETS
        .iter()
        .filter_map(|target| one(project, target, &programs, &found, time, seed).err())
        .collect()
}

fn one(
    project: &Project,
    Target { name, longest, seeds }: &Target,
    programs: &Path,
    found: &Path,
    time: Duration,
    seed: Option<u32>,
) -> Result<(), String> {
    let found = found.join(name);
    let artifacts = format!("fuzz/artifacts/{name}/");
    for folder in [&found, &project.root.join(&artifacts)] {
        std::fs::create_dir_all(folder).map_err(|error| error.to_string())?;
    }
    let mut command = project.command(&programs.join(name).to_string_lossy());
    command.args([
        format!("-max_total_time={}", time.as_secs()),
        format!("-max_len={longest}"),
        "-timeout=10".to_owned(),
        format!("-artifact_prefix={artifacts}"),
    ]);
    command.args(seed.map(|seed| format!("-seed={seed}")));
    // Inputs that reach new code go to the first folder; the seeds in the others stay as they are.
    command.arg(found).args(*seeds).env("RUST_BACKTRACE", "0");
    let output = command.output().map_err(|error| format!("{name}: {error}"))?;
    let said = String::from_utf8_lossy(&output.stderr);
    let summary = said.lines().rev().find(|line| line.starts_with("Done "));
    match summary {
        Some(summary) if output.status.success() => {
            println!("{name}: {summary}");
            Ok(())
        }
        _ => {
            // A panic says what was wrong; anything else is told by the fuzzer's last lines.
            let lines = said.lines().collect::<Vec<_>>();
            let panic = lines.iter().position(|line| line.contains("panicked at"));
            let from = panic.unwrap_or(lines.len().saturating_sub(12));
            let shown = lines[from..].iter().take_while(|line| !line.starts_with("note: run with"));
            let shown = shown.copied().collect::<Vec<_>>().join("\n  ");
            Err(format!("{name}: {}; the input is in {artifacts}\n  {shown}", output.status))
        }
    }
}

/// The machine that the compiler builds for when not told otherwise.
fn host(project: &Project) -> Result<String, String> {
    let version = output(project.command("rustc").arg("-vV"))?;
    let host = version.lines().find_map(|line| line.strip_prefix("host: "));
    host.map(str::to_owned).ok_or_else(|| "rustc -vV names no host".to_owned())
}
