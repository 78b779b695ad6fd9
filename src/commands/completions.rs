//! `mealtide completions`: a completion script for a shell.

use super::{Cli, Outcome, print};

/// What to print.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The shell.
    shell: clap_complete::Shell,
}

/// Prints the script.
pub fn run(args: Args) -> Outcome {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::table(), "mealtide", &mut script);
    print(&String::from_utf8_lossy(&script))
}
