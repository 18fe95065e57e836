//! House rules: who may depend on whom, which modules use each other, how files look, and that no public
//! function is there for its tests alone, and that the command line makes no answer.

mod crates;
mod circles;
mod sources;
mod code;
mod callers;
mod terminal;

use crate::project::{Complaints, Project};

/// Checks every rule; complaints come in the order of the rules.
pub(crate) fn tidy(project: &Project) -> Complaints {
    let mut complaints = Complaints::new();
    match project.metadata("Cargo.toml") {
        Ok(metadata) => complaints.extend(crates::directions(&metadata)),
        Err(complaint) => complaints.push(complaint),
    }
    match project.read("ARCHITECTURE.md") {
        Ok(map) => complaints.extend(crates::map(&map)),
        Err(complaint) => complaints.push(complaint),
    }
    match project.read("README.md") {
        Ok(readme) => complaints.extend(sources::readme(&readme)),
        Err(complaint) => complaints.push(complaint),
    }
    match project.text_files() {
        Ok(files) => {
            let tests = code::test_files(&files);
            for file in &files {
                let is_test = tests.contains(&file.path);
                complaints.extend(sources::complaints(file, is_test));
                complaints.extend(terminal::complaints(file, is_test));
            }
            complaints.extend(circles::complaints(&files, &tests));
            complaints.extend(callers::complaints(&files, &tests));
        }
        Err(complaint) => complaints.push(complaint),
    }
    complaints
}
