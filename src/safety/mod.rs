//! Temperatures, cooling, allergens, cautions. Tables in `assets/safety`, each row with its source.
