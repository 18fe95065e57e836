//! Steps one after another: each says its name and time, and all failures are told again at the end.

use std::process::ExitCode;
use std::time::Instant;

use crate::project::Complaints;

/// The steps run so far.
#[derive(Debug, Default)]
pub(crate) struct Run {
    steps: usize,
    failures: Vec<(String, Complaints)>,
}

impl Run {
    /// Runs one step; a failure does not stop those after it.
    pub(crate) fn step(&mut self, name: &str, check: impl FnOnce() -> Complaints) {
        println!("── {name}");
        let start = Instant::now();
        let complaints = check();
        for complaint in &complaints {
            println!("{complaint}");
        }
        let verdict = if complaints.is_empty() { "well" } else { "FAILED" };
        println!("── {name}: {verdict}, {:.1} s\n", start.elapsed().as_secs_f64());
        self.steps += 1;
        if !complaints.is_empty() {
            self.failures.push((name.to_owned(), complaints));
        }
    }

    /// A step that could not begin.
    pub(crate) fn fail(&mut self, name: &str, complaint: String) {
        self.step(name, || vec![complaint]);
    }

    /// Tells how it went.
    pub(crate) fn close(self) -> ExitCode {
        if self.failures.is_empty() {
            println!("xtask: every step is well ({})", self.steps);
            return ExitCode::SUCCESS;
        }
        println!("xtask: {} of {} steps failed", self.failures.len(), self.steps);
        for (name, complaints) in &self.failures {
            println!("  {name}");
            for line in complaints.iter().flat_map(|complaint| complaint.lines()) {
                println!("    {line}");
            }
        }
        ExitCode::FAILURE
    }
}
