//! How a leaf hangs: its hinges, what each may be moved, and what that leaves to do.

use crate::bench::Session;
use crate::bench::hinging::{HingeEntry, hangable};
use crate::contract::hinges;
use crate::fit::length::Show;
use crate::fit::opening::{Hanging, Motion, Side};
use crate::screen::screens::form;
use crate::screen::theme::Theme;
use ratatui::Frame;
use ratatui::layout::Rect;

/// Draws the screen.
pub fn draw(entry: &HingeEntry, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let state = &opened.state;
    let Some(id) = entry.id(state) else { return };
    let show = session.shop.show();
    let side = match state.hinge_of(id) {
        Some(Side::Right) => "right",
        _ => "left",
    };
    let several = hangable(state).len();
    let place = if several > 1 { format!(" ({} of {several})", entry.leaf + 1) } else { String::new() };
    let title = format!("how {id} hangs{place}, on its {side}");
    let mut above = Vec::new();
    match (state.latest(), state.motion_at(id, u32::MAX)) {
        (_, Motion::Hung(hanging)) => above.extend(stands(&hanging, show)),
        (Some(round), _) if round.is_read() => {
            above.push(format!("round {} was read loose; once it hangs the gaps are read again", round.number));
        }
        _ => above.push("not hung yet".to_owned()),
    }
    form::draw(&title, &entry.form, &above, theme, frame, area);
}

/// How far each hinge was moved since its range was told.
fn stands(hanging: &Hanging, show: Show) -> Vec<String> {
    let mut moved: Vec<String> = Vec::new();
    for &hinge in &hanging.hinges {
        let out = hanging.there_at(hinge);
        if !out.is_zero() {
            let (way, by) = if out.is_negative() { ("in", out.abs()) } else { ("out", out) };
            moved.push(format!("{} {way} by {}", hinges::hinge_word(hanging, hinge, show), hinges::small(by, show)));
        }
    }
    if !hanging.up.is_zero() {
        let (way, by) = if hanging.up.is_negative() { ("lowered", hanging.up.abs()) } else { ("raised", hanging.up) };
        moved.push(format!("{way} by {}", hinges::small(by, show)));
    }
    if moved.is_empty() {
        return vec!["its hinges were not moved since this was told".to_owned()];
    }
    vec![format!("since this was told: {}", moved.join(", "))]
}
