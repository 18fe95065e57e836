//! What was seen, felt or tried: stories of it alone.

mod tests;
