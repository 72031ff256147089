//! One file for each screen.

pub mod batch;
pub mod before;
pub mod form;
pub mod help;
pub mod hinging;
pub mod home;
pub mod large;
pub mod learned;
pub mod log;
pub mod plan;
pub mod plan_lines;
pub mod practice;
pub mod readings;
pub mod record;
pub mod sheet_drawing;
pub mod sheet_layout;
pub mod shop_list;
pub mod swing;
pub mod tools;
pub mod why;
