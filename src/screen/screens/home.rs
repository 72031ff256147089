//! One opening: a large picture, and the next thing to do in large letters under it.

use crate::bench::{Session, words};
use crate::screen::drawings::BigText;
use crate::screen::parts::clipped;
use crate::screen::picture::{self, Measure};
use crate::screen::theme::{Role, Theme};
use crate::shop::replay::Stage;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Rows of the large letters, where the screen has them.
const LETTERS: u16 = 4;

/// Draws the opening.
pub fn draw(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let measure = Measure::of(opened, &session.shop.settings);
    let stage = opened.state.stage();
    let round = opened.last_read_round();
    let letters = if area.height >= 40 {
        8
    } else if area.height >= 15 {
        LETTERS
    } else {
        1
    };
    let words_rows = 1;
    let picture_rows = area.height.saturating_sub(letters + words_rows);
    let picture = picture::opening(opened, round.unwrap_or(1), measure, None, theme);
    frame.render_widget(&picture, Rect { height: picture_rows, ..area });
    let role = if matches!(stage, Stage::Fitted { .. }) { Role::Right } else { Role::Next };
    let line = Rect { y: area.y + picture_rows, height: words_rows, ..area };
    let state = round.and_then(|round| opened.worst(round).map(|worst| (round, worst))).map_or_else(
        || "nothing read yet".to_owned(),
        |(round, worst)| {
            let tolerance = opened.state.tolerance.unwrap_or(session.shop.settings.tolerance);
            format!("round {round}: worst {}", words::miss(worst.miss, tolerance, measure.show))
        },
    );
    let text = format!(" {state}.  Next: {}", words::next_long(stage));
    frame.render_widget(Line::styled(clipped(&text, area.width.into()), theme.style(Role::Text)), line);
    let big = BigText { text: words::next(stage), role: Some(role), theme };
    frame.render_widget(&big, Rect { y: line.y + 1, height: letters, ..area });
}
