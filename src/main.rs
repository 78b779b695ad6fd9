//! Parse, hand over, exit code.

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    mealtide::commands::Cli::parse().run().into()
}
