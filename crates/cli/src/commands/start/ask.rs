//! Asking one question at a time: prompts on standard error, answers from standard input.

use std::io::{BufRead, Write};

use answers::start::Back;

use crate::style::{bold, dim, to_terminal, wrapped};

/// So often is a question asked before its usual answer is taken.
const MOST_ASKED: usize = 3;
/// Whoever types more than this in one line does not answer a question.
const LONGEST_ANSWER: u64 = 4000;

/// Whoever is asked.
pub(crate) struct Asker {
    asks: bool,
    ended: bool,
    width: usize,
    /// What was typed and not understood, with the question.
    pub notes: Vec<String>,
}

impl Asker {
    /// `asks` is false when nothing is to be asked.
    pub(crate) fn new(asks: bool, width: usize) -> Self {
        Self { asks, ended: false, width, notes: Vec::new() }
    }

    /// True while there is somebody to ask.
    pub(crate) fn listens(&self) -> bool {
        self.asks && !self.ended
    }

    /// Shows something between two questions.
    pub(crate) fn show(&self, text: &str) {
        if self.asks {
            let mut err = anstream::stderr().lock();
            let _ = err.write_all(to_terminal(text).as_bytes());
            let _ = err.flush();
        }
    }

    /// One line; nothing at the end of the answers.
    pub(crate) fn line(&mut self, prompt: &str) -> Option<String> {
        if !self.listens() {
            return None;
        }
        self.show(&format!("{prompt} "));
        let mut bytes = Vec::new();
        let read = std::io::Read::take(std::io::stdin().lock(), LONGEST_ANSWER)
            .read_until(b'\n', &mut bytes);
        if !matches!(read, Ok(length) if length > 0) {
            self.ended = true;
            self.show("\n");
            return None;
        }
        let text = String::from_utf8_lossy(&bytes);
        Some(text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).collect())
    }

    /// Keeps what was not understood.
    pub(crate) fn keep(&mut self, question: &str, said: &str) {
        self.notes.push(format!("{question}: `{said}`"));
    }

    /// The word that answers a question; Enter takes the usual one. Whoever gives no answer that is
    /// understood, or none at all, is taken to have given the question's own.
    pub(crate) fn choose(&mut self, back: &Back) -> &'static str {
        let Back { question, choices, usual, otherwise, .. } = back;
        let otherwise = *otherwise;
        if !self.listens() {
            return otherwise;
        }
        let longest = choices.iter().map(|(word, _)| word.chars().count()).max().unwrap_or(0);
        let mut text = format!("\n{}\n", bold(question));
        for (number, (word, what)) in (1..).zip(choices) {
            let mark = if word == usual { "  (Enter)" } else { "" };
            let line = format!("{word:<longest$}  {what}{mark}");
            let line = wrapped_words(&line, self.width.saturating_sub(5), longest + 7);
            text.push_str(&format!("  {number}  {line}\n"));
        }
        self.show(&text);
        for _ in 0..MOST_ASKED {
            let Some(said) = self.line(">") else { return otherwise };
            if said.is_empty() {
                return usual;
            }
            if let Some(word) = back.understand(&said) {
                return word;
            }
            self.keep(question, &said);
            let help = format!(
                "`{said}` is none of these and is kept as a note. A number from 1 to {}, a word of the list, or Enter for `{usual}`.",
                choices.len()
            );
            self.show(&format!("{}\n", wrapped(&help, self.width, 0)));
        }
        self.show(&format!("{}\n", dim(format!("`{otherwise}` is taken."))));
        otherwise
    }
}

/// Wraps without losing the blanks between the first columns.
fn wrapped_words(line: &str, width: usize, indent: usize) -> String {
    if line.chars().count() <= width {
        return line.to_owned();
    }
    let (mut out, mut column) = (String::new(), 0);
    for word in line.split_inclusive(' ') {
        let length = word.chars().count();
        if column + word.trim_end().chars().count() > width && column > 0 {
            out.truncate(out.trim_end().len());
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            column = indent.saturating_sub(5);
        }
        out.push_str(word);
        column += length;
    }
    out
}
