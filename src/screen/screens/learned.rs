//! What was learned of this shop's tools: the starting guess, what its own cuts say, and on how many it rests.

use crate::bench::Session;
use crate::bench::knowing::{Learned, TrendSeen};
use crate::fit::estimate::spreads::Factor;
use crate::fit::length::{Inches, Show};
use crate::screen::parts::wrapped;
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
    for (y, (role, text)) in (area.y..area.bottom()).zip(broken) {
        frame.render_widget(Line::styled(format!(" {text}"), theme.style(role)), Rect { y, height: 1, ..area });
    }
}

fn lines(learned: &Learned, show: Show) -> Vec<(Role, String)> {
    let learning = &learned.learning;
    let mut lines = vec![(Role::Title, rests_on(learned)), (Role::Text, String::new())];
    let cuts = |count: usize| if count == 1 { "1 cut".to_owned() } else { format!("{count} cuts") };
    let mut figure = |name: &str, prior: String, posterior: String, count: usize| {
        lines.push((Role::Next, name.to_owned()));
        if count == 0 {
            lines.push((Role::Text, format!("starting guess {prior}; no cut yet: that is used")));
        } else {
            lines.push((Role::Text, format!("starting guess {prior}; now {posterior}; rests on {}", cuts(count))));
        }
    };
    figure(
        "TAPE: pressed thickness over measured",
        factor(learning.tape.prior),
        factor(learning.tape.posterior),
        learning.tape.cuts,
    );
    figure(
        "PLANE: what a stroke takes over the shop's figure",
        factor(learning.plane.prior),
        factor(learning.plane.posterior),
        learning.plane.cuts,
    );
    figure(
        "SAW: how far a cut misses its setting, both ends alike",
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
    lines.push((Role::Quiet, "Used for the next aim and the count of passes. Struck events teach nothing.".to_owned()));
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
    let about = seen.residual.map_or_else(String::new, |sd| format!(", ends lie {} about that line", miss(sd, show)));
    format!("At the {name}: {:.2} comes off for 1 meant, plus {}{about}.", seen.slope, miss(seen.intercept, show))
}
