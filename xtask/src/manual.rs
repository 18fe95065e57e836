//! Manual pages and shell completions, written by the program itself.

use crate::project::{Complaints, Project, output};

const SHELLS: [&str; 3] = ["bash", "fish", "zsh"];

/// Writes the manual pages and the completions below the target folder.
pub(crate) fn write(project: &Project) -> Complaints {
    written(project).err().into_iter().collect()
}

fn written(project: &Project) -> Result<(), String> {
    let [pages, completions] = ["man", "completions"].map(|folder| project.target.join(folder));
    for folder in [&pages, &completions] {
        std::fs::create_dir_all(folder).map_err(|error| error.to_string())?;
    }
    let groundloom = ["run", "--quiet", "--locked", "--package", "cli", "--"];
    let run = |words: &[&str]| output(project.command("cargo").args(groundloom).args(words));
    run(&["manual", &pages.to_string_lossy()])?;
    println!("manual pages: {}", pages.display());
    for shell in SHELLS {
        let script = run(&["completions", shell])?;
        let file = completions.join(format!("groundloom.{shell}"));
        std::fs::write(&file, script).map_err(|error| error.to_string())?;
        println!("completions:  {}", file.display());
    }
    Ok(())
}
