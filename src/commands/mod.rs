//! One file per subcommand, thin: parse, hand over, exit code.
