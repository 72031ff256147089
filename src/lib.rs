//! Evenreveal: fits inset doors and drawer fronts to an even reveal.
//!
//! # Codemap
//! - [`fit`]: the model: lengths, openings, readings, the gap network, plans, the estimate carried
//!   between rounds, how deep to go. Imports nothing else of ours.
//! - [`cut`]: from wood to remove to a set-up: pads, fence, sled, strokes, order, refusals.
//! - [`before`]: before the gap is final: survey, blank, film, season, swing, flush and wind.
//! - [`practice`]: a made-up door to practise on: its truth, feelers, saw and plane. Knows of no plan.
//! - [`shop`]: settings and the append-only log of each opening. The only code that touches files.
//! - [`contract`]: the JSON spoken by `solve` and `plan`.
//! - [`mod@bench`]: one session as a state machine: `update(state, message) -> effects`.
//! - [`paper`]: the fit card and the shop sheet: pages as values, written as SVG or PDF.
//! - [`screen`]: `view(state, frame)`, the keymap table, the theme, every word on the screen.
//! - [`shell`]: event loop, clock, terminal; runs effects.
//! - [`cli`]: commands without a screen.
//!
//! # Invariants
//! - `fit`, `cut`, `before` and `practice` never read a file, a clock, the environment, a terminal or a random
//!   number: equal inputs give equal outputs.
//! - `bench` never touches a file or a terminal; it returns effects as data.
//! - No code outside `shop` opens a file of the shop; no code outside `shell` and `cli` reads a clock.
//! - A length is exact outside the solver; `f64` inches live inside `fit` only and leave it in the
//!   newtypes [`fit::length::Inches`] and [`fit::length::Radians`].
//! - Nothing derived is stored in a shop: state is what replaying the events gives. What was worked out is noted
//!   beside it ([`shop::figures`]), under the fingerprint of all it rests on, and may be thrown away at any time.
//! - No input panics.
//!
//! `tests/houserules.rs` checks what of this a test can check.

pub mod before;
pub mod bench;
pub mod cli;
pub mod contract;
pub mod cut;
pub mod fit;
pub mod paper;
pub mod practice;
pub mod screen;
pub mod shell;
pub mod shop;
