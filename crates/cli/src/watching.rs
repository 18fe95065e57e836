//! Long work watched: a bar once it lasts a second, and Ctrl-C that keeps what was found so far.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use answers::room::Progress;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Work shorter than this shows no bar.
const PATIENCE: Duration = Duration::from_secs(1);
/// Steps of a bar.
const STEPS: u64 = 1000;

/// Watches one piece of work after another.
pub(crate) struct Watcher {
    stopped: Arc<AtomicBool>,
    began: Instant,
    bar: Option<ProgressBar>,
}

impl Watcher {
    /// Begins to watch; from now on Ctrl-C asks the work to stop instead of ending the program. A
    /// second Ctrl-C ends it all the same.
    pub(crate) fn new() -> Self {
        let stopped = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&stopped);
        // Where no handler can be had, Ctrl-C ends the program as it always did.
        let _ = ctrlc::set_handler(move || {
            if flag.swap(true, Ordering::Relaxed) {
                // Asked twice; 130 is what a shell expects then.
                std::process::exit(130);
            }
        });
        #[expect(clippy::disallowed_methods, reason = "how long a person has waited")]
        let began = Instant::now();
        Self { stopped, began, bar: None }
    }

    /// Tells how far the work is; false when it is to stop.
    pub(crate) fn tell(&mut self, Progress { what, share }: Progress) -> bool {
        if self.bar.is_none() && self.began.elapsed() > PATIENCE {
            self.bar = Some(bar());
        }
        if let Some(bar) = &self.bar {
            bar.set_message(what);
            bar.set_length(STEPS);
            bar.set_position((share.clamp(0.0, 1.0) * STEPS as f64) as u64);
        }
        !self.stopped.load(Ordering::Relaxed)
    }
}

impl Drop for Watcher {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

/// A bar on standard error; nothing is drawn where that is no terminal.
fn bar() -> ProgressBar {
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
    let template = "{msg} {bar:30} {percent} %, {eta} left; Ctrl-C keeps what was found";
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    bar
}
