//! A cut as a set-up sheet: the drawing, the numbers large, the cautions always in sight.

use crate::bench::recording::{Job, RecordCut, Typing};
use crate::bench::sheets::Sheet;
use crate::bench::{Session, hinge_words, sheet_words, words};
use crate::cut::setup::Setup;
use crate::cut::words::Caution;
use crate::fit::length::Show;
use crate::screen::drawings::Figures;
use crate::screen::parts::wrapped;
use crate::screen::screens::{form, sheet_drawing};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Rows that a drawing keeps at least.
const LEAST_DRAWING: u16 = 8;
/// Rows that a drawing without words in it keeps at least.
const LEAST_SKETCH: u16 = 5;
/// Rows of the smaller large letters.
const SMALL: u16 = 4;
/// Rows of a screen below which the order's reason gives way to the numbers; it stands behind `?`.
const ROOMY: u16 = 24;
/// Rows of a drawing beyond which it grows no more while words are still short.
const AMPLE_DRAWING: u16 = 18;

type Lines = Vec<(Role, String)>;

/// Draws the screen.
pub fn draw(record: &RecordCut, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let show = session.shop.show();
    if let Some(typing) = &record.typing {
        let of_sheet = record.sheet.as_ref().map(|sheet| sheet_words::trim(sheet, show));
        let above = of_sheet.or_else(|| record.job().map(|job| job_words(job, session)));
        let width = usize::from(area.width).saturating_sub(4);
        let above: Vec<_> = above.into_iter().flat_map(|text| wrapped(&text, width)).collect();
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
    let top = head(record, sheet, show, width, area.height >= ROOMY);
    let steps = broken(Role::Text, sheet_words::steps(sheet, show), width);
    let full = cautions(sheet, width, Caution::text, true);
    let short = cautions(sheet, width, |caution| caution.short_for(show.unit()), false);
    let rows = |lines: &Lines| u16::try_from(lines.len()).unwrap_or(u16::MAX);
    // Cautions come first, then the drawing, then the numbers large, then more words.
    let fixed = rows(&top).saturating_add(rows(&short));
    let left = |more: u16| area.height.saturating_sub(fixed).saturating_sub(more);
    let large = Figures { all: sheet_words::figures(sheet, show), theme };
    let wide = area.width.saturating_sub(2);
    let extra = rows(&full).saturating_sub(rows(&short));
    // Larger letters where the words, an ample drawing and the cautions in full still fit under them.
    let most = left(rows(&steps).saturating_add(extra).saturating_add(AMPLE_DRAWING));
    let larger = large.rows(wide, most).or_else(|| large.rows(wide, SMALL + 1));
    // Where there is no room for a drawing, the numbers stand over the words.
    let fits = |used: &u16| left(*used) >= LEAST_DRAWING.min(rows(&steps));
    let used = larger.filter(fits).unwrap_or(0);
    let has_drawing = left(used) >= LEAST_DRAWING;
    let mut body = Vec::new();
    // A drawing with fewer rows than this only says the words again.
    let least = if matches!(sheet.sheet.setup, Setup::Rip(_)) { LEAST_DRAWING } else { LEAST_SKETCH };
    if !has_drawing
        || !sheet_drawing::tells_all(sheet, show, area.width, left(used))
        || left(used + rows(&steps)) >= LEAST_DRAWING
    {
        body = steps;
    }
    let has_full = left(used + rows(&body) + extra) >= AMPLE_DRAWING;
    let has_words = !body.is_empty();
    let caution_lines = if has_full { full } else { short };
    let mut lines = top;
    lines.extend(body);
    // Whatever else must give way, the cautions do not.
    let room = area.height.saturating_sub(rows(&caution_lines));
    lines.truncate(usize::from(room));
    let words_rows = rows(&lines).min(room);
    put(&lines, theme, frame, Rect { height: words_rows, ..area });
    let mut y = area.y + words_rows;
    let mut middle = room.saturating_sub(words_rows);
    let height = used.min(middle);
    frame.render_widget(&large, Rect { x: area.x + 1, y, width: wide, height });
    y += height;
    middle = middle.saturating_sub(height);
    if !has_words || middle >= least {
        sheet_drawing::draw(sheet, show, theme, frame, Rect { y, height: middle, ..area });
    }
    let y = area.y + room;
    put(&caution_lines, theme, frame, Rect { y, height: area.bottom().saturating_sub(y), ..area });
}

fn put(lines: &Lines, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    for (y, (role, text)) in (area.y..area.bottom()).zip(lines) {
        frame.render_widget(Line::styled(format!(" {text}"), theme.style(*role)), Rect { y, height: 1, ..area });
    }
}

fn broken(role: Role, texts: impl IntoIterator<Item = String>, width: usize) -> Lines {
    texts.into_iter().flat_map(|text| wrapped(&text, width)).map(|line| (role, line)).collect()
}

fn head(record: &RecordCut, sheet: &Sheet, show: Show, width: usize, roomy: bool) -> Lines {
    let place = format!("{} of {}", record.at + 1, record.jobs.len());
    let mut lines = broken(Role::Cursor, [format!("> {place}: {}", sheet_words::trim(sheet, show))], width);
    if let Some(why) = sheet_words::order(sheet).filter(|_| roomy && record.jobs.len() > 1) {
        lines.extend(broken(Role::Quiet, [format!("order: {why}")], width));
    }
    for text in sheet_words::passes(sheet, show).into_iter().chain(sheet_words::chosen(sheet, record.asked.method)) {
        let role = if text.starts_with("REFUSED") { Role::Caution } else { Role::Title };
        lines.extend(broken(role, [text], width));
    }
    lines.extend(broken(Role::Caution, sheet_words::doubt(sheet), width));
    let mut left = vec![sheet_words::errors(sheet, show)];
    left.extend(sheet_words::not_measured(sheet));
    lines.extend(broken(Role::Text, [left.join("; ")], width));
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
