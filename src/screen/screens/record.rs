//! A cut as a set-up sheet: the drawing, the numbers large, the cautions always in sight.

use crate::bench::recording::{Job, RecordCut, Typing};
use crate::bench::sheets::Sheet;
use crate::bench::{Session, after_words, hinge_words, sheet_facts, sheet_words, words};
use crate::cut::words::Caution;
use crate::fit::length::Show;
use crate::screen::drawings::Figures;
use crate::screen::parts::wrapped;
use crate::screen::screens::sheet_layout::{Lines, Parts, broken, put};
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
        put(&lines, theme, frame, area);
        return;
    };
    let parts = Parts {
        head: head(record, sheet, show, width, area.height >= ROOMY),
        picture: sheet_drawing::setup_picture(sheet, show, theme),
        strokes: sheet_drawing::strokes_picture(sheet, show, theme),
        figures: Figures { all: sheet_words::figures(sheet, show), theme },
        facts: [false, true].map(|tight| sheet_facts::facts(sheet, show, tight)),
        cautions: [
            cautions(sheet, width, Caution::text, true),
            cautions(sheet, width, |caution| caution.short_for(show.unit()), false),
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

/// The cautions, each on lines of its own or one after the other.
fn cautions(sheet: &Sheet, width: usize, text: impl Fn(Caution) -> &'static str, apart: bool) -> Lines {
    let all: Vec<&str> = sheet.sheet.cautions.iter().map(|&caution| text(caution)).collect();
    if apart {
        return broken(Role::Caution, all.iter().map(|text| format!("! {text}")), width);
    }
    broken(Role::Caution, [format!("! {}.", all.join("; "))], width)
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
    if record.jobs.iter().any(|job| matches!(job, Job::Trim(_))) {
        let cautions = Caution::WHEREVER_CUT.iter().map(|caution| format!("! {}", caution.text()));
        lines.extend(broken(Role::Caution, cautions, width));
    }
    lines
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
