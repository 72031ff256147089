//! Recording what was cut: the edge, the numbers large, the cautions in sight.

use crate::bench::recording::{Job, RecordCut};
use crate::bench::{Session, words};
use crate::fit::length::Show;
use crate::screen::drawings::BigText;
use crate::screen::parts::wrapped;
use crate::screen::screens::form;
use crate::screen::theme::{Role, Theme};
use crate::shop::event::TrimMeant;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Draws the screen.
pub fn draw(record: &RecordCut, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let show = session.shop.show();
    if let Some(form) = &record.otherwise {
        let above: Vec<_> = record.job().map(|job| job_words(job, show)).into_iter().collect();
        form::draw("done otherwise", form, &above, theme, frame, area);
        return;
    }
    let width = usize::from(area.width).saturating_sub(3);
    let mut lines: Vec<(Role, String)> = Vec::new();
    for (place, job) in record.jobs.iter().enumerate() {
        let here = place == record.at;
        let mark = if here { ">" } else { " " };
        lines.push((if here { Role::Cursor } else { Role::Text }, format!("{mark} {}", job_words(job, show))));
    }
    lines.push((Role::Text, format!("by what means: {}", record.method_word())));
    for caution in words::CAUTIONS {
        lines.extend(wrapped(&format!("! {caution}"), width).into_iter().map(|line| (Role::Caution, line)));
    }
    let big_rows = area.height.saturating_sub(u16::try_from(lines.len()).unwrap_or(0) + 1);
    if let Some(Job::Trim(trim)) = record.job() {
        large(trim, show, theme, frame, Rect { height: big_rows, ..area });
    }
    for (y, (role, text)) in (area.y + big_rows..area.bottom()).zip(lines) {
        frame.render_widget(Line::styled(format!(" {text}"), theme.style(role)), Rect { y, height: 1, ..area });
    }
}

fn large(trim: &TrimMeant, show: Show, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let (low, high) = if trim.edge.is_upright() { ("lower", "upper") } else { ("left", "right") };
    let half = area.height / 2;
    for (row, (word, length)) in [(high, trim.end), (low, trim.start)].into_iter().enumerate() {
        let y = area.y + half * u16::try_from(row).unwrap_or(0);
        let big = BigText { text: format!("{word} {}", length.shown(show)), role: Some(Role::Next), theme };
        frame.render_widget(&big, Rect { x: area.x + 1, y, width: area.width.saturating_sub(1), height: half });
    }
}

fn job_words(job: &Job, show: Show) -> String {
    match job {
        Job::Trim(trim) => {
            let (low, high) = words::corner_labels(trim.edge);
            format!("{} {}: {} {low}, {} {high}", trim.leaf, trim.edge, trim.start.shown(show), trim.end.shown(show))
        }
        Job::Pack(pack) => {
            format!("{}: hinge at {}, moved out by {}", pack.leaf, pack.hinge.shown(show), pack.out.shown(show))
        }
    }
}
