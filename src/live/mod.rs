//! The session as it happens: event, state, call. Pure: no clock, no I/O, no threads.
