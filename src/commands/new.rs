//! `mealtide new`: a commented dish or session to write on from, that passes `check`.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};

use clap::ValueEnum;

use super::{Outcome, complain, print};
use crate::menu::text;

const DISH: &str = include_str!("../../assets/new-dish.toml");
const SESSION: &str = include_str!("../../assets/new-session.toml");

/// What to write, and where.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A dish or a session.
    #[arg(value_enum)]
    kind: Kind,
    /// The file, which must not be there yet, '.toml' if it has no ending; '-' for standard output.
    file: PathBuf,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Kind {
    /// One dish.
    Dish,
    /// A meal.
    Session,
}

/// Writes the file.
pub fn run(args: Args) -> Outcome {
    let content = match args.kind {
        Kind::Dish => DISH,
        Kind::Session => SESSION,
    };
    if args.file.as_os_str() == "-" {
        return print(content);
    }
    // What is found by its name elsewhere ends in .toml.
    let file = match args.file.extension() {
        Some(_) => args.file,
        None => args.file.with_extension("toml"),
    };
    let shown = file.display().to_string();
    let shown = text::clean(&shown);
    if let Some(folder) = file.parent().filter(|f| !f.as_os_str().is_empty())
        && !folder.exists()
    {
        let folder = folder.display().to_string();
        return complain(&format!(
            "cannot write {shown}: there is no folder {}; make it first",
            text::clean(&folder)
        ));
    }
    match write_new(&file, content) {
        Ok(()) => print(&format!(
            "{shown} is written: change it, then  mealtide check {shown}\n"
        )),
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
            complain(&format!("{shown} is there already: give another name"))
        }
        Err(error) => complain(&format!("cannot write {shown}: {error}")),
    }
}

/// Never over a file that is there.
pub(super) fn write_new(path: &Path, content: &str) -> std::io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(content.as_bytes())?;
    file.sync_all()
}
