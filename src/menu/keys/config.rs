use super::Table;

/// The user's config.toml.
pub static CONFIG: Table = Table {
    name: "a config",
    doc: "How this user likes it.",
    keys: &[],
};
