//! The gap network: every reading as an affine function of poses and trims.
