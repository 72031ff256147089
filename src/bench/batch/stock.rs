//! Stock in a row of the batch: the shop's own names, as short as they can be without being mistaken.

use super::Row;
use crate::cut::rip::Pad;
use crate::cut::setup::Setup;

/// Names of stock with what is said for them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShortNames(Vec<(String, String)>);

fn pads(row: &Row) -> &[Pad] {
    match &row.sheet.sheet.setup {
        Setup::Rip(rip) => &rip.pads,
        Setup::Sled(sled) => &sled.pads,
        Setup::GuideLine(_) | Setup::Plane(_) | Setup::SandingBlock(_) => &[],
    }
}

/// The last words of a name, so many of them.
fn last(name: &str, words: usize) -> String {
    let all: Vec<&str> = name.split_whitespace().collect();
    all.get(all.len().saturating_sub(words)..).unwrap_or_default().join(" ")
}

impl ShortNames {
    /// Of the stock in these rows: of each name the last words that no other ends with.
    pub fn of(rows: &[Row]) -> Self {
        let mut names: Vec<&str> = Vec::new();
        let layers = rows.iter().flat_map(pads).flat_map(|pad| &pad.layers);
        for name in layers.map(|layer| layer.stock.as_str()) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let own = |name: &str, words: usize| {
            let short = last(name, words);
            names.iter().filter(|other| last(other, words) == short).count() == 1
        };
        let short = |name: &str| {
            let words = (1..=name.split_whitespace().count()).find(|&words| own(name, words));
            words.map_or_else(|| name.to_owned(), |words| last(name, words))
        };
        Self(names.iter().map(|&name| (name.to_owned(), short(name))).collect())
    }

    /// The layers of a pad: `1 card + 1 paper`.
    pub fn layers(&self, pad: &Pad) -> String {
        let short = |name: &str| {
            self.0.iter().find(|(known, _)| known == name).map_or_else(|| name.to_owned(), |(_, short)| short.clone())
        };
        let each: Vec<String> =
            pad.layers.iter().map(|layer| format!("{} {}", layer.count, short(&layer.stock))).collect();
        each.join(" + ")
    }
}

#[cfg(test)]
mod tests {
    use super::last;

    #[test]
    fn the_last_words_of_a_name() {
        assert_eq!(last("plastic ID card", 1), "card");
        assert_eq!(last("plastic ID card", 2), "ID card");
        assert_eq!(last("tape", 3), "tape");
    }
}
