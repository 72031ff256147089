//! The JSON spoken by `solve` (`evenreveal-fit/1` in, `evenreveal-plan/1` out). Pure.
