//! One line of a table for spreadsheets.

/// A record by RFC 4180, without its line end. A text that a spreadsheet would take for a formula is kept a text by
/// a leading apostrophe; a number below zero stays a number.
pub fn record<C: AsRef<str>>(cells: impl IntoIterator<Item = C>) -> String {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    let safe = cells.into_iter().map(|cell| no_formula(cell.as_ref()));
    // Writing to memory does not fail, and a flexible writer takes any number of cells.
    let written = writer.write_record(safe).is_ok();
    let bytes = if written { writer.into_inner().unwrap_or_default() } else { Vec::new() };
    String::from_utf8_lossy(&bytes).trim_end_matches('\n').to_owned()
}

fn no_formula(cell: &str) -> String {
    let formula =
        cell.starts_with(['=', '@', '+', '\t', '\r']) || (cell.starts_with('-') && cell.parse::<f64>().is_err());
    if formula { format!("'{cell}") } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::record;

    #[test]
    fn what_would_break_a_table_is_quoted_and_what_would_run_in_it_is_a_text() {
        assert_eq!(record(["a", "1/2\"", "left, lower", "two\nlines"]), "a,\"1/2\"\"\",\"left, lower\",\"two\nlines\"");
        assert_eq!(record(["=1+1", "-0.25", "-1/32", "@x", "+2", ""]), "'=1+1,-0.25,'-1/32,'@x,'+2,");
        assert_eq!(record(["", ""]), ",");
    }
}
