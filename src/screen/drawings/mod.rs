//! Drawings of the work, as widgets: the opening with its gaps, the plan before and after, the set-up of a
//! cut, strokes of a plane, history, survey, flushness, large letters and figures.
//!
//! Each takes plain data (inches as `f64`, lengths already worded by the caller) and draws into any area,
//! however small, without a panic; values that are not finite are drawn as if not there. Every sign is a
//! glyph and a word; colour comes on top (see [`super::theme`]). Characters used: box drawing, block
//! elements, a few plain arrowheads, Braille and ASCII. Never octants or sextants, which many terminals lack.

mod before_after;
mod big;
mod evened;
mod figures;
mod flush;
mod history;
mod ink;
mod labels;
mod layout;
mod opening;
mod paper;
mod plane;
mod setup;
pub(crate) mod shape;
mod standing;
mod survey;
mod swing;
mod wood;

pub use before_after::BeforeAfter;
pub use big::BigText;
pub use figures::Figures;
pub use flush::{FlushCorner, FlushPicture};
pub use history::{HistoryChart, RoundMiss};
pub use opening::{LeafShape, OpeningPicture, Removal, Station};
pub use plane::{PlanePicture, Stroke};
pub use setup::{SetupEnd, SetupPad, SetupPicture};
pub use standing::{LEGEND, Standing};
pub use survey::SurveyPicture;
pub use swing::SwingPicture;
