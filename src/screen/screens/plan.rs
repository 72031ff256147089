//! The plan: before and after side by side, and a line for each thing to do.

use super::plan_lines::{PlanLines, Told};
use crate::bench::planning::PlanScreen;
use crate::bench::{OpeningSeen, Session, rounds_words};
use crate::fit::length::Length;
use crate::fit::plan::Plan;
use crate::screen::drawings::{BeforeAfter, Removal};
use crate::screen::parts::clipped;
use crate::screen::picture::{self, Measure};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Rows below which there is no use in a picture.
const LEAST_PICTURE: u16 = 6;

/// Draws the plan.
pub fn draw(screen: &PlanScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let width = usize::from(area.width);
    let said = match &screen.answer {
        None => PlanLines::only(Role::Quiet, "working it out"),
        Some(Err(why)) => PlanLines::only(Role::Caution, why.to_string()),
        Some(Ok(_)) => words(screen, session).unwrap_or_default(),
    };
    let lines = said.fitted(width.saturating_sub(2), area.height.into());
    let rows = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(area.height);
    let picture_rows = area.height.saturating_sub(rows);
    if let (Some(plan), Some(opened)) = (screen.plan().filter(|_| picture_rows >= LEAST_PICTURE), &session.opened) {
        draw_pictures(screen, plan, opened, session, theme, frame, Rect { height: picture_rows, ..area });
    }
    for (y, (role, text)) in (area.y + picture_rows..area.bottom()).zip(lines) {
        let line = Line::styled(clipped(&format!(" {text}"), width), theme.style(role));
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
}

/// What the plan says, if there is one.
pub(super) fn words(screen: &PlanScreen, session: &Session) -> Option<PlanLines> {
    let stock = &session.shop.settings.stock;
    let named = |thickness: Length| stock.iter().find(|one| one.thickness == thickness).map(|one| one.name.clone());
    let (opened, show) = (session.opened.as_ref()?, session.shop.show());
    Some(PlanLines::of(Told { screen, opened, show, named: &named }, screen.look()?, screen.plan()?))
}

fn draw_pictures(
    screen: &PlanScreen,
    plan: &Plan,
    opened: &OpeningSeen,
    session: &Session,
    theme: Theme,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let measure = Measure::of(opened, &session.shop.settings);
    let mut before = picture::forecast(opened, screen.round, plan, false, measure, theme);
    let is_cut = opened.state.round(screen.round).is_some_and(|round| !round.cuts.is_empty());
    if is_cut {
        // What came off is not there to be taken again.
        before.removals.clear();
        "as read".clone_into(&mut before.title);
    } else {
        // As the lines below have it: what to take now, short of the pencil line.
        let taken = |end| rounds_words::removal(end, measure.show);
        before.removals = screen
            .cuts()
            .iter()
            .map(|cut| Removal {
                leaf: cut.leaf,
                edge: cut.edge,
                start: cut.aim[0].0,
                end: cut.aim[1].0,
                shown_start: taken(cut.aim[0]),
                shown_end: taken(cut.aim[1]),
            })
            .collect();
    }
    let after = picture::forecast(opened, screen.round, plan, true, measure, theme);
    frame.render_widget(&BeforeAfter { before, after }, area);
}
