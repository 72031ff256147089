//! The event loop: terminal, clock, effects.
