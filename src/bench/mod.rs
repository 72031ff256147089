//! One session as a state machine: `update(state, message) -> effects`. No terminal, no files.
