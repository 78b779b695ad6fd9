//! `mealtide man`: the manual page, in roff.

use super::{Cli, Outcome, complain, print};

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
    match rendered {
        Ok(()) => print(&String::from_utf8_lossy(&page)),
        Err(error) => complain(&format!("cannot render the manual page: {error}")),
    }
}
