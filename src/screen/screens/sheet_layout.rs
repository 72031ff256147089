//! Where the parts of a set-up sheet stand: heading, drawing at the left, numbers in large letters, facts beside
//! and under them, cautions in the last rows. Of all ways in which everything is whole, the one with the largest
//! drawing.

use crate::screen::drawings::{Figures, PlanePicture, SetupPicture};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

/// Lines of words, each with what it means.
pub type Lines = Vec<(Role, String)>;

/// Rows of a label and its figure, in the larger and in the smaller large letters.
const LARGER: u16 = 9;
const SMALLER: u16 = 5;
/// Share of the columns that a drawing may have, in hundredths; the widest first.
const SHARES: [u16; 9] = [66, 60, 55, 50, 46, 42, 38, 34, 30];
/// Columns between the drawing and what stands beside it.
const APART: u16 = 2;

/// What a sheet has to say.
pub struct Parts {
    /// Which cut, in which order, by which method and why; what is refused.
    pub head: Lines,
    /// The drawing.
    pub picture: SetupPicture,
    /// The strokes of a plane, for large screens.
    pub strokes: Option<PlanePicture>,
    /// The numbers to set.
    pub figures: Figures,
    /// Everything else that is set, marked or checked, and the same in fewer letters.
    pub facts: [Vec<String>; 2],
    /// The cautions in full, and in a few words.
    pub cautions: [Lines; 2],
}

/// How the middle of the sheet is divided.
struct Division<'a> {
    cautions: &'a Lines,
    /// Figures in rows, over everything or beside the drawing.
    figures: Vec<Figures>,
    figure_rows: u16,
    beside: bool,
    columns: u16,
    rows: u16,
    /// Facts: those beside the drawing, then those under it.
    facts: Vec<String>,
    facts_beside: usize,
    scale: f64,
}

/// What is wanted of a division.
#[derive(Clone, Copy)]
struct Wanted {
    /// The cautions in full.
    in_full: bool,
    /// How many figures at most in large letters.
    figures: usize,
    /// Rows of one of them.
    figure_rows: u16,
    /// Least rows of the drawing.
    least: u16,
}

const ALL: usize = usize::MAX;
/// The best first. Where no room is left for all figures, the first of them stands large and the others in the facts.
const WANTED: [Wanted; 5] = [
    Wanted { in_full: true, figures: ALL, figure_rows: LARGER, least: 16 },
    Wanted { in_full: true, figures: ALL, figure_rows: SMALLER, least: 8 },
    Wanted { in_full: false, figures: ALL, figure_rows: SMALLER, least: 5 },
    Wanted { in_full: false, figures: 1, figure_rows: SMALLER, least: 5 },
    Wanted { in_full: false, figures: 0, figure_rows: 0, least: 5 },
];
/// A drawing this much of the largest is large enough for letters or words to be larger.
const NEARLY: f64 = 0.7;

/// Rows of these lines.
pub fn rows(lines: &[(Role, String)]) -> u16 {
    u16::try_from(lines.len()).unwrap_or(u16::MAX)
}

impl Parts {
    /// The best division, the first wanted whose drawing is nearly as large as the largest: of those with a large
    /// figure in which all words are whole, if there are any; then of those with a large figure, and of the rest.
    fn divided(&self, area: Rect) -> Option<Division<'_>> {
        [(true, true), (false, true), (true, false), (false, false)].into_iter().find_map(|(whole, large)| {
            let largest = |wanted| self.largest(area, wanted, whole).map(|one| (wanted, one));
            let wanted = WANTED.into_iter().filter(|wanted| !large || wanted.figures > 0);
            let all: Vec<_> = wanted.filter_map(largest).collect();
            let own = |(wanted, _): &&(Wanted, Division<'_>)| wanted.figures == ALL;
            let most = all.iter().filter(own).map(|(_, one)| one.scale).fold(0.0, f64::max);
            all.into_iter().map(|(_, one)| one).find(|one| one.scale >= most * NEARLY)
        })
    }

    /// The division with the largest drawing.
    fn largest(&self, area: Rect, wanted: Wanted, whole: bool) -> Option<Division<'_>> {
        let cautions = if wanted.in_full { &self.cautions[0] } else { &self.cautions[1] };
        let room = area.height.checked_sub(rows(&self.head) + rows(cautions))?;
        let with = |facts: &[String]| {
            let mut all: Vec<Division<'_>> = Vec::new();
            for columns in SHARES.map(|share| area.width * share / 100) {
                for beside in [true, false] {
                    all.extend(self.divide((area.width, room), columns, wanted, beside, facts));
                }
            }
            all.sort_by(|a, b| b.scale.total_cmp(&a.scale));
            let fits = |one: &Division<'_>| !whole || self.picture.is_whole(one.columns, one.rows);
            all.into_iter().find(fits).map(|one| Division { cautions, ..one })
        };
        self.facts.iter().find_map(|facts| with(facts))
    }

    fn divide(
        &self,
        (width, room): (u16, u16),
        columns: u16,
        wanted: Wanted,
        beside: bool,
        facts: &[String],
    ) -> Option<Division<'_>> {
        let narrow = width.checked_sub(columns + APART + 1)?;
        let wide = if beside { narrow } else { width.saturating_sub(2) };
        let Wanted { figure_rows, least, .. } = wanted;
        let figures = match wanted.figures {
            0 => Vec::new(),
            most => self.figures.first(most).packed(wide, figure_rows)?,
        };
        let used = figure_rows * u16::try_from(figures.len()).ok()?;
        let (over, aside) = if beside { (0, used) } else { (used, 0) };
        let room = room.checked_sub(over)?;
        let high = (least.max(aside)..=room).rev().find_map(|high| {
            let free = usize::from(high - aside);
            let said = flowed(facts, usize::from(narrow), free, usize::from(width).saturating_sub(3));
            let under = u16::try_from(said.len().saturating_sub(free)).ok()?;
            (high + under <= room).then_some((high, said, free))
        });
        let (rows, facts, free) = high?;
        let scale = self.picture.scale(columns, rows)?;
        let facts_beside = free.min(facts.len());
        Some(Division {
            cautions: &self.cautions[1],
            figures,
            figure_rows,
            beside,
            columns,
            rows,
            facts,
            facts_beside,
            scale,
        })
    }

    /// Draws them all.
    pub fn draw(&self, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
        let Some(all) = self.divided(area) else { return self.words_only(theme, frame, area) };
        put(&self.head, theme, frame, area);
        let mut y = area.y + rows(&self.head);
        if !all.beside {
            y = figures(&all, frame, Rect { y, x: area.x + 1, width: area.width.saturating_sub(2), ..area });
        }
        let drawing = Rect { x: area.x, y, width: all.columns, height: all.rows };
        match self.strokes.as_ref().filter(|strokes| drawing.height >= strokes_rows(strokes) + 14) {
            Some(strokes) => {
                let own = strokes_rows(strokes);
                frame.render_widget(&self.picture, Rect { height: drawing.height - own - 1, ..drawing });
                let inner = Rect { x: drawing.x + 1, width: drawing.width - 1, y: drawing.bottom() - own, height: own };
                frame.render_widget(strokes, inner);
            }
            None => frame.render_widget(&self.picture, drawing),
        }
        let right = Rect { x: area.x + all.columns + APART, width: area.width - all.columns - APART, ..drawing };
        let top = if all.beside { figures(&all, frame, right) } else { y };
        let text = |lines: &[String]| lines.iter().map(|line| (Role::Text, line.clone())).collect::<Lines>();
        let (beside, under) = all.facts.split_at_checked(all.facts_beside).unwrap_or((&all.facts, &[]));
        let beside_area = Rect {
            x: right.x.saturating_sub(1),
            width: right.width + 1,
            y: top,
            height: drawing.bottom().saturating_sub(top),
        };
        put(&text(beside), theme, frame, beside_area);
        put(
            &text(under),
            theme,
            frame,
            Rect { y: drawing.bottom(), height: area.bottom().saturating_sub(drawing.bottom()), ..area },
        );
        let height = rows(all.cautions).min(area.height);
        put(all.cautions, theme, frame, Rect { y: area.bottom() - height, height, ..area });
    }

    /// Where there is no room for more: whatever else must give way, the cautions do not.
    fn words_only(&self, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
        let cautions = &self.cautions[1];
        let height = rows(cautions).min(area.height);
        let room = area.height - height;
        let mut lines = self.head.clone();
        let facts = flowed(&self.facts[1], 0, 0, usize::from(area.width).saturating_sub(3));
        lines.extend(facts.into_iter().map(|line| (Role::Text, line)));
        put(&lines, theme, frame, Rect { height: room, ..area });
        put(cautions, theme, frame, Rect { y: area.y + room, height, ..area });
    }
}

fn strokes_rows(strokes: &PlanePicture) -> u16 {
    u16::try_from(PlanePicture::rows_for(strokes.strokes.len())).unwrap_or(u16::MAX / 2)
}

/// Draws the figures from the top of `area`; answers the row under them.
fn figures(all: &Division<'_>, frame: &mut Frame<'_>, area: Rect) -> u16 {
    let mut y = area.y;
    for row in &all.figures {
        frame.render_widget(row, Rect { y, height: all.figure_rows, ..area });
        y += all.figure_rows;
    }
    y
}

/// Writes lines from the top of `area`, one column in.
pub fn put(lines: &[(Role, String)], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    for (y, (role, text)) in (area.y..area.bottom()).zip(lines) {
        let place = Rect { y, height: 1, ..area }.intersection(frame.area());
        frame.render_widget(Line::styled(format!(" {text}"), theme.style(*role)), place);
    }
}

/// `texts` in lines of at most `width` columns, broken at words, never within a number.
pub fn broken(role: Role, texts: impl IntoIterator<Item = String>, width: usize) -> Lines {
    let texts: Vec<String> = texts.into_iter().collect();
    flowed(&texts, 0, 0, width).into_iter().map(|line| (role, line)).collect()
}

/// Each text from a line of its own: the first `rows` lines `narrow` columns wide, the others `wide`.
fn flowed(texts: &[String], narrow: usize, rows: usize, wide: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for text in texts {
        let mut first = true;
        for word in words(text) {
            let width = if lines.len() <= rows && rows > 0 { narrow } else { wide };
            match lines.last_mut().filter(|_| !first) {
                Some(line) if line.width() + 1 + word.width() <= width => {
                    line.push(' ');
                    line.push_str(&word);
                }
                _ => lines.push(word),
            }
            first = false;
        }
    }
    lines.into_iter().map(|line| line.replace('\u{a0}', " ")).collect()
}

/// The words of a text; what belongs together (`10 15/16`, `3/32 +0.004`, what is glued) is one.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let whole = |last: &String| {
            let number = last.rsplit('\u{a0}').next().unwrap_or(last);
            let number = number.trim_start_matches(['(', '-']);
            !number.is_empty() && number.chars().all(|letter| letter.is_ascii_digit())
        };
        let part = word.contains('/') && word.starts_with(|letter: char| letter.is_ascii_digit());
        let rest = word.strip_prefix(['+', '-']).is_some_and(|rest| rest.starts_with("0."));
        match words.last_mut() {
            Some(last) if (part && whole(last)) || (rest && last.ends_with(|letter: char| letter.is_ascii_digit())) => {
                last.push('\u{a0}');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}
