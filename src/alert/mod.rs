//! What the kitchen hears: sound, speech, desktop notification, terminal bell. Obeys calls, decides nothing.
