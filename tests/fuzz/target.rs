//! A fuzz target: the one that the binary is named for.

#![no_main]

mod targets;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| targets::named(env!("CARGO_BIN_NAME"))(bytes));
