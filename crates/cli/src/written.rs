//! Writing new files: whole or not at all, over nothing that is there; and paths as text.

use std::io::{self, Write as _};
use std::path::Path;

use crate::answer::Failure;
use crate::vehicle_file::why;

/// Who may read a new file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum For {
    /// Whoever may read this user's other files.
    Anybody,
    /// This user alone, where the system knows that.
    Owner,
}

/// Writes a new file. It has its name only once it is whole, so that a full disk or an end halfway leaves
/// nothing in the way of the next attempt.
pub(crate) fn write_new(path: &Path, bytes: &[u8], reader: For) -> io::Result<()> {
    if path.symlink_metadata().is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let folder = path.parent().filter(|own| !own.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".new-").suffix(".part");
    #[cfg(unix)]
    let any: std::fs::Permissions = std::os::unix::fs::PermissionsExt::from_mode(0o666);
    #[cfg(unix)]
    if reader == For::Anybody {
        // Less what the user's own mask takes away, as for any new file.
        builder.permissions(any);
    }
    let _ = reader;
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    let Err(refused) = file.into_temp_path().persist_noclobber(path) else { return Ok(()) };
    if refused.error.kind() == io::ErrorKind::AlreadyExists || path.exists() {
        return Err(refused.error);
    }
    // Some file systems know neither links nor a renaming that spares what is there.
    refused.path.persist(path).map_err(|error| error.error)
}

/// Why a new file cannot be written, and what would be right.
pub(crate) fn not_written(path: &Path, error: &io::Error) -> Failure {
    let expected = match error.kind() {
        io::ErrorKind::AlreadyExists => "the name of a file that does not exist yet",
        io::ErrorKind::StorageFull => "a disk with room for it",
        _ => "a folder that exists and that you may write to",
    };
    Failure::new(format!("{}: {}", path.display(), why(error)), expected)
}

/// A path as text for programs and for the garage. What is no text in it is written `\xFE`, so that two paths do not
/// look alike.
pub(crate) fn path_text(path: &Path) -> String {
    let mut text = String::new();
    for part in path.as_os_str().as_encoded_bytes().utf8_chunks() {
        text.push_str(part.valid());
        for byte in part.invalid() {
            text.push_str(&format!("\\x{byte:02X}"));
        }
    }
    text
}
