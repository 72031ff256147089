//! A cut as a set-up sheet: the drawing, the numbers large, the cautions always in sight.

use crate::bench::recording::{Job, RecordCut, Typing};
use crate::bench::sheets::Sheet;
use crate::bench::{Session, after_words, hinge_words, sheet_facts, sheet_words, words};
use crate::cut::words::Caution;
use crate::fit::length::Show;
use crate::screen::drawings::Figures;
use crate::screen::parts::wrapped;
use crate::screen::screens::sheet_layout::{Lines, Parts, broken, put, rows};
use crate::screen::screens::{form, sheet_drawing};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;

/// Rows of a screen below which the order's reason gives way to the numbers; it stands behind `?`.
const ROOMY: u16 = 24;

/// Draws the screen.
pub fn draw(record: &RecordCut, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let show = session.shop.show();
    if let Some(typing) = &record.typing {
        let of_sheet = record.sheet.as_ref().map(|sheet| sheet_words::trim(sheet, show));
        let above = of_sheet.or_else(|| record.job().map(|job| job_words(job, session)));
        let measures = record.sheet.as_deref().filter(|_| matches!(typing, Typing::Fact(..)));
        let above = above.into_iter().chain(measures.and_then(after_words::measure_it_now));
        let width = usize::from(area.width).saturating_sub(4);
        let above: Vec<_> = above.flat_map(|text| wrapped(&text, width)).collect();
        let title = match typing {
            Typing::Fact(fact, _) => fact.title(),
            Typing::Otherwise(_) => "done otherwise",
        };
        form::draw(title, typing.form(), &above, theme, frame, area);
        return;
    }
    let width = usize::from(area.width).saturating_sub(3);
    let Some(sheet) = &record.sheet else {
        let lines = without_sheet(record, session, width);
        let cautions = usual_cautions(record, show, width, area.height.saturating_sub(rows(&lines)));
        // Whatever else must give way, the cautions do not.
        let above = area.height.saturating_sub(rows(&cautions)).min(rows(&lines));
        put(&lines, theme, frame, Rect { height: above, ..area });
        put(&cautions, theme, frame, Rect { y: area.y + above, height: area.height - above, ..area });
        return;
    };
    let parts = Parts {
        head: head(record, sheet, show, width, area.height >= ROOMY),
        picture: sheet_drawing::setup_picture(sheet, show, theme),
        strokes: sheet_drawing::strokes_picture(sheet, show, theme),
        figures: Figures { all: sheet_words::figures(sheet, show), theme },
        facts: [false, true].map(|tight| sheet_facts::facts(sheet, show, tight)),
        cautions: [
            broken(Role::Caution, sheet.sheet.cautions.iter().map(|caution| format!("! {}", caution.text())), width),
            broken(Role::Caution, [Caution::in_short(&sheet.sheet.cautions, show.unit())], width),
        ],
    };
    parts.draw(theme, frame, area);
}

fn head(record: &RecordCut, sheet: &Sheet, show: Show, width: usize, roomy: bool) -> Lines {
    let place = (record.at, record.jobs.len());
    let title = sheet_words::headline(sheet, place, width.saturating_sub(2), show);
    let mut lines = broken(Role::Cursor, [format!("> {title}")], width);
    if let Some(why) = sheet_words::order(sheet).filter(|_| roomy && record.jobs.len() > 1) {
        lines.extend(broken(Role::Quiet, [format!("order: {why}")], width));
    }
    let which = after_words::once_cut(sheet).filter(|_| roomy);
    lines.extend(broken(Role::Text, which.map(|which| format!("set up {which}")), width));
    for text in sheet_words::in_brief(sheet, record.asked.method, width) {
        let role = if text.starts_with("REFUSED") { Role::Caution } else { Role::Title };
        lines.extend(broken(role, [text], width));
    }
    lines.extend(broken(Role::Caution, sheet_words::doubt(sheet), width));
    lines
}

/// A hinge to pack, or a cut for which there is no set-up.
fn without_sheet(record: &RecordCut, session: &Session, width: usize) -> Lines {
    let mut lines = Vec::new();
    for (place, job) in record.jobs.iter().enumerate() {
        let here = place == record.at;
        let (mark, role) = if here { (">", Role::Cursor) } else { (" ", Role::Text) };
        lines.extend(broken(role, [format!("{mark} {}", job_words(job, session))], width));
    }
    if let Some(why) = &record.no_sheet {
        lines.extend(broken(Role::Caution, [format!("! no set-up: {why}"), words::NO_SET_UP.to_owned()], width));
    }
    lines
}

/// Where a cut waits without a set-up, the cautions that hold for every cut; in a few words where `room` is short.
fn usual_cautions(record: &RecordCut, show: Show, width: usize, room: u16) -> Lines {
    if !record.jobs.iter().any(|job| matches!(job, Job::Trim(_))) {
        return Lines::new();
    }
    let full = Caution::WHEREVER_CUT.iter().map(|caution| format!("! {}", caution.text()));
    let full = broken(Role::Caution, full, width);
    if rows(&full) <= room {
        return full;
    }
    broken(Role::Caution, [Caution::in_short(&Caution::WHEREVER_CUT, show.unit())], width)
}

fn job_words(job: &Job, session: &Session) -> String {
    let show = session.shop.show();
    match job {
        Job::Trim(trim) => {
            let (low, high) = words::corner_labels(trim.edge);
            format!(
                "{} {}: {} {low}, {} {high}",
                trim.leaf,
                trim.edge,
                trim.start.shown_down(show),
                trim.end.shown_down(show)
            )
        }
        Job::Pack(pack) => hinge_words::pack(session.opened.as_ref(), &session.shop, pack),
    }
}
