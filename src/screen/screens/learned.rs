//! What was learned of this shop's tools: the starting guess, what its own cuts say, and on how many it rests.

use crate::bench::Session;
use crate::bench::knowing::{Learned, TrendSeen};
use crate::fit::estimate::spreads::Factor;
use crate::fit::length::{Inches, Show};
use crate::screen::parts::{listed, more, wrapped};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Draws the page.
pub fn draw(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let width = usize::from(area.width).saturating_sub(2);
    let lines = session.learned.as_ref().map_or_else(
        || vec![(Role::Quiet, "reading what the cuts of this shop took".to_owned())],
        |learned| lines(learned, session.shop.show()),
    );
    let broken = lines.into_iter().flat_map(|(role, text)| {
        let mut parts = wrapped(&text, width);
        if parts.is_empty() {
            parts.push(String::new());
        }
        parts.into_iter().map(move |part| (role, part))
    });
    let broken: Vec<_> = broken.collect();
    let area = listed(area, broken.len());
    let below = broken.len().saturating_sub(usize::from(area.height));
    for (y, (role, text)) in (area.y..area.bottom()).zip(broken) {
        frame.render_widget(Line::styled(format!(" {text}"), theme.style(role)), Rect { y, height: 1, ..area });
    }
    more(theme, frame, area, [0, below]);
}

fn lines(learned: &Learned, show: Show) -> Vec<(Role, String)> {
    let learning = &learned.learning;
    let mut lines = vec![(Role::Title, rests_on(learned)), (Role::Text, String::new())];
    let cuts = |count: usize| if count == 1 { "1 cut".to_owned() } else { format!("{count} cuts") };
    let mut figure = |name: &str, prior: String, posterior: String, count: usize| {
        lines.push((Role::Next, name.to_owned()));
        if count == 0 {
            lines.push((Role::Text, format!("no cut tells of it yet: the starting guess is used, {prior}")));
        } else {
            lines.push((Role::Text, format!("starting guess {prior}; now {posterior}; rests on {}", cuts(count))));
        }
    };
    figure(
        "TAPE: how thick it really is under pressure, against what you measured (1.00: just that)",
        factor(learning.tape.prior),
        factor(learning.tape.posterior),
        learning.tape.cuts,
    );
    figure(
        "PLANE: what a stroke really takes, against what you set for your plane (1.00: just that)",
        factor(learning.plane.prior),
        factor(learning.plane.posterior),
        learning.plane.cuts,
    );
    figure(
        "SAW: how far a cut usually comes out from where it was set, both ends alike",
        miss(learning.saw.prior, show),
        miss(learning.saw.posterior, show),
        learning.saw.cuts,
    );
    lines.push((Role::Text, String::new()));
    let [saw, plane] = &learned.trends;
    for (name, seen, count) in [("saw", saw, learning.saw.cuts), ("plane", plane, learning.plane.cuts)] {
        if count > 0 {
            lines.push((Role::Text, trend(name, seen, show)));
        }
    }
    lines.push((Role::Quiet, "From this follow how short of the line the next cuts aim and how many passes are foretold. What was struck teaches nothing.".to_owned()));
    lines
}

fn rests_on(learned: &Learned) -> String {
    let openings = match learned.openings {
        0 => "Nothing learned yet: no leaf was cut and read again".to_owned(),
        1 => "Learned from the cuts of 1 opening".to_owned(),
        many => format!("Learned from the cuts of {many} openings"),
    };
    match &learned.since {
        Some(since) => format!("{openings} since {}", since.get(..10).unwrap_or(since)),
        None => openings,
    }
}

/// `1.00, give or take 0.05`.
fn factor(factor: Factor) -> String {
    format!("{:.2}, give or take {:.2}", factor.mean, factor.sd)
}

/// A spread, in thousandths or in hundredths of a millimetre: a fraction would hide it.
fn miss(sd: Inches, show: Show) -> String {
    use crate::fit::length::Unit;
    match show.unit() {
        Unit::Inch => format!("{:.4} in", sd.0),
        Unit::Millimetre => format!("{:.2} mm", sd.0 * 25.4),
    }
}

fn trend(name: &str, seen: &TrendSeen, show: Show) -> String {
    let about = seen.residual.map_or_else(String::new, |sd| format!(", give or take {}", miss(sd, show)));
    let more = if seen.intercept.0 < 0.0 { "less" } else { "and" };
    let besides = miss(Inches(seen.intercept.0.abs()), show);
    format!("By the {name}: of each 1 that was meant {:.2} came off, {more} {besides} every time{about}.", seen.slope)
}
