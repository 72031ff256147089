//! Before the gap is final: survey, blank, film, season, swing, flush and wind. Pure.
