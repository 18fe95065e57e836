//! Cautions that concern a piece of work, under it.

use answers::told::{Told, cautions};
use catalogue::Caution;

use crate::answer::Asked;
use crate::render;

/// One paragraph each with where it comes from; nothing for none.
pub(crate) fn paragraphs(all: &[&'static Caution], asked: &Asked) -> String {
    let mut told = Told::default();
    cautions::told(&mut told, all);
    render::text(&told, asked)
}
