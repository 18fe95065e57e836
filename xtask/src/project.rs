//! Where the project lies, what is in it, and the programs that work on it.

use std::path::{Path, PathBuf};
use std::process::Command;

/// What a check found wrong, one line each; nothing when all is well.
pub(crate) type Complaints = Vec<String>;

/// The project's folders.
#[derive(Debug)]
pub(crate) struct Project {
    pub root: PathBuf,
    pub target: PathBuf,
}

/// A text file of the project.
#[derive(Debug)]
pub(crate) struct TextFile {
    /// From the root, with `/` between folders.
    pub path: String,
    pub text: String,
}

impl Project {
    /// The project that `cargo xtask` was called in.
    pub(crate) fn here() -> Self {
        let root = std::env::var("CARGO_MANIFEST_DIR")
            .ok()
            .and_then(|xtask| Path::new(&xtask).parent().map(Path::to_path_buf))
            .unwrap_or_else(|| PathBuf::from("."));
        let target = match std::env::var("CARGO_TARGET_DIR") {
            Ok(folder) => root.join(folder),
            Err(_) => root.join("target"),
        };
        Self { root, target }
    }

    /// A program to be run in the root; `cargo` is the one that runs this.
    pub(crate) fn command(&self, program: &str) -> Command {
        let mut command = match (program, std::env::var("CARGO")) {
            ("cargo", Ok(cargo)) => Command::new(cargo),
            _ => Command::new(program),
        };
        command.current_dir(&self.root);
        command
    }

    /// Cargo with these words, its output shown as it comes.
    pub(crate) fn cargo(&self, words: &[&str], variables: &[(&str, &str)]) -> Complaints {
        show(self.command("cargo").args(words).envs(variables.iter().copied()))
    }

    /// What Cargo knows of the workspace with this manifest, and its lock file obeyed.
    pub(crate) fn metadata(&self, manifest: &str) -> Result<serde_json::Value, String> {
        let words = ["metadata", "--format-version", "1", "--locked", "--manifest-path", manifest];
        let output = output(self.command("cargo").args(words))?;
        serde_json::from_str(&output).map_err(|error| format!("cargo metadata: {error}"))
    }

    /// One file of the project.
    pub(crate) fn read(&self, path: &str) -> Result<String, String> {
        std::fs::read_to_string(self.root.join(path)).map_err(|error| format!("{path}: {error}"))
    }

    /// Every text file that is or is about to be under version control.
    pub(crate) fn text_files(&self) -> Result<Vec<TextFile>, String> {
        let words = ["ls-files", "-z", "--cached", "--others", "--exclude-standard"];
        let listed = output(self.command("git").args(words))?;
        let mut files = Vec::new();
        for path in listed.split('\0').filter(|path| !path.is_empty()) {
            // A file removed but not yet committed is still listed.
            let Ok(bytes) = std::fs::read(self.root.join(path)) else { continue };
            if let Ok(text) = String::from_utf8(bytes) {
                files.push(TextFile { path: path.to_owned(), text });
            }
        }
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(files)
    }
}

/// Runs a command with its output shown as it comes.
pub(crate) fn show(command: &mut Command) -> Complaints {
    match command.status() {
        Ok(status) if status.success() => Vec::new(),
        Ok(status) => vec![format!("{}: {status}", words_of(command))],
        Err(error) => vec![format!("{}: {error}", words_of(command))],
    }
}

/// Runs a command and gives what it wrote, or why it failed.
pub(crate) fn output(command: &mut Command) -> Result<String, String> {
    let output = command.output().map_err(|error| format!("{}: {error}", words_of(command)))?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        return Err(format!("{}: {}\n{}", words_of(command), output.status, said.trim_end()));
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

fn words_of(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or(command.get_program());
    let words = std::iter::once(program).chain(command.get_args());
    let words = words.map(|word| word.to_string_lossy()).collect::<Vec<_>>();
    format!("`{}`", words.join(" "))
}
