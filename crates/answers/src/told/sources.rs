//! Sources behind the numbers of an answer, numbered and told once each at its end.

use catalogue::{Confidence, Provenance};
use serde::Serialize;
use utoipa::ToSchema;

use super::{Line, Paragraph, Span, Told, strong};

/// By how many letters the lines of a source are set in behind its first.
const HANG: usize = 4;

/// The sources that an answer has named so far.
#[derive(Debug, Default)]
pub struct Sources(Vec<Provenance>);

impl Sources {
    /// The mark of a source, such as `[2]`; what nobody published says so beside it.
    pub fn mark(&mut self, provenance: &Provenance) -> Span {
        let number = self.number(provenance);
        match provenance.confidence {
            Confidence::Unconfirmed | Confidence::CommonPractice | Confidence::Judgement => {
                format!("[{number}] {}", provenance.confidence).into()
            }
            Confidence::Confirmed | Confidence::Secondary | Confidence::Derived => {
                format!("[{number}]").into()
            }
        }
    }

    /// The mark where there is no room for a word: `[2]?` for what is unconfirmed.
    pub fn short_mark(&mut self, provenance: &Provenance) -> Span {
        let number = self.number(provenance);
        let doubt = if provenance.confidence == Confidence::Unconfirmed { "?" } else { "" };
        format!("[{number}]{doubt}").into()
    }

    /// The number of a source, a new one for one that is new.
    fn number(&mut self, provenance: &Provenance) -> usize {
        let known = self.0.iter().position(|known| known == provenance);
        known.unwrap_or_else(|| {
            self.0.push(provenance.clone());
            self.0.len() - 1
        }) + 1
    }

    /// Tells every source that was marked, with how sure it is; nothing when none was.
    pub fn list(&self, told: &mut Told) {
        if self.0.is_empty() {
            return;
        }
        told.line(strong("Sources"));
        for (index, provenance) in self.0.iter().enumerate() {
            let sure = said(provenance.confidence);
            let words = say!("[{}] {}: {}", index + 1, sure, provenance.source.as_str());
            told.push(Paragraph::item(Line::new(), HANG, words).narrower(HANG));
        }
    }
}

/// How sure a source is, in the words of the answer.
fn said(confidence: Confidence) -> &'static str {
    match confidence {
        Confidence::Confirmed => "confirmed",
        Confidence::Secondary => "secondary",
        Confidence::Derived => "derived",
        Confidence::CommonPractice => "common practice",
        Confidence::Judgement => "our judgement",
        Confidence::Unconfirmed => "UNCONFIRMED",
    }
}

/// Where a value comes from, beside it in JSON: to be flattened into what it stands in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Sourced {
    /// The source.
    pub source: String,
    /// How sure it is.
    pub confidence: &'static str,
}

impl From<&Provenance> for Sourced {
    fn from(own: &Provenance) -> Self {
        Self { source: own.source.clone(), confidence: own.confidence.word() }
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::told::{Block, Line};

    fn provenance(source: &str, confidence: Confidence) -> Provenance {
        Provenance { source: source.to_owned(), confidence }
    }

    #[test]
    fn a_source_is_told_once_and_what_is_recalled_says_so_in_every_place() {
        let mut sources = Sources::default();
        let standard = provenance("IEC 60228:2004", Confidence::Secondary);
        let recalled = provenance("ISO 6722-1", Confidence::Unconfirmed);
        assert_eq!(sources.mark(&standard), "[1]".into());
        assert_eq!(sources.mark(&recalled), "[2] unconfirmed".into());
        assert_eq!(sources.mark(&standard), "[1]".into());
        let mut told = Told::default();
        sources.list(&mut told);
        let [_, first, second] = told.blocks.as_slice() else { panic!("{told:?}") };
        let Block::Paragraph(first) = first else { panic!("{first:?}") };
        let Block::Paragraph(second) = second else { panic!("{second:?}") };
        let text = |own: &Line| crate::told::written(own, units::UnitSystem::default());
        assert_eq!(text(&first.text), "[1] secondary: IEC 60228:2004");
        assert_eq!(text(&second.text), "[2] UNCONFIRMED: ISO 6722-1");
    }

    #[test]
    fn an_answer_without_numbers_has_no_list_of_sources() {
        let mut told = Told::default();
        Sources::default().list(&mut told);
        assert_eq!(told, Told::default());
    }
}
