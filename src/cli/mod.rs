//! Commands without a screen. Results go to standard output, messages to standard error; exit codes
//! are 0 done, 1 the answer is "no", 2 bad usage or bad input, 3 storage trouble.

mod advice_json;
mod batch;
mod before;
mod carrying;
mod enter;
mod importing;
mod leaves;
mod listing;
mod logbook;
mod manual;
mod plain;
mod plain_cuts;
mod plain_forms;
mod plain_words;
mod planning;
mod printing;
mod sentences;
mod setup_json;
mod trouble;

use crate::bench::{Message, practice};
use crate::shell::here;
use crate::shop::place::{self, Purpose};
use crate::shop::{Access, Opening, Shop, ShopChoice};
use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use trouble::{Answer, Trouble};

const EXAMPLES: &str = "\
Examples:
  evenreveal                                  open your shop on the screen
  evenreveal sample                           open a copy of the sample shop
  evenreveal --shop ~/bookcase list           what is to be done where
  evenreveal solve problem.json --text        one fit problem, answered in words
  evenreveal plan \"left door\"                 what to move, pack or cut next
  evenreveal log \"left door\" --csv            its history for a spreadsheet
  echo '{\"event\":\"note\",\"text\":\"wax the runners\"}' | evenreveal enter \"left door\" -

Exit codes: 0 done, 1 the answer is no, 2 bad usage or input, 3 storage trouble.";

/// Fits inset doors and drawer fronts to an even reveal.
#[derive(Debug, Parser)]
#[command(name = "evenreveal", version, about, after_help = EXAMPLES)]
struct Arguments {
    /// The shop's folder (default: your own, in your data folder)
    #[arg(long, global = true, value_name = "DIR")]
    shop: Option<PathBuf>,
    /// Black, white and full grounds on the screen, this once (the tools page keeps it); NO_COLOR comes before it
    #[arg(long, global = true)]
    contrast: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Answer one fit problem; nothing is stored
    Solve {
        /// The problem, in JSON; - for standard input
        #[arg(value_name = "FILE|-")]
        file: PathBuf,
        /// Answer in words instead of JSON
        #[arg(long)]
        text: bool,
    },
    /// What to move, pack or cut next: the accepted plan, or the advice where none is accepted
    Plan {
        /// The opening's name
        opening: String,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
        /// Worked out anew, where a plan was accepted that stands
        #[arg(long)]
        anew: bool,
    },
    /// Everything that was kept of an opening
    Log {
        /// The opening's name
        opening: String,
        /// One JSON object a line
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// A table for a spreadsheet
        #[arg(long)]
        csv: bool,
    },
    /// Every opening of the shop, and what is to be done next
    List {
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Everything for the saw in one trip: the cuts that wait in all openings
    Batch(batch::BatchArguments),
    /// Practise on a made-up door: nothing of it is kept
    Practice {
        /// The door's number; another one each time if left out
        #[arg(long, value_name = "N")]
        seed: Option<u64>,
    },
    /// Add events to an opening; one line is answered for each kept event
    #[command(after_help = enter::EXAMPLES)]
    Enter {
        /// The opening's name; it is made if the first event is an 'opening'
        opening: String,
        /// The events, in JSON, without n and at; - for standard input
        #[arg(value_name = "FILE|-")]
        file: PathBuf,
    },
    /// The opening's true shape, and the tape reading that contradicts the rest
    Survey {
        /// The opening's name
        opening: String,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Finished and rough sizes, and the parts of the leaves of an opening
    Blank {
        /// The opening's name
        opening: String,
        /// Answer in JSON
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// A table for a spreadsheet
        #[arg(long)]
        csv: bool,
    },
    /// The cut list of the whole shop, by thickness and width, with what is sawn
    Cutlist {
        /// Answer in JSON
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// A table for a spreadsheet
        #[arg(long)]
        csv: bool,
    },
    /// The raw reveal to fit to, and each gap through the year
    Year {
        /// The opening's name
        opening: String,
        /// Answer in JSON
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// A table for a spreadsheet
        #[arg(long)]
        csv: bool,
    },
    /// Whether the leaves swing clear, and the back-bevel that lets them
    Swing {
        /// The opening's name
        opening: String,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Proud and shy corners: hinge moves, and the wind that stays
    Flush {
        /// The opening's name
        opening: String,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Which leaf of one size takes least wood in which opening
    Assign {
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Fit one opening line by line, without a screen
    Fit(plain::FitArguments),
    /// One page to print and stick on the leaf: gaps, wood to remove, set-ups, history
    Card(printing::CardArguments),
    /// All openings on a page: how far off, what to do next, sizes
    Sheet(printing::SheetArguments),
    /// Make openings and their leaves of a table (CSV)
    Import(importing::ImportArguments),
    /// Everything, as JSON or CSV, or into a folder
    Export(carrying::ExportArguments),
    /// Put the whole shop into one file
    Backup(carrying::BackupArguments),
    /// Make a shop of such a file; nothing is overwritten
    Restore(carrying::RestoreArguments),
    /// Make a salvaged copy of a damaged opening
    Mend(carrying::MendArguments),
    /// Write the man page to standard output
    #[command(after_help = "Example:\n  evenreveal man > ~/.local/share/man/man1/evenreveal.1")]
    Man,
    /// Write the completions of a shell to standard output
    #[command(
        after_help = "Example:\n  evenreveal completions bash > ~/.local/share/bash-completion/completions/evenreveal"
    )]
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Open your own copy of the sample shop
    Sample {
        /// Start from a fresh copy; the old one is kept beside it
        #[arg(long)]
        fresh: bool,
    },
}

/// Runs the program with `arguments` (the first is the program's own name).
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version go to standard output with code 0, complaints to standard error with 2.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    // Not locked: the screen runs inside, and its watching thread must be able to give the terminal back.
    let mut out = io::BufWriter::new(io::stdout());
    let ended = answer(&arguments, &mut out)
        .and_then(|answer| out.flush().map(|()| answer).map_err(|error| Trouble::output(&error)));
    match ended {
        Ok(answer) => ExitCode::from(answer.code()),
        Err(trouble) => {
            // What was answered before the trouble is still the result.
            let _ = out.flush();
            if !matches!(trouble, Trouble::NobodyReads) {
                say(&trouble.to_string());
            }
            ExitCode::from(trouble.code())
        }
    }
}

fn answer(arguments: &Arguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let named = arguments.shop.as_deref();
    match &arguments.command {
        None => screen(&choice(named, Purpose::Work)?, arguments.contrast, None),
        Some(Command::Solve { file, text }) => planning::solve(&read_input(file)?, &shown_path(file), *text, out),
        Some(Command::Plan { opening, json, anew }) => planning::plan(&looked_at(named)?, opening, *json, *anew, out),
        Some(Command::Log { opening, json, csv }) => {
            let style = logbook::Style::from_flags(*json, *csv);
            logbook::log(&looked_at(named)?, opening, style, out)
        }
        Some(Command::List { json }) => listing::list(&looked_at(named)?, *json, out),
        Some(Command::Batch(arguments)) => batch::batch(&looked_at(named)?, *arguments, out),
        Some(Command::Practice { seed }) => {
            let first = Message::Practice(practice::Answer::Seed(seed.unwrap_or_else(here::clock_number)));
            screen(&choice(named, Purpose::Work)?, arguments.contrast, Some(first))
        }
        Some(Command::Enter { opening, file }) => {
            let text = read_input(file)?;
            let choice = choice(named, Purpose::Work)?;
            let shop = Shop::open(&choice.dir, &choice.access(here::holder()))?;
            enter::enter(&shop, opening, &text, &shown_path(file), out)
        }
        Some(Command::Survey { opening, json }) => {
            before::survey(&looked_at(named)?, opening, before::Style::from_flags(*json, false), out)
        }
        Some(Command::Blank { opening, json, csv }) => {
            before::blank(&looked_at(named)?, opening, before::Style::from_flags(*json, *csv), out)
        }
        Some(Command::Cutlist { json, csv }) => {
            before::cut_list(&looked_at(named)?, before::Style::from_flags(*json, *csv), out)
        }
        Some(Command::Year { opening, json, csv }) => {
            before::year(&looked_at(named)?, opening, before::Style::from_flags(*json, *csv), out)
        }
        Some(Command::Swing { opening, json }) => {
            before::swing(&looked_at(named)?, opening, before::Style::from_flags(*json, false), out)
        }
        Some(Command::Flush { opening, json }) => {
            before::flush(&looked_at(named)?, opening, before::Style::from_flags(*json, false), out)
        }
        Some(Command::Assign { json }) => {
            before::assign(&looked_at(named)?, before::Style::from_flags(*json, false), out)
        }
        Some(Command::Fit(arguments)) => {
            let mut input = io::stdin().lock();
            // A folder that was mistyped must not become a shop unasked.
            if let Err(trouble) = looked_at(named) {
                plain_forms::make_shop(&choice(named, Purpose::Look)?.dir, trouble, &mut input, out)?;
            }
            let runner = crate::shell::runner::Runner::open(&choice(named, Purpose::Work)?)?;
            plain::fit(runner, &arguments.opening, &mut input, out)
        }
        Some(Command::Card(arguments)) => printing::card(&looked_at(named)?, arguments, out),
        Some(Command::Sheet(arguments)) => printing::sheet(&looked_at(named)?, arguments, out),
        Some(Command::Import(arguments)) => {
            let text = read_input(&arguments.file)?;
            importing::import(&worked_on(named)?, &text, &shown_path(&arguments.file), out)
        }
        Some(Command::Export(arguments)) => carrying::export(&looked_at(named)?, arguments, out),
        Some(Command::Backup(arguments)) => carrying::backup(&looked_at(named)?, arguments, out),
        Some(Command::Restore(arguments)) => carrying::restore(&choice(named, Purpose::Look)?.dir, arguments, out),
        Some(Command::Mend(arguments)) => {
            looked_at(named)?;
            carrying::mend(&worked_on(named)?, arguments, out)
        }
        Some(Command::Man) => manual::man(out),
        Some(Command::Completions { shell }) => manual::completions(*shell, out),
        Some(Command::Sample { fresh }) => sample(*fresh, arguments.contrast),
    }
}

/// Opens the screen; `first` is fed in before the first key.
fn screen(choice: &ShopChoice, contrast: bool, first: Option<Message>) -> Result<Answer, Trouble> {
    crate::shell::run(choice, contrast, first)?;
    Ok(Answer::Done)
}

fn sample(fresh: bool, contrast: bool) -> Result<Answer, Trouble> {
    let data = place::data_dir();
    if fresh && let Some(aside) = place::set_sample_aside(data.as_deref())? {
        say(&format!("the copy you had is now {}", aside.display()));
    }
    screen(&place::sample(data.as_deref())?, contrast, None)
}

fn choice(named: Option<&Path>, purpose: Purpose) -> Result<ShopChoice, Trouble> {
    Ok(place::choose(named, place::data_dir().as_deref(), purpose)?)
}

fn looked_at(named: Option<&Path>) -> Result<Shop, Trouble> {
    Ok(Shop::open(&choice(named, Purpose::Look)?.dir, &Access::Look)?)
}

fn worked_on(named: Option<&Path>) -> Result<Shop, Trouble> {
    let choice = choice(named, Purpose::Work)?;
    Ok(Shop::open(&choice.dir, &choice.access(here::holder()))?)
}

fn shown_path(file: &Path) -> String {
    if file == Path::new("-") { "standard input".to_owned() } else { file.display().to_string() }
}

/// The text of a file, or of standard input.
fn read_input(file: &Path) -> Result<String, Trouble> {
    let bad = |why: String| Trouble::Input(format!("{}: {why}", shown_path(file)));
    let mut bytes = Vec::new();
    let limit = crate::shop::files::LARGEST_FILE;
    let read = if file == Path::new("-") {
        io::stdin().lock().take(limit).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(file).and_then(|opened| opened.take(limit).read_to_end(&mut bytes))
    };
    read.map_err(|error| bad(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| {
        bad(format!("byte {} is not UTF-8 text; save the file as UTF-8", error.utf8_error().valid_up_to() + 1))
    })
}

/// A message for the user, on standard error. Nobody listening is no trouble.
fn say(message: &str) {
    let _ = writeln!(io::stderr().lock(), "evenreveal: {message}");
}

/// What is wrong with an opening's log: which file, which line, and that nothing is advised from it.
fn unsound(opening: &Opening, trouble: &crate::shop::log::Trouble) -> String {
    let what = crate::bench::words::unsound(trouble.kind());
    format!("{}: {trouble}; {what}", opening.path().display())
}

/// One line of a result.
fn put(out: &mut dyn Write, line: &str) -> Result<(), Trouble> {
    writeln!(out, "{line}").map_err(|error| Trouble::output(&error))
}
