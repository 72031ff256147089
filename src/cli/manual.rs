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
    let written = clap_mangen::Man::new(whole.clone()).render(&mut page).and_then(|()| {
        whole.get_subcommands().filter(|sub| sub.get_name() != "help").try_for_each(|sub| {
            writeln!(page, ".SH COMMAND {}", sub.get_name().to_uppercase())?;
            let own = clap_mangen::Man::new(sub.clone());
            own.render_synopsis_section(&mut page)?;
            own.render_description_section(&mut page)?;
            own.render_options_section(&mut page)
        })
    });
    written.and_then(|()| out.write_all(&page)).map_err(|error| Trouble::output(&error))?;
    Ok(Answer::Done)
}

/// Writes the completions of one shell.
pub(super) fn completions(shell: Shell, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command(), "evenreveal", &mut script);
    out.write_all(&script).map_err(|error| Trouble::output(&error))?;
    Ok(Answer::Done)
}
