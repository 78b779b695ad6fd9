//! The folders of the user.

use std::path::PathBuf;

use etcetera::BaseStrategy;

/// Where the user's own files are.
#[derive(Clone, Debug, Default)]
pub struct Lookup {
    /// The folder of `config.toml` and `kitchen.toml`.
    pub config: Option<PathBuf>,
    /// The folder that has the user's `dishes/`.
    pub data: Option<PathBuf>,
}

impl Lookup {
    /// The user's folders, by the XDG base directory specification: `$XDG_CONFIG_HOME/mealtide` (else
    /// `~/.config/mealtide`) and `$XDG_DATA_HOME/mealtide` (else `~/.local/share/mealtide`); a value that is empty
    /// or relative counts as unset. Without a home folder there are none.
    pub fn of_the_user() -> Self {
        match etcetera::choose_base_strategy() {
            Ok(places) => Self {
                config: Some(places.config_dir().join("mealtide")),
                data: Some(places.data_dir().join("mealtide")),
            },
            Err(_) => Self::default(),
        }
    }
}
