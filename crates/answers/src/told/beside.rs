//! What a page shows beside a thing: parts of what is said that no text has in its course.

use super::{Line, Paragraph, Part, Told};

impl Told {
    /// Adds a part that stands beside a thing and in no text; nothing where it says nothing.
    pub fn beside(&mut self, key: impl Into<String>, say: impl FnOnce(&mut Self)) {
        self.beside_titled(key, Line::new(), say);
    }

    /// Adds such a part with what a heading or a row calls it.
    pub fn beside_titled(
        &mut self,
        key: impl Into<String>,
        title: impl Into<Line>,
        say: impl FnOnce(&mut Self),
    ) {
        let mut own = Self::default();
        say(&mut own);
        let (key, title) = (key.into(), title.into());
        if !own.blocks.is_empty() {
            self.beside.push(Part { key, title, blocks: own.blocks });
        }
    }

    /// Adds what is said of a thing in a row with a head of its own.
    pub fn row(&mut self, head: &'static str, paragraph: Paragraph) {
        self.push(Paragraph { lead: vec![head.into()], ..paragraph });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_beside_is_in_no_text_and_nothing_said_is_no_part() {
        let mut told = Told::default();
        told.beside("nothing", |_| ());
        assert_eq!(told, Told::default());
        told.beside("notes.heat", |told| told.paragraph(say!("Still air.")));
        assert!(told.blocks.is_empty());
        let [part] = told.beside.as_slice() else { panic!("{told:?}") };
        assert_eq!(part.key, "notes.heat");
    }
}
