//! Telling somebody how far the weighing is, and stopping when they wish.

use std::fmt;

/// Told the share of the work that is done, of the most that it can be; false stops it.
type Tell<'w> = Box<dyn FnMut(f64) -> bool + Send + 'w>;

/// Counts fits, which are what takes time.
#[derive(Default)]
pub(crate) struct Watch<'w> {
    tell: Option<Tell<'w>>,
    done: usize,
    most: usize,
    stopped: bool,
}

impl<'w> Watch<'w> {
    pub(crate) fn new(tell: impl FnMut(f64) -> bool + Send + 'w) -> Self {
        Self { tell: Some(Box::new(tell)), ..Self::default() }
    }

    /// From now on so many fits are to be made, at most.
    pub(crate) fn begin(&mut self, most: usize) {
        (self.done, self.most) = (0, most.max(1));
    }

    /// One more fit is to be made: false when it is not wanted any more.
    pub(crate) fn goes_on(&mut self) -> bool {
        self.done += 1;
        if let Some(tell) = self.tell.as_mut().filter(|_| !self.stopped) {
            let share = (self.done as f64 / self.most.max(1) as f64).min(1.0);
            self.stopped = !tell(share);
        }
        !self.stopped
    }

    pub(crate) fn stopped(&self) -> bool {
        self.stopped
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Watch").field("done", &self.done).field("most", &self.most).finish()
    }
}
