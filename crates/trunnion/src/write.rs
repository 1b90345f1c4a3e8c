//! Writes files whole or not at all.

use std::fs;
use std::io::Write;
use std::path::Path;

/// Writes a file beside its place and then moves it there.
///
/// # Errors
/// Those of the file system; the file is then as it was.
pub fn whole(path: &Path, text: &str) -> std::io::Result<()> {
    let folder = path.parent().filter(|it| !it.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = folder.join(format!(".{name}.{}.part", std::process::id()));
    let result = write_and_move(&beside, path, text);
    if result.is_err() {
        let _ = fs::remove_file(&beside);
    }
    result
}

fn write_and_move(beside: &Path, path: &Path, text: &str) -> std::io::Result<()> {
    // What an earlier run left there is taken away, never written through: it may be a link.
    let _ = fs::remove_file(beside);
    let mut file = fs::File::create_new(beside)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    if let Ok(before) = fs::metadata(path) {
        fs::set_permissions(beside, before.permissions())?;
    }
    fs::rename(beside, path)
}
