//! What was measured, as a table that can be read on a terminal and in Markdown.

use crate::timer::Time;

/// Rows under a question, printed as they come.
#[derive(Debug)]
pub(crate) struct Table {
    ours: Option<f64>,
}

impl Table {
    /// Prints the head.
    pub(crate) fn new() -> Self {
        println!("| question | who | median | middle 80 % | ours / this | wish |");
        println!("| --- | --- | ---: | ---: | ---: | --- |");
        Self { ours: None }
    }

    /// Our own answer, with what was wished for in seconds; peers after it are compared with it.
    pub(crate) fn ours(&mut self, question: &str, time: Time, wish: Option<f64>) {
        self.ours = Some(time.median);
        let wish = wish.map_or_else(String::new, |wish| {
            let verdict = if time.median <= wish { "met" } else { "**missed**" };
            format!("{} {verdict}", seconds(wish))
        });
        self.row(question, "Groundloom", time, "", &wish);
    }

    /// A part of our own answer, or our answer to a question beside.
    pub(crate) fn aside(&mut self, question: &str, time: Time) {
        self.row(question, "Groundloom", time, "", "");
    }

    /// A peer's answer to the question before it, or why there is none.
    pub(crate) fn peer(&mut self, who: &str, time: Result<Time, String>) {
        match (time, self.ours) {
            (Ok(time), Some(ours)) => {
                self.row("", who, time, &format!("{:.2}", ours / time.median), "");
            }
            (Ok(time), None) => self.row("", who, time, "", ""),
            (Err(why), _) => println!("|  | {who} | {why} | | | |"),
        }
    }

    fn row(&mut self, question: &str, who: &str, time: Time, ratio: &str, wish: &str) {
        let Time { median, quick, slow } = time;
        println!(
            "| {question} | {who} | {} | {} to {} | {ratio} | {wish} |",
            seconds(median),
            seconds(quick),
            seconds(slow)
        );
    }
}

/// Three digits and a unit.
pub(crate) fn seconds(seconds: f64) -> String {
    let (number, unit) = match seconds {
        _ if seconds < 1e-6 => (seconds * 1e9, "ns"),
        _ if seconds < 1e-3 => (seconds * 1e6, "µs"),
        _ if seconds < 1.0 => (seconds * 1e3, "ms"),
        _ => (seconds, "s"),
    };
    let decimals = match number {
        _ if number < 9.995 => 2,
        _ if number < 99.95 => 1,
        _ => 0,
    };
    format!("{number:.decimals$} {unit}")
}
