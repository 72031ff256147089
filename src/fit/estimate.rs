//! The estimate carried between rounds: a linear Gaussian filter on the gap lines.
