//! Files that are their owner's alone.
//!
//! Where the system knows permissions (Unix), files are begun as 0600. On Windows a file inherits who may read it
//! from its folder, and the usual one belongs to the user.

use std::io;
use std::path::{Path, PathBuf};

use tempfile::TempPath;

/// What the database puts beside its file, by what is added to its name.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// Begins an empty file for its owner alone where there is none; what cannot be begun is found out by
/// whoever opens it.
pub(crate) fn begin(path: &Path) {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let _ = options.open(path);
}

/// Takes a garage's files away from everybody but their owner.
///
/// A file system without permissions, or a file of somebody else's, stays as it is: there it can still be
/// read, which is better than not being opened.
pub(crate) fn tighten(path: &Path) {
    let beside = BESIDE.map(|more| {
        let mut name = path.as_os_str().to_owned();
        name.push(more);
        PathBuf::from(name)
    });
    for own in std::iter::once(path).chain(beside.iter().map(PathBuf::as_path)) {
        #[cfg(unix)]
        if let Ok(known) = own.metadata() {
            use std::os::unix::fs::PermissionsExt;
            let mode = known.permissions().mode();
            if known.is_file() && mode & 0o077 != 0 {
                let _ = std::fs::set_permissions(own, PermissionsExt::from_mode(mode & 0o700));
            }
        }
        #[cfg(not(unix))]
        let _ = own;
    }
}

/// An empty file in the same folder, its owner's alone, which goes unless it is [`put`].
pub(crate) fn beside(to: &Path) -> io::Result<TempPath> {
    let folder = to.parent().filter(|own| !own.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    Ok(builder.prefix(".copy-").suffix(".part").tempfile_in(folder)?.into_temp_path())
}

/// Gives a finished file its name, over nothing that is there.
pub(crate) fn put(file: TempPath, to: &Path) -> io::Result<()> {
    let Err(refused) = file.persist_noclobber(to) else { return Ok(()) };
    if refused.error.kind() == io::ErrorKind::AlreadyExists || to.exists() {
        return Err(refused.error);
    }
    // Some file systems know neither links nor a renaming that spares what is there.
    refused.path.persist(to).map_err(|error| error.error)
}
