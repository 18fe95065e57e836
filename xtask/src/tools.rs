//! What the checks need besides Rust, looked for before the first of them begins.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::project::output;

/// Where browsers of this kind usually are; `CHROMIUM` names another.
const CHROMIUM: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];
const OLDEST_NODE: (u32, u32) = (20, 19);
const OLDEST_PYTHON: (u32, u32) = (3, 11);
/// Fails without `venv`, or without what fills an environment.
const PYTHON_SAYS: &str = "import ensurepip, sys, venv; print('%d.%d' % sys.version_info[:2])";

/// A program that some check runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tool {
    Git,
    Compiler,
    Python,
    Node,
    Npm,
    Chromium,
}

/// All of them.
pub(crate) const ALL: [Tool; 6] =
    [Tool::Git, Tool::Compiler, Tool::Python, Tool::Node, Tool::Npm, Tool::Chromium];
/// Those of the page.
pub(crate) const OF_THE_PAGE: [Tool; 3] = [Tool::Node, Tool::Npm, Tool::Chromium];

/// Where programs are looked for.
#[derive(Debug)]
pub(crate) struct Search {
    folders: Vec<PathBuf>,
    /// A browser that was named in words.
    chromium: Option<PathBuf>,
}

impl Search {
    /// As this program's environment says.
    pub(crate) fn here() -> Self {
        Self::new(std::env::var_os("PATH"), std::env::var_os("CHROMIUM"))
    }

    fn new(path: Option<OsString>, chromium: Option<OsString>) -> Self {
        let folders = path.map(|own| std::env::split_paths(&own).collect()).unwrap_or_default();
        Self { folders, chromium: chromium.map(PathBuf::from) }
    }

    fn program(&self, name: &str) -> Option<PathBuf> {
        let endings: &[&str] = if cfg!(windows) { &[".exe", ".cmd"] } else { &[""] };
        self.folders
            .iter()
            .flat_map(|folder| endings.iter().map(move |end| folder.join(format!("{name}{end}"))))
            .find(|path| path.is_file())
    }

    /// The browser.
    pub(crate) fn chromium(&self) -> Option<PathBuf> {
        match &self.chromium {
            // A name without a folder is one to be looked for, as a shell would.
            Some(named) if named.is_file() => Some(named.clone()),
            Some(named) => self.program(named.to_str()?),
            None => CHROMIUM.into_iter().find_map(|name| self.program(name)),
        }
    }

    /// What is wrong with a tool, and the packages that bring it.
    fn lacks(&self, tool: Tool) -> Option<(String, &'static [&'static str])> {
        let absent = |name: &str| self.program(name).is_none();
        match tool {
            Tool::Git => absent("git").then(|| ("git".to_owned(), &["git"][..])),
            Tool::Compiler => absent("g++").then(|| ("a C++ compiler".to_owned(), &["g++"][..])),
            Tool::Python => {
                let packages = &["python3", "python3-venv"][..];
                let found = self.program("python3").map(|own| {
                    says(&own, &["-c", PYTHON_SAYS]).ok_or("one without `venv` is there".to_owned())
                });
                old("Python 3.11 or newer with `venv`", found, OLDEST_PYTHON, packages)
            }
            Tool::Node => {
                let found = self.program("node").map(|own| {
                    says(&own, &["--version"]).ok_or("one that does not run is there".to_owned())
                });
                old("Node.js 20.19 or newer", found, OLDEST_NODE, &["nodejs"])
            }
            Tool::Npm => absent("npm").then(|| ("npm".to_owned(), &["npm"][..])),
            Tool::Chromium => self.chromium().is_none().then(|| {
                let what = self.chromium.as_ref().map_or_else(
                    || "Chromium (or its place in CHROMIUM)".to_owned(),
                    |named| {
                        format!(
                            "Chromium (CHROMIUM names `{}`, which is not there)",
                            named.display()
                        )
                    },
                );
                (what, &["chromium"][..])
            }),
        }
    }
}

/// One line that says all that is missing and how to install it; nothing where all is there.
pub(crate) fn missing(tools: &[Tool], search: &Search) -> Option<String> {
    let lacking: Vec<_> = tools.iter().filter_map(|tool| search.lacks(*tool)).collect();
    if lacking.is_empty() {
        return None;
    }
    let what: Vec<_> = lacking.iter().map(|(what, _)| what.as_str()).collect();
    let packages: Vec<_> = lacking.iter().flat_map(|(_, packages)| *packages).copied().collect();
    let node = if packages.contains(&"nodejs") {
        " (Node.js from its makers where the distribution's is older)"
    } else {
        ""
    };
    Some(format!(
        "missing for these checks: {}; on Debian or Ubuntu: apt-get install {}{node}",
        what.join(", "),
        packages.join(" ")
    ))
}

/// What is wrong with a program that has to be new enough.
fn old(
    wanted: &str,
    found: Option<Result<String, String>>,
    oldest: (u32, u32),
    packages: &'static [&'static str],
) -> Option<(String, &'static [&'static str])> {
    let what = match found {
        None => wanted.to_owned(),
        Some(Err(why)) => format!("{wanted} ({why})"),
        Some(Ok(version)) if version_of(&version) >= oldest => return None,
        Some(Ok(version)) => format!("{wanted} ({version} is there)"),
    };
    Some((what, packages))
}

fn version_of(text: &str) -> (u32, u32) {
    let mut parts = text.trim_start_matches('v').split('.').map(|part| part.parse().ok());
    (parts.next().flatten().unwrap_or(0), parts.next().flatten().unwrap_or(0))
}

fn says(program: &Path, words: &[&str]) -> Option<String> {
    output(Command::new(program).args(words)).ok().map(|said| said.trim().to_owned())
}

#[cfg(all(test, unix))]
mod tests {
    use std::fs;
    use std::os::unix::fs::PermissionsExt as _;

    use super::*;

    /// A search path of one folder in which each name answers with its words, or fails with none.
    fn machine(folder: &Path, programs: &[(&str, &str)]) -> Search {
        let _ = fs::remove_dir_all(folder);
        fs::create_dir_all(folder).expect("the tool is laid out");
        for (name, says) in programs {
            let path = folder.join(name);
            let script = if says.is_empty() { "exit 1".to_owned() } else { format!("echo {says}") };
            fs::write(&path, format!("#!/bin/sh\n{script}\n")).expect("the tool is laid out");
            fs::set_permissions(&path, fs::Permissions::from_mode(0o755))
                .expect("the tool is laid out");
        }
        Search::new(Some(folder.into()), None)
    }

    const WHOLE: [(&str, &str); 6] = [
        ("git", "2"),
        ("g++", "12"),
        ("python3", "3.11"),
        ("node", "v20.19.0"),
        ("npm", "10"),
        ("chromium-browser", "130"),
    ];

    #[test]
    fn what_is_missing_stands_in_one_line_with_the_command_that_brings_it() {
        let folder = std::env::temp_dir().join(format!("xtask-tools-{}", std::process::id()));
        let told = |programs: &[(&str, &str)]| missing(&ALL, &machine(&folder, programs));
        assert_eq!(told(&WHOLE), None);
        assert_eq!(
            told(&[]).unwrap(),
            "missing for these checks: git, a C++ compiler, Python 3.11 or newer with `venv`, Node.js 20.19 or newer, npm, Chromium (or its place in CHROMIUM); on Debian or Ubuntu: apt-get install git g++ python3 python3-venv nodejs npm chromium (Node.js from its makers where the distribution's is older)"
        );
        // Each by itself: what is left out, broken or old is named, and nothing else.
        for left in WHOLE {
            let others: Vec<_> = WHOLE.into_iter().filter(|own| *own != left).collect();
            let line = told(&others).unwrap();
            let begun = line.strip_prefix("missing for these checks: ").unwrap();
            assert!(
                !begun.contains('\n') && !begun.split(';').next().unwrap().contains(','),
                "{line}"
            );
        }
        for (name, says, expected) in [
            ("node", "v18.20.4", "(v18.20.4 is there)"),
            ("node", "", "(one that does not run is there)"),
            ("python3", "3.9", "(3.9 is there)"),
            ("python3", "", "(one without `venv` is there)"),
        ] {
            let with: Vec<_> = WHOLE
                .into_iter()
                .map(|own| if own.0 == name { (name, says) } else { own })
                .collect();
            let line = told(&with).unwrap();
            assert!(line.contains(expected), "{line}");
        }
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_browser_is_found_where_it_is_named_and_missed_where_it_is_not() {
        let folder = std::env::temp_dir().join(format!("xtask-browser-{}", std::process::id()));
        let mut search = machine(&folder, &WHOLE);
        let own = folder.join("chromium-browser");
        assert_eq!(search.chromium(), Some(own.clone()));
        for named in [own.clone(), PathBuf::from("chromium-browser")] {
            search.chromium = Some(named);
            assert_eq!(search.chromium(), Some(own.clone()));
        }
        search.chromium = Some(folder.join("nothing"));
        assert!(missing(&OF_THE_PAGE, &search).unwrap().contains("which is not there"));
        fs::remove_dir_all(&folder).unwrap();
    }
}
