//! The words for a gap line's two sides: `frame`, or `ID.edge`.

use crate::fit::opening::Edge;

/// The word for the face frame.
pub const FRAME: &str = "frame";

/// One side of a gap line, as the user wrote it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named<'a> {
    /// The face frame.
    Frame,
    /// An edge of a leaf.
    Leaf {
        /// The leaf's short name.
        id: &'a str,
        /// Which edge.
        edge: Edge,
    },
}

/// Why a pair of sides is no gap line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FacingError {
    /// Neither `frame` nor `ID.edge`.
    #[error("'{0}' is neither 'frame' nor a leaf's edge like 'A.left' (left, right, bottom, top)")]
    Unknown(String),
    /// No leaf at all.
    #[error("a gap lies between two things of which at least one is a leaf's edge")]
    NoLeaf,
    /// A leaf against itself.
    #[error("leaf '{0}' cannot face itself")]
    Itself(String),
    /// Edges that cannot face each other.
    #[error("a {0} edge faces a {1} edge, not a {2} edge")]
    NotFacing(Edge, Edge, Edge),
}

/// Reads one side.
pub fn named(text: &str) -> Result<Named<'_>, FacingError> {
    if text == FRAME {
        return Ok(Named::Frame);
    }
    let unknown = || FacingError::Unknown(text.chars().take(60).collect());
    let (id, edge) = text.rsplit_once('.').ok_or_else(unknown)?;
    let edge = edge.parse().map_err(|()| unknown())?;
    if id.is_empty() || id == FRAME {
        return Err(unknown());
    }
    Ok(Named::Leaf { id, edge })
}

/// Reads both sides and checks that they can face each other.
pub fn pair(between: &[String; 2]) -> Result<[Named<'_>; 2], FacingError> {
    let pair = [named(&between[0])?, named(&between[1])?];
    match pair {
        [Named::Frame, Named::Frame] => return Err(FacingError::NoLeaf),
        [Named::Leaf { id: a, .. }, Named::Leaf { id: b, .. }] if a == b => {
            return Err(FacingError::Itself(a.to_owned()));
        }
        [Named::Leaf { edge: a, .. }, Named::Leaf { edge: b, .. }] if b != a.opposite() => {
            return Err(FacingError::NotFacing(a, a.opposite(), b));
        }
        _ => {}
    }
    Ok(pair)
}

/// The leaf and edge along which stations are measured: the first-named leaf's.
pub fn measured_along(between: &[String; 2]) -> Option<(&str, Edge)> {
    between.iter().find_map(|side| match named(side) {
        Ok(Named::Leaf { id, edge }) => Some((id, edge)),
        _ => None,
    })
}
