//! House rules: who may depend on whom, how files look, and that every message is explained.

mod crates;
mod sources;
mod code;
mod problems;

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
            complaints.extend(files.iter().flat_map(sources::complaints));
            match project.read(problems::EXPLAINED) {
                Ok(explained) => complaints.extend(problems::complaints(&files, &explained)),
                Err(complaint) => complaints.push(complaint),
            }
        }
        Err(complaint) => complaints.push(complaint),
    }
    complaints
}
