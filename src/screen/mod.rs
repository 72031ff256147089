//! What is on the screen: `view(state, frame)`, keymap, theme, wording.
