//! The man page and the shell completions, from the same definitions that read the arguments.

use super::trouble::{Answer, Trouble};
use clap::CommandFactory;
use clap_complete::Shell;
use std::io::Write;

fn command() -> clap::Command {
    super::Arguments::command()
}

/// Writes the man page, each command's own section in it.
pub(super) fn man(out: &mut dyn Write) -> Result<Answer, Trouble> {
    let mut page = Vec::new();
    let mut whole = command();
    whole.build();
    let main = clap_mangen::Man::new(whole.clone());
    // The commands are sections of this page: there are no pages of their own to point at.
    let head = main
        .render_title(&mut page)
        .and_then(|()| main.render_name_section(&mut page))
        .and_then(|()| main.render_synopsis_section(&mut page))
        .and_then(|()| main.render_description_section(&mut page))
        .and_then(|()| main.render_options_section(&mut page))
        .and_then(|()| more(&whole, "EXAMPLES", &mut page));
    let written = head.and_then(|()| {
        whole.get_subcommands().filter(|sub| sub.get_name() != "help").try_for_each(|sub| {
            writeln!(page, ".SH COMMAND {}", sub.get_name().to_uppercase())?;
            let own = clap_mangen::Man::new(sub.clone());
            own.render_synopsis_section(&mut page)?;
            own.render_description_section(&mut page)?;
            own.render_options_section(&mut page)?;
            more(sub, "MORE", &mut page)
        })
    });
    let written = written.and_then(|()| main.render_version_section(&mut page));
    written.and_then(|()| out.write_all(&page)).map_err(|error| Trouble::output(&error))?;
    Ok(Answer::Done)
}

/// What stands after the options of a command, line for line as `--help` has it: its tables would not stand filled.
fn more(command: &clap::Command, heading: &str, page: &mut Vec<u8>) -> std::io::Result<()> {
    let Some(text) = command.get_after_help() else { return Ok(()) };
    writeln!(page, ".SH {heading}\n.nf")?;
    for line in text.to_string().lines() {
        // A point or a quote at the start of a line is roff's own; the mark before it takes no room.
        let start = if line.starts_with(['.', '\'']) { "\\&" } else { "" };
        writeln!(page, "{start}{}", line.replace('\\', "\\e").replace('-', "\\-"))?;
    }
    writeln!(page, ".fi")
}

/// Writes the completions of one shell.
pub(super) fn completions(shell: Shell, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command(), "evenreveal", &mut script);
    out.write_all(&script).map_err(|error| Trouble::output(&error))?;
    Ok(Answer::Done)
}
