//! The log: append, verify, recover, read back, review. Owns the file.
