//! `shop`: the shopping list of one or several sessions.

use std::path::PathBuf;

use super::{Outcome, faults, print, source};
use crate::measure::units::Units;
use crate::menu::shop::{self, Pantry};
use crate::menu::{Diagnostics, Loaded, builtin, files};

/// Print one shopping list over all dishes of one or several sessions.
///
/// Amounts are for each session's guests, merged, by section of a market, with who needs what. A pantry file says
/// what is in the house already:
///
///   have.butter = "250 g"
///   have.salt = "plenty"
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub struct Args {
    /// Session files, or names of built-in ones [default: midwinter-supper].
    #[arg(value_name = "SESSION")]
    sessions: Vec<PathBuf>,
    /// As Markdown with check boxes.
    #[arg(long, conflicts_with = "json")]
    markdown: bool,
    /// As JSON.
    #[arg(long)]
    json: bool,
    /// What is in the house already: a TOML file with a table 'have' of items and amounts.
    #[arg(long, value_name = "FILE")]
    pantry: Option<PathBuf>,
    /// Show the other system beside the author's units.
    #[arg(long, value_enum, default_value = "author")]
    units: Units,
}

/// Prints the list.
pub fn run(args: Args) -> Outcome {
    let mut loaded: Vec<Loaded> = Vec::new();
    let mut outcome = Outcome::Well;
    let mut take = |read: Result<Loaded, Diagnostics>| match read {
        Ok(session) => loaded.push(session),
        Err(found) => outcome = faults::tell(&found, false),
    };
    if args.sessions.is_empty() {
        builtin::SESSIONS
            .iter()
            .take(1)
            .for_each(|session| take(session.load()));
    }
    args.sessions
        .iter()
        .for_each(|path| take(source::read(path)));
    let pantry = match args.pantry.as_deref().map(pantry) {
        None => Pantry::default(),
        Some(Ok(pantry)) => pantry,
        Some(Err(found)) => return faults::tell(&found, false),
    };
    if outcome != Outcome::Well {
        return outcome;
    }
    let sessions: Vec<_> = loaded.iter().map(|l| &l.session).collect();
    let list = shop::list(&sessions, &pantry, args.units);
    if args.json {
        print(&format!("{:#}\n", shop::json(&list)))
    } else if args.markdown {
        print(&shop::markdown(&list))
    } else {
        print(&shop::text(&list))
    }
}

fn pantry(path: &std::path::Path) -> Result<Pantry, Diagnostics> {
    let name = path.display().to_string();
    let whole = |why: String| Diagnostics::whole_file(&name, why);
    let bytes = files::read_bounded(path).map_err(|why| whole(format!("can't be read: {why}")))?;
    Pantry::read(&name, &bytes)
}
