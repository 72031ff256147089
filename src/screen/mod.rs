//! What is on the screen: `view(state, frame)`, keymap, theme, wording.
pub mod drawings;
pub mod theme;
