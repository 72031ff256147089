//! How deep to go, and how many passes remain.
