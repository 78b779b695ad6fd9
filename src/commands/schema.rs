//! `mealtide schema`: JSON Schemas of what the cook writes, for editors.

use clap::ValueEnum;

use super::{Outcome, complain, print};
use crate::menu::{keys, schema};

/// Of which file.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The kind of file.
    #[arg(value_enum, default_value_t = File::Session)]
    file: File,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum File {
    /// A meal.
    Session,
    /// A dish.
    Dish,
    /// A kitchen.
    Kitchen,
    /// The user's config.
    Config,
    /// The notes of the calls.
    Sounds,
}

/// Prints the schema.
pub fn run(args: Args) -> Outcome {
    let table = match args.file {
        File::Session => &keys::SESSION,
        File::Dish => &keys::DISH,
        File::Kitchen => &keys::KITCHEN,
        File::Config => &keys::CONFIG,
        File::Sounds => &keys::SOUNDS,
    };
    match serde_json::to_string_pretty(&schema::of(table)) {
        Ok(text) => print(&format!("{text}\n")),
        Err(error) => complain(&format!("cannot write the schema: {error}")),
    }
}
