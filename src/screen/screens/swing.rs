//! How a leaf swings for each place of its hinge pin: the chosen one drawn to scale from above.

use super::before::{Lines, fields, put, roled};
use super::home;
use crate::bench::Session;
use crate::bench::pins::SwingScreen;
use crate::bench::prepare::swinging::{self, LeafSwing};
use crate::bench::prepare::told::{self, Told, Weight};
use crate::fit::length::Show;
use crate::screen::drawings::SwingPicture;
use crate::screen::parts::wrapped;
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;

/// Rows below which nothing is drawn.
const LEAST_PICTURE: u16 = 5;

/// Draws the screen.
pub fn draw(screen: &SwingScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let show = session.shop.show();
    if let Some(form) = &screen.typing {
        fields(form, theme, frame, area);
        return;
    }
    let (swings, missing) = swinging::swings(&opened.state);
    let mut lines: Lines = Vec::new();
    let shown = screen.shown(&opened.state);
    let leaf = swings.iter().find(|swing| Some(swing.leaf.as_str()) == shown);
    if let Some(leaf) = leaf {
        lines.extend(cases(leaf, screen.at, show, area.width));
    }
    let missing = missing.iter().map(|(leaf, why)| Told {
        weight: if Some(leaf.as_str()) == shown { Weight::Next } else { Weight::Quiet },
        text: format!("{leaf} {why}"),
    });
    lines.extend(roled(&missing.collect::<Vec<_>>(), area.width));
    let others = swinging::hinged(&opened.state).into_iter().filter(|other| Some(*other) != shown);
    let others = others.collect::<Vec<_>>().join(", ");
    if !others.is_empty() {
        lines.push((Role::Quiet, format!("other leaves: {others} (Left and Right)")));
    }
    lines.push((Role::Quiet, "usual pin places are starting values: measure your own hinge (m)".to_owned()));
    let bevelled =
        |leaf: &LeafSwing| leaf.cases.iter().any(|case| case.swing.as_ref().is_ok_and(|swing| swing.bevel.is_some()));
    let area = if leaf.is_some_and(bevelled) { home::cautioned(theme, frame, area) } else { area };
    let rows = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(area.height);
    put(&lines, theme, frame, Rect { height: rows, ..area });
    let rest = Rect { y: area.y + rows, height: area.height - rows, ..area };
    if let (Some(leaf), true) = (leaf, rest.height > LEAST_PICTURE) {
        picture(leaf, screen.at, show, theme, frame, rest);
    }
}

/// The leaf, then each place of its pin, the chosen one marked.
fn cases(leaf: &LeafSwing, at: usize, show: Show, width: u16) -> Lines {
    let room = usize::from(width).saturating_sub(6);
    let mut lines = Lines::new();
    for (place, case) in leaf.cases.iter().enumerate() {
        let one = LeafSwing { cases: vec![case.clone()], ..leaf.clone() };
        let told = told::swing(&one, show);
        let mut told = told.iter();
        if let Some(head) = told.next().filter(|_| place == 0) {
            lines.extend(roled(std::slice::from_ref(head), width));
        }
        for (row, text) in told.flat_map(|one| wrapped(&one.text, room)).enumerate() {
            let mark = if row == 0 && place == at { '>' } else { ' ' };
            let role = if place == at { Role::Cursor } else { Role::Text };
            lines.push((role, format!("{mark} {text}")));
        }
    }
    lines
}

fn picture(leaf: &LeafSwing, at: usize, show: Show, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(case) = leaf.cases.get(at) else { return };
    let Ok(swing) = &case.swing else { return };
    let drawn = SwingPicture {
        width: leaf.width.inches(),
        thickness: leaf.thickness.inches(),
        gap: leaf.latch_gap.inches(),
        pin: (case.pin.off_edge.inches(), case.pin.in_front.inches()),
        bevel: swing.bevel.map(|bevel| bevel.depth.get()),
        theme,
    };
    let pin = |length: crate::fit::length::Length| length.shown(show);
    let text = format!(
        "from above, face up, hinge left; pin {} off the edge, {} in front",
        pin(case.pin.off_edge),
        pin(case.pin.in_front)
    );
    let text: Lines =
        wrapped(&text, usize::from(area.width).saturating_sub(2)).into_iter().map(|line| (Role::Quiet, line)).collect();
    let rows = u16::try_from(text.len()).unwrap_or(u16::MAX).min(area.height);
    put(&text, theme, frame, Rect { height: rows, ..area });
    frame.render_widget(
        &drawn,
        Rect { x: area.x + 1, y: area.y + rows, width: area.width.saturating_sub(2), height: area.height - rows },
    );
}
