//! Where a PulseAudio or PipeWire server listens, and the key that it asks for.

use std::path::{Path, PathBuf};

use crate::alert::Surroundings;

/// The length of a server's cookie; one that isn't known is sent as zeros, which servers that don't ask for it accept.
const COOKIE: usize = 256;

/// The sockets that exist, the likeliest first.
///
/// # Errors
/// When there is none.
pub(super) fn places(surroundings: &Surroundings) -> Result<Vec<PathBuf>, String> {
    if let Some(named) = surroundings.var("PULSE_SERVER") {
        return named_places(&named.to_string_lossy());
    }
    let home = surroundings.path("HOME");
    let mut candidates = Vec::new();
    candidates.extend(
        surroundings
            .path("PULSE_RUNTIME_PATH")
            .map(|path| path.join("native")),
    );
    candidates.extend(
        surroundings
            .path("XDG_RUNTIME_DIR")
            .map(|path| path.join("pulse/native")),
    );
    candidates.extend(home.into_iter().flat_map(runtime_links));
    let user = rustix::process::getuid().as_raw();
    candidates.push(format!("/run/user/{user}/pulse/native").into());
    candidates.push("/run/pulse/native".into());
    candidates.push("/mnt/wslg/PulseServer".into());
    candidates.retain(|path| path.exists());
    if candidates.is_empty() {
        Err("no PulseAudio or PipeWire server is running".into())
    } else {
        Ok(candidates)
    }
}

/// What `PULSE_SERVER` names: several, parted by spaces, each perhaps with "{machine}" before it.
fn named_places(named: &str) -> Result<Vec<PathBuf>, String> {
    let addresses = named
        .split_whitespace()
        .map(|address| match address.strip_prefix('{') {
            Some(rest) => rest.split_once('}').map_or(rest, |(_, address)| address),
            None => address,
        });
    let paths: Vec<PathBuf> = addresses
        .map(|address| address.strip_prefix("unix:").unwrap_or(address))
        .filter(|address| address.starts_with('/'))
        .map(PathBuf::from)
        .collect();
    if paths.is_empty() {
        return Err(format!(
            "PULSE_SERVER is {named:?}: only a socket on this machine is spoken to"
        ));
    }
    Ok(paths)
}

/// "~/.config/pulse/MACHINE-runtime/native".
fn runtime_links(home: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(home.join(".config/pulse")) else {
        return Vec::new();
    };
    entries
        .filter_map(Result::ok)
        .filter(|entry| entry.file_name().to_string_lossy().ends_with("-runtime"))
        .map(|entry| entry.path().join("native"))
        .collect()
}

/// The cookie of the user's server.
pub(super) fn cookie(surroundings: &Surroundings) -> Vec<u8> {
    let home = surroundings.path("HOME");
    let config = surroundings
        .path("XDG_CONFIG_HOME")
        .map(Path::to_owned)
        .or_else(|| home.map(|home| home.join(".config")));
    let files = [
        surroundings.path("PULSE_COOKIE").map(Path::to_owned),
        config.map(|config| config.join("pulse/cookie")),
        home.map(|home| home.join(".pulse-cookie")),
    ];
    let found = files
        .into_iter()
        .flatten()
        .find_map(|path| std::fs::read(path).ok());
    let mut cookie = found.unwrap_or_default();
    cookie.resize(COOKIE, 0);
    cookie
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_named_server_is_the_only_one() {
        let surroundings =
            Surroundings::default().with("PULSE_SERVER", "{abc}unix:/a/native tcp:host /b");
        assert_eq!(
            places(&surroundings).unwrap(),
            [PathBuf::from("/a/native"), "/b".into()]
        );
        let away = Surroundings::default().with("PULSE_SERVER", "tcp:kitchen:4713");
        assert!(places(&away).unwrap_err().contains("tcp:kitchen:4713"));
    }

    #[test]
    fn the_first_missing_path_does_not_end_the_search() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join("pulse")).unwrap();
        let native = folder.path().join("pulse/native");
        std::fs::write(&native, "").unwrap();
        let surroundings = Surroundings::default()
            .with("PULSE_RUNTIME_PATH", "/nonexistent")
            .with("XDG_RUNTIME_DIR", folder.path());
        assert_eq!(places(&surroundings).unwrap().first(), Some(&native));
    }

    #[test]
    fn a_cookie_has_its_length_in_any_case() {
        let folder = tempfile::tempdir().unwrap();
        let surroundings = Surroundings::default().with("HOME", folder.path());
        assert_eq!(cookie(&surroundings), [0; COOKIE]);
        std::fs::write(folder.path().join(".pulse-cookie"), [7; 300]).unwrap();
        assert_eq!(cookie(&surroundings), [7; COOKIE]);
    }
}
