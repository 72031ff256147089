//! From wood to remove to a set-up. Pure.

pub mod tools;
