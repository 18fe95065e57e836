//! The clock: contenders take turns in batches long enough for it, and the middle batch counts.

use std::time::Instant;

/// A batch is at least this long, some ten thousand times what the clock resolves.
const SHORTEST_BATCH: f64 = 1e-3;

/// How many batches, for something that takes so many seconds.
fn batches(once: f64) -> usize {
    match once {
        _ if once < 2e-3 => 101,
        _ if once < 0.05 => 31,
        _ => 15,
    }
}

/// Seconds of one run: the middle of many batches, and the span of all but the outer tenths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Time {
    pub(crate) median: f64,
    pub(crate) quick: f64,
    pub(crate) slow: f64,
}

impl Time {
    /// Of the seconds of each batch, of which there must be one.
    pub(crate) fn of(mut seconds: Vec<f64>) -> Self {
        seconds.sort_by(f64::total_cmp);
        let at = |tenths: usize| seconds[(seconds.len() - 1) * tenths / 10];
        Self { median: at(5), quick: at(1), slow: at(9) }
    }
}

/// One of those who answer a question.
pub(crate) struct Contender<'a> {
    run: Box<dyn FnMut() + 'a>,
    repeats: u32,
    seconds: Vec<f64>,
}

impl<'a> Contender<'a> {
    pub(crate) fn new(run: impl FnMut() + 'a) -> Self {
        Self { run: Box::new(run), repeats: 1, seconds: Vec::new() }
    }

    fn batch(&mut self) -> f64 {
        let begin = Instant::now();
        for _ in 0..self.repeats {
            (self.run)();
        }
        begin.elapsed().as_secs_f64()
    }

    /// Finds how many runs make a batch, which also warms caches and branch prediction.
    fn warm(&mut self) -> f64 {
        loop {
            let seconds = self.batch();
            if seconds >= SHORTEST_BATCH {
                return seconds / f64::from(self.repeats);
            }
            self.repeats *= 2;
        }
    }
}

/// Times contenders in turns, batch by batch, so that what slows the machine slows them alike.
pub(crate) fn side_by_side<const N: usize>(mut contenders: [Contender<'_>; N]) -> [Time; N] {
    let longest = contenders.iter_mut().map(Contender::warm).fold(0.0, f64::max);
    for _ in 0..batches(longest) {
        for contender in &mut contenders {
            let seconds = contender.batch() / f64::from(contender.repeats);
            contender.seconds.push(seconds);
        }
    }
    contenders.map(|contender| Time::of(contender.seconds))
}

/// Times what may take seconds: at least three runs, and no more after a few seconds.
pub(crate) fn few(mut run: impl FnMut()) -> Time {
    const FEWEST: usize = 3;
    const MOST: usize = 31;
    const LONG_ENOUGH: f64 = 3.0;
    let mut seconds: Vec<f64> = Vec::new();
    run();
    while seconds.len() < FEWEST
        || (seconds.len() < MOST && seconds.iter().sum::<f64>() < LONG_ENOUGH)
    {
        let begin = Instant::now();
        run();
        seconds.push(begin.elapsed().as_secs_f64());
    }
    Time::of(seconds)
}

/// Times one thing alone.
pub(crate) fn alone(run: impl FnMut()) -> Time {
    let [time] = side_by_side([Contender::new(run)]);
    time
}
