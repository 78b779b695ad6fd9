//! `mealtide man`: the manual page, in roff.

use clap_mangen::roff::{Roff, bold, roman};

use super::{Cli, Outcome, complain, print};
use crate::screen::Keys;

/// Nothing to choose.
#[derive(Debug, clap::Args)]
pub struct Args {}

/// Prints one page that has every subcommand with its options.
pub fn run(_: Args) -> Outcome {
    let mut page = Vec::new();
    let table = Cli::table();
    let mut rendered = clap_mangen::Man::new(table.clone()).render(&mut page);
    for command in table.get_subcommands() {
        let name = format!("mealtide-{}", command.get_name());
        rendered = rendered
            .and_then(|()| clap_mangen::Man::new(command.clone().name(name)).render(&mut page));
    }
    let rendered = rendered.and_then(|()| keys().to_writer(&mut page));
    match rendered {
        Ok(()) => print(&String::from_utf8_lossy(&page)),
        Err(error) => complain(&format!("cannot render the manual page: {error}")),
    }
}

/// The keys, from their one table.
fn keys() -> Roff {
    let mut roff = Roff::default();
    roff.control("SH", ["KEYS"]);
    for binding in Keys::shipped().table() {
        let keys: Vec<String> = binding.chords.iter().map(ToString::to_string).collect();
        roff.control("TP", []);
        roff.text([
            bold(keys.join(" ")),
            roman(format!(" ({})", binding.place.words())),
        ]);
        roff.text([roman(&binding.help)]);
    }
    roff
}
