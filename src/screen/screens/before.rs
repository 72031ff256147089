//! What comes before hanging: survey, blank, gap through the year, swing, flush and wind, the whole shop's
//! cut list and assignment.

use super::help::{first_of, turning};
use super::home;
use crate::before::blank::LENGTHS;
use crate::before::survey::Shape;
use crate::bench::before_pages::{Whole, WholeShop, YearScreen};
use crate::bench::blanks::{self, BlankScreen};
use crate::bench::corners::FlushEntry;
use crate::bench::form::{Entry, Form};
use crate::bench::height_form;
use crate::bench::prepare::flushness::{self, LeafFlush};
use crate::bench::prepare::told::{self, Told, Weight, gap_name};
use crate::bench::prepare::{assigning, sizes, sparing, stacked, ticks, year};
use crate::bench::surveying::SurveyEntry;
use crate::bench::{OpeningSeen, Session};
use crate::screen::drawings::{FlushCorner, FlushPicture, SurveyPicture};
use crate::screen::parts::{clipped, first_row, hanging, listed, more, padded, wrapped};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

pub(super) type Lines = Vec<(Role, String)>;

pub(super) fn put(lines: &Lines, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    for (y, (role, text)) in (area.y..area.bottom()).zip(lines) {
        let line = Line::styled(clipped(&format!(" {text}"), area.width.into()), theme.style(*role));
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
}

pub(super) fn roled(told: &[Told], width: u16) -> Lines {
    let role = |weight| match weight {
        Weight::Text => Role::Text,
        Weight::Next => Role::Next,
        Weight::Caution => Role::Caution,
        Weight::Quiet => Role::Quiet,
    };
    let room = usize::from(width).saturating_sub(3);
    told.iter()
        .flat_map(|line| {
            let indent = |(place, text): (usize, String)| if place == 0 { text } else { format!("  {text}") };
            let parts = if line.text.chars().count() <= room {
                vec![line.text.clone()]
            } else {
                wrapped(&line.text, room.saturating_sub(2))
            };
            parts.into_iter().enumerate().map(move |part| (role(line.weight), indent(part)))
        })
        .collect()
}

/// Fields one to a row, the hint of the one the keys act on at the foot.
pub(super) fn fields(form: &Form, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let label = form.fields.iter().map(|field| field.label.chars().count()).max().unwrap_or(0);
    let rows = usize::from(area.height.saturating_sub(1));
    let row = form.asked().position(|(place, _)| place == form.at).unwrap_or(0);
    let first = first_row(row, form.asked().count(), rows);
    let shown = form.asked().skip(first).take(rows);
    for (y, (place, field)) in (area.y..area.bottom()).zip(shown) {
        let here = place == form.at;
        let value = match &field.entry {
            Entry::Text(text) if here => format!("{text}_"),
            Entry::Text(text) => text.clone(),
            Entry::Choice { .. } => format!("< {} >", field.value()),
        };
        let line = Line::from(vec![
            Span::styled(
                format!("{} {} ", if here { ">" } else { " " }, padded(field.label, label)),
                theme.style(if here { Role::Next } else { Role::Text }),
            ),
            Span::styled(format!(" {value} "), theme.style(if here { Role::Cursor } else { Role::Text })),
        ]);
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
    let (hint, role) = form.fields.get(form.at).map_or((String::new(), Role::Quiet), super::form::hint);
    let foot = Rect { y: area.bottom().saturating_sub(1), height: 1, ..area };
    frame.render_widget(Line::styled(clipped(&format!("   {hint}"), area.width.into()), theme.style(role)), foot);
}

/// The survey: fields at the left, the shape and what it comes to at the right.
pub fn survey(entry: &SurveyEntry, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let show = session.shop.show();
    let left = Rect { width: 32.min(area.width), ..area };
    let hint = Rect { y: area.bottom().saturating_sub(1), height: 1, ..area };
    fields(&entry.form, theme, frame, Rect { height: area.height.min(13), ..left });
    // The hint goes over the whole width.
    let text = entry.form.fields.get(entry.form.at).map_or("", |field| field.hint);
    let quiet = theme.style(Role::Quiet);
    frame.render_widget(Line::raw(" ".repeat(left.width.into())), Rect { y: area.y + 12, height: 1, ..left });
    frame.render_widget(Line::styled(clipped(&format!(" {text}"), area.width.into()), quiet), hint);
    let right = Rect { x: area.x + left.width, width: area.width - left.width, height: area.height - 1, ..area };
    let tape = match entry.tape(show.unit()) {
        Ok(tape) => tape,
        Err((_, why)) => {
            let lines = wrapped(&why, usize::from(right.width).saturating_sub(2));
            put(&lines.into_iter().map(|text| (Role::Caution, text)).collect(), theme, frame, right);
            return;
        }
    };
    let shape = match Shape::from_tape(&tape) {
        Ok(shape) => shape,
        Err(why) => {
            let lines = wrapped(&why.to_string(), usize::from(right.width).saturating_sub(2));
            put(&lines.into_iter().map(|text| (Role::Quiet, text)).collect(), theme, frame, right);
            return;
        }
    };
    let surveyed = sizes::Surveyed { tape, shape };
    let mut told = told::survey(&surveyed, show);
    told.extend(session.opened.iter().flat_map(|opened| stacked::told(&opened.state, &surveyed, show)));
    let lines = roled(&told, right.width);
    if !surveyed.shape.suspects.is_empty() {
        // Readings that contradict each other make no shape to draw.
        return put(&lines, theme, frame, right);
    }
    let rows = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(right.height);
    let picture = Rect { height: right.height - rows, ..right };
    let corner = |place: usize| {
        let corner = surveyed.shape.corners[place];
        (corner.x.get(), corner.y.get())
    };
    let [bottom, _, top] = surveyed.shape.widths().map(|length| length.shown(show));
    let [low, _, high] = surveyed.shape.heights().map(|length| length.shown(show));
    let drawn = SurveyPicture {
        corners: [corner(0), corner(1), corner(3), corner(2)],
        sides: [low, high, bottom, top],
        diagonals: [0, 1].map(|place| tape.diagonals[place].map_or_else(|| "-".to_owned(), |l| l.shown(show))),
        verdict: String::new(),
        theme,
    };
    if picture.height >= 8 {
        frame.render_widget(&drawn, picture);
    }
    put(&lines, theme, frame, Rect { y: right.y + picture.height, height: rows, ..right });
}

/// The blank of one leaf, or how it is made.
pub fn blank(screen: &BlankScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let show = session.shop.show();
    let Some(id) = screen.id(opened) else { return };
    if let Some(form) = &screen.typing {
        if screen.heights {
            let room = height_form::room(&opened.state, &id, show);
            super::form::draw("heights of the fronts", form, room.as_slice(), theme, frame, area);
        } else {
            fields(form, theme, frame, area);
        }
        return;
    }
    let leaf = match sizes::blank(&opened.name, &opened.state, &id) {
        Ok(leaf) => leaf,
        Err(why) => {
            let lines = wrapped(&why.told(show), usize::from(area.width).saturating_sub(3));
            put(&lines.into_iter().map(|text| (Role::Caution, text)).collect(), theme, frame, area);
            return;
        }
    };
    let has_parts = leaf.blank.iter().any(|blank| !blank.parts.is_empty());
    let area = if has_parts { home::cautioned(theme, frame, area) } else { area };
    let mut told = told::blank(&leaf, &opened.state, show);
    if let Ok(Some(lacking)) = sparing::short(&opened.state, &session.shop.settings) {
        told.extend(sparing::told(&lacking, show));
    }
    let mut lines = roled(&told, area.width);
    lines.push((Role::Text, String::new()));
    for (place, part) in leaf.blank.iter().flat_map(|blank| &blank.parts).enumerate() {
        let tick = ticks::tick(&opened.state, &id, part, show);
        let (mark, role) = if place == screen.at { ('>', Role::Cursor) } else { (' ', Role::Text) };
        let text = format!("{mark} {}", told::part(part, tick, show));
        lines.extend(hanging(&text, usize::from(area.width).saturating_sub(2), 6).into_iter().map(|line| (role, line)));
    }
    if let Ok(blank) = &leaf.blank {
        let wood = crate::before::blank::cut_list::CutList::of([(leaf.make.name.as_str(), blank)]).wood();
        let text = format!("{}; {LENGTHS}", wood.words(show.unit()));
        lines.extend([(Role::Text, String::new()), (Role::Quiet, text)]);
    }
    let unsaid = blanks::unsaid(opened);
    if !unsaid.is_empty() {
        lines.push((
            Role::Text,
            format!("not said yet of {}: press s where they are made like this one", unsaid.join(", ")),
        ));
    }
    put(&lines, theme, frame, area);
}

/// The gaps through the year.
pub fn year(page: YearScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let show = session.shop.show();
    let year = match year::year(&opened.state, &session.shop.settings) {
        Ok(year) => year,
        Err(why) => {
            let told = Told { weight: Weight::Caution, text: why.to_string() };
            return put(&roled(&[told], area.width), theme, frame, area);
        }
    };
    let heads = ["gap", "wanted", "raw reveal", "fitted to", "damp end", "dry end"].map(str::to_owned);
    let mut rows = vec![(Role::Quiet, heads)];
    for gap in &year.gaps {
        let raw = gap.raw.as_ref().map_or_else(|_| "none".to_owned(), |raw| raw.shown_with_error(show));
        let end = |pick: fn(crate::before::season::GapThroughYear) -> crate::fit::length::Inches| {
            gap.year.map_or_else(|| "?".to_owned(), |year| pick(year).shown(show))
        };
        let role = if gap.binds() || gap.gapes() { Role::Caution } else { Role::Text };
        let fitted = gap.fits_to.shown_with_error(show);
        let name = gap_name(&gap.between);
        rows.push((role, [name, gap.wanted.shown(show), raw, fitted, end(|year| year.damp), end(|year| year.dry)]));
    }
    let mut lines = columns(&rows, usize::from(area.width).saturating_sub(1));
    lines.push((Role::Text, String::new()));
    lines.extend(roled(&told::year_notes(&year, show), area.width));
    let count = lines.len();
    if count <= usize::from(area.height) {
        return put(&lines, theme, frame, area);
    }
    // The last row says what is above and below.
    let rows = usize::from(area.height).saturating_sub(1).max(1);
    let first = first_of(page.page, count, rows);
    let mut lines: Lines = lines.into_iter().skip(first).take(rows).collect();
    lines.push((Role::Quiet, turning(first, count.saturating_sub(first + rows))));
    put(&lines, theme, frame, area);
}

/// Cells in columns as wide as what stands in them; a name for which that leaves no room stands above its figures.
fn columns(rows: &[(Role, [String; 6])], width: usize) -> Lines {
    let mut wide = [0; 6];
    for (_, cells) in rows {
        for (wide, cell) in wide.iter_mut().zip(cells) {
            *wide = (*wide).max(cell.width());
        }
    }
    let [name, figures @ ..] = wide;
    let name = name.min(width.saturating_sub(figures.iter().map(|wide| wide + 2).sum()));
    let mut lines = Lines::new();
    for (role, [first, cells @ ..]) in rows {
        let over = first.width() > name;
        if over {
            lines.push((*role, first.clone()));
        }
        let first = padded(if over { "" } else { first }, name);
        let cells = cells.iter().zip(figures).map(|(cell, wide)| padded(cell, wide));
        lines.push((*role, std::iter::once(first).chain(cells).collect::<Vec<_>>().join("  ").trim_end().to_owned()));
    }
    lines
}

/// The corners as read, or as expected since screws were turned.
fn picture(found: Option<&LeafFlush>, opened: &OpeningSeen, session: &Session, theme: Theme) -> FlushPicture {
    let read = found.map(|leaf| match &leaf.expected {
        Some(Ok(expected)) => expected.each(),
        _ => leaf.read.corners,
    });
    let corner = |place: usize| {
        let value = read.map(|corners| corners[place]);
        FlushCorner {
            proud: value.map(crate::fit::length::Length::inches),
            shown: value.map_or(String::new(), |value| value.abs().shown(session.shop.show())),
        }
    };
    let tolerance = opened.state.tolerance.unwrap_or(session.shop.settings.tolerance).inches();
    let expected = found.is_some_and(|leaf| leaf.expected.is_some());
    FlushPicture { corners: [2, 3, 0, 1].map(corner), tolerance, expected, verdict: String::new(), theme }
}

/// Flush and wind of one leaf.
pub fn flush(entry: &FlushEntry, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let Some(leaf) = opened.state.leaves.get(entry.leaf) else { return };
    let id = leaf.what.leaf.as_str();
    let rows = u16::try_from(entry.form.fields.len()).unwrap_or(u16::MAX).saturating_add(1).min(area.height);
    fields(&entry.form, theme, frame, Rect { height: rows, ..area });
    let rest = Rect { y: area.y + rows, height: area.height - rows, ..area };
    let found = flushness::flushes(&opened.state, &session.shop.settings);
    let found = found.iter().find(|leaf| leaf.leaf == id);
    let told = found.map(|leaf| told::flush(leaf, session.shop.show()));
    let lines = roled(&told.unwrap_or_default(), rest.width);
    let rows = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(rest.height);
    frame.render_widget(&picture(found, opened, session, theme), Rect { height: rest.height - rows, ..rest });
    put(&lines, theme, frame, Rect { y: rest.bottom() - rows, height: rows, ..rest });
}

/// The cut list or the assignment of the whole shop.
pub fn whole(page: &WholeShop, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let show = session.shop.show();
    let Some(openings) = &page.openings else { return };
    let mut lines: Lines = Vec::new();
    let mut cursor = 0;
    if page.what == Whole::Assign {
        let (groups, left_out) = assigning::suggest(openings, &session.shop.settings);
        let mut told: Vec<Told> = groups.iter().flat_map(|group| told::assignment(group, show)).collect();
        if groups.is_empty() {
            let text = "no two leaves of one size are measured and waiting to be fitted".to_owned();
            told.push(Told { weight: Weight::Next, text });
        }
        told.extend(left_out.iter().map(|(name, why)| Told { weight: Weight::Quiet, text: format!("{name}: {why}") }));
        lines = roled(&told, area.width);
    } else {
        let list = page.list(show);
        let room = usize::from(area.width).saturating_sub(2);
        let mut place = 0;
        for group in &list.list.groups {
            let (thick, wide) = (group.thickness.sized(show), group.width.sized(show));
            lines.push((Role::Title, format!("{thick} thick, {wide} wide")));
            for line in &group.lines {
                let here = place == page.at;
                if here {
                    cursor = lines.len();
                }
                let (tick, part) = (list.tick(&line.key), group.part(line));
                let (mark, role) = if here { ('>', Role::Cursor) } else { (' ', Role::Text) };
                let length = padded(&line.length.sized(show), 16);
                let (words, note) = (part.words(), tick.note(&part, show));
                let note = if note.is_empty() { note } else { format!("  ! {note}") };
                let text =
                    format!("{mark} [{}] {} of {length} {words:<12} {}{note}", tick.mark(), line.count, line.leaf);
                lines.extend(hanging(&text, room, 6).into_iter().map(|line| (role, line)));
                place += 1;
            }
        }
        if list.list.groups.is_empty() {
            lines.push((
                Role::Next,
                "nothing to cut: measure an opening (s) and say how its leaf is made (b)".to_owned(),
            ));
        } else {
            let wood = list.list.wood();
            let text = format!("{}; {LENGTHS}", wood.words(show.unit()));
            lines.push((Role::Quiet, text));
        }
        let left_out = list.left_out.iter();
        let told: Vec<Told> =
            left_out.map(|(leaf, why)| Told { weight: Weight::Caution, text: format!("! {leaf}: {why}") }).collect();
        lines.extend(roled(&told, area.width));
    }
    // Parts stand under a title.
    let cuts = lines.iter().any(|(role, _)| *role == Role::Title);
    let area = if cuts { home::cautioned(theme, frame, area) } else { area };
    let list = listed(area, lines.len());
    let (count, height) = (lines.len(), usize::from(list.height));
    let first = first_row(cursor, count, height);
    put(&lines.into_iter().skip(first).collect(), theme, frame, list);
    more(theme, frame, list, [first, count.saturating_sub(first + height)]);
}
