//! The page's files, as bytes inside of the program.

/// One file of the page.
#[derive(Debug, Clone, Copy)]
pub struct File {
    /// Its path below the page, such as `assets/app-1a2b.js`.
    pub path: &'static str,
    /// Its content.
    pub bytes: &'static [u8],
    /// A digest of its content, for caches.
    pub tag: &'static str,
}

include!(concat!(env!("OUT_DIR"), "/files.rs"));

/// The file with a path; nothing else than what was built in can be had.
#[must_use]
pub fn file(path: &str) -> Option<&'static File> {
    FILES.iter().find(|own| own.path == path)
}

/// Why the page was not built in, and how to get it: two sentences, or nothing when it is there.
#[must_use]
pub fn without() -> Option<String> {
    WITHOUT.map(|why| {
        format!(
            "This program was built without its page, because {why}. To get the page: install Node.js 20.19 or newer, which brings npm, and build again with `cargo build --release`."
        )
    })
}
