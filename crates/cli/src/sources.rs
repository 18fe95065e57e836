//! Sources behind the numbers of an answer, numbered and told once each at its end.

use catalogue::{Confidence, Provenance};

use crate::style::{bold, wrapped};

/// The sources that an answer has named so far.
#[derive(Debug, Default)]
pub(crate) struct Sources(Vec<Provenance>);

impl Sources {
    /// The mark of a source, such as `[2]`; what nobody published says so beside it.
    pub(crate) fn mark(&mut self, provenance: &Provenance) -> String {
        let number = self.number(provenance);
        match provenance.confidence {
            Confidence::Unconfirmed | Confidence::CommonPractice | Confidence::Judgement => {
                format!("[{number}] {}", provenance.confidence)
            }
            Confidence::Confirmed | Confidence::Secondary | Confidence::Derived => {
                format!("[{number}]")
            }
        }
    }

    /// The mark where there is no room for a word: `[2]?` for what is unconfirmed.
    pub(crate) fn short_mark(&mut self, provenance: &Provenance) -> String {
        let number = self.number(provenance);
        let doubt = if provenance.confidence == Confidence::Unconfirmed { "?" } else { "" };
        format!("[{number}]{doubt}")
    }

    /// The number of a source, a new one for one that is new.
    fn number(&mut self, provenance: &Provenance) -> usize {
        let known = self.0.iter().position(|known| known == provenance);
        known.unwrap_or_else(|| {
            self.0.push(provenance.clone());
            self.0.len() - 1
        }) + 1
    }

    /// Every source that was marked, with how sure it is; empty when none was.
    pub(crate) fn list(&self, width: usize) -> String {
        if self.0.is_empty() {
            return String::new();
        }
        let mut text = format!("{}\n", bold("Sources"));
        for (index, provenance) in self.0.iter().enumerate() {
            let line =
                format!("[{}] {}: {}", index + 1, told(provenance.confidence), provenance.source);
            text.push_str(&wrapped(&line, width.saturating_sub(4), 4));
            text.push('\n');
        }
        text
    }
}

/// How sure a source is, in the words of the answer.
fn told(confidence: Confidence) -> &'static str {
    match confidence {
        Confidence::Confirmed => "confirmed",
        Confidence::Secondary => "secondary",
        Confidence::Derived => "derived",
        Confidence::CommonPractice => "common practice",
        Confidence::Judgement => "our judgement",
        Confidence::Unconfirmed => "UNCONFIRMED",
    }
}

#[cfg(test)]
mod laws {
    use super::*;

    fn provenance(source: &str, confidence: Confidence) -> Provenance {
        Provenance { source: source.to_owned(), confidence }
    }

    #[test]
    fn a_source_is_told_once_and_what_is_recalled_says_so_in_every_place() {
        let mut sources = Sources::default();
        let standard = provenance("IEC 60228:2004", Confidence::Secondary);
        let recalled = provenance("ISO 6722-1", Confidence::Unconfirmed);
        assert_eq!(sources.mark(&standard), "[1]");
        assert_eq!(sources.mark(&recalled), "[2] unconfirmed");
        assert_eq!(sources.mark(&standard), "[1]");
        let list = sources.list(80);
        assert_eq!(list.matches("IEC 60228:2004").count(), 1);
        assert!(list.contains("[2] UNCONFIRMED: ISO 6722-1"), "{list}");
    }

    #[test]
    fn an_answer_without_numbers_has_no_list_of_sources() {
        assert_eq!(Sources::default().list(80), "");
    }
}
