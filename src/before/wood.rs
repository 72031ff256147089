//! How much each wood moves: the table in `assets/wood_movement.csv`, with the source and the
//! standing of every row.

use std::sync::LazyLock;

/// The table as it stands in the repository.
const TABLE: &str = include_str!("../../assets/wood_movement.csv");

/// How the board was sawn: which face of the growth rings its width crosses.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sawn {
    /// Flat-sawn: the width lies along the rings and moves by the tangential coefficient.
    /// The careful choice where it is not known.
    #[default]
    Flat,
    /// Quarter-sawn: the width crosses the rings and moves by the radial coefficient.
    Quarter,
}

/// How far a row of the table can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Read in the source's own text.
    Published,
    /// Recalled, not seen; agrees with the wood's published shrinkage.
    RecalledAgreesWithShrinkage,
    /// Recalled, not seen.
    Recalled,
}

/// One wood: change of size per unit of width for each percent of moisture content.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    /// Name as in the table.
    pub species: &'static str,
    /// `hardwood`, `softwood` or `imported`.
    pub group: &'static str,
    /// Across the rings (quarter-sawn width), per percent.
    pub radial: f64,
    /// Along the rings (flat-sawn width), per percent.
    pub tangential: f64,
    /// How far the row can be relied on.
    pub standing: Standing,
    /// Where the row comes from.
    pub source: &'static str,
}

impl Wood {
    /// The coefficient for a board sawn so, per percent of moisture content.
    pub fn coefficient(&self, sawn: Sawn) -> f64 {
        match sawn {
            Sawn::Flat => self.tangential,
            Sawn::Quarter => self.radial,
        }
    }
}

static WOODS: LazyLock<Vec<Wood>> = LazyLock::new(|| TABLE.lines().skip(1).filter_map(row).collect());

/// Every wood of the table, in its order.
pub fn woods() -> &'static [Wood] {
    &WOODS
}

/// The wood of that name, capitals aside.
///
/// ```
/// use evenreveal::before::wood::wood;
/// assert_eq!(wood("cherry, black").unwrap().tangential, 0.00248);
/// assert!(wood("plastic").is_none());
/// ```
pub fn wood(species: &str) -> Option<&'static Wood> {
    let species = species.trim();
    woods().iter().find(|wood| wood.species.eq_ignore_ascii_case(species))
}

/// Woods whose name has every word of `text` in it, capitals aside: `cherry`, `oak red`.
pub fn like(text: &str) -> impl Iterator<Item = &'static Wood> {
    let words: Vec<String> = text
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    woods().iter().filter(move |wood| {
        let species = wood.species.to_lowercase();
        !words.is_empty() && words.iter().all(|word| species.contains(word))
    })
}

/// One line of the table; `None` if it is not one (a test counts the rows).
fn row(line: &'static str) -> Option<Wood> {
    let fields = fields(line);
    let [species, group, radial, tangential, status, source] = fields.as_slice() else {
        return None;
    };
    let standing = match *status {
        "published" => Standing::Published,
        "from memory, agrees with published shrinkage" => Standing::RecalledAgreesWithShrinkage,
        "from memory" => Standing::Recalled,
        _ => return None,
    };
    Some(Wood { species, group, radial: radial.parse().ok()?, tangential: tangential.parse().ok()?, standing, source })
}

/// The fields of one line of our own table: commas part them, double quotes keep a comma in.
/// (The table has no doubled quotes.)
fn fields(line: &str) -> Vec<&str> {
    let mut fields = Vec::new();
    let mut rest = line;
    loop {
        let (field, after) = match rest.strip_prefix('"').and_then(|quoted| quoted.split_once('"')) {
            Some((field, after)) => (field, after.strip_prefix(',')),
            None => match rest.split_once(',') {
                Some((field, after)) => (field, Some(after)),
                None => (rest, None),
            },
        };
        fields.push(field);
        match after {
            Some(after) => rest = after,
            None => return fields,
        }
    }
}
