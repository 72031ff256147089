//! What the bytes of a log hold, as far as they can be trusted. A pure function of the bytes.

use super::event::{FORMAT, Header, Record};
use super::line::{self, LineError};
use super::stage::Unsound;

/// What the bytes of a log hold, as far as they can be trusted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contents {
    /// The first line, where it can be read.
    pub header: Option<Header>,
    /// Every event before the first line that cannot be used.
    pub records: Vec<Record>,
    /// Length of the file up to the end of the last good line.
    pub good_length: usize,
    /// What follows the last good line.
    pub tail: Tail,
    /// Why the file must not be written to, if so.
    pub trouble: Option<Trouble>,
    /// Good lines after the one in trouble (a salvaged copy has them too).
    pub beyond: Vec<Record>,
}

/// What follows the last good line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tail {
    /// Nothing.
    #[default]
    Clean,
    /// The last line is whole but has no line end.
    NoLineEnd,
    /// A torn last line.
    Torn,
}

/// Why a file is opened for reading only, found in its content.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// Not a log at all, or its first line is damaged.
    #[error("line 1 is not the start of an opening's log: {why}")]
    NoHeader {
        /// What is wrong with it.
        why: String,
    },
    /// A format that this build does not know.
    #[error("it is in format '{found}', this build knows '{FORMAT}'; use the newer build to change it")]
    NewerFormat {
        /// The format word found.
        found: String,
    },
    /// A whole line whose content this build does not know.
    #[error("line {line} was written by a newer build ({why}); use that build to change the file")]
    NewerContent {
        /// Which line, counted from 1.
        line: usize,
        /// What is not known.
        why: LineError,
    },
    /// A damaged line that is not the last.
    #[error("line {line} is damaged ({why}); the events before it are shown and nothing is changed until you decide")]
    Damaged {
        /// Which line, counted from 1.
        line: usize,
        /// What is wrong with it.
        why: LineError,
    },
    /// A whole line with the wrong number: lines are missing or doubled.
    #[error("line {line} has number {found} where {expected} belongs: a line is missing or doubled")]
    OutOfOrder {
        /// Which line, counted from 1.
        line: usize,
        /// The number found.
        found: u64,
        /// The number that belongs there.
        expected: u64,
    },
    /// The system does not give the file.
    #[error("the file cannot be read: {0}")]
    Unreadable(String),
}

impl Trouble {
    /// What kind of trouble it is.
    pub fn kind(&self) -> Unsound {
        match self {
            Self::NewerFormat { .. } | Self::NewerContent { .. } => Unsound::Newer,
            Self::NoHeader { .. } | Self::Damaged { .. } | Self::OutOfOrder { .. } => Unsound::Damaged,
            Self::Unreadable(_) => Unsound::Unreadable,
        }
    }
}

impl Contents {
    /// Of a file that the system does not give.
    pub fn unreadable(error: &std::io::Error) -> Self {
        Self::default().in_trouble(Trouble::Unreadable(error.to_string()))
    }

    /// Reads the bytes of a log. Never fails: what cannot be trusted is said in the result.
    pub fn read(bytes: &[u8]) -> Self {
        let mut contents = Self::default();
        let mut lines = Lines { bytes, at: 0 };
        let Some(first) = lines.next() else {
            return contents.in_trouble(Trouble::NoHeader { why: "the file is empty".to_owned() });
        };
        // The format word first: a newer format may have other rules for everything else.
        if let Some(found) = line::format_word(first.text)
            && found != FORMAT
        {
            return contents.in_trouble(Trouble::NewerFormat { found: found.chars().take(60).collect() });
        }
        match line::read_header(first.text) {
            Ok(header) => contents.header = Some(header),
            Err(why) => return contents.in_trouble(Trouble::NoHeader { why: why.to_string() }),
        }
        contents.accept(&first, lines.at);
        contents.read_records(lines);
        contents
    }

    fn read_records(&mut self, mut lines: Lines<'_>) {
        let mut number = 1;
        while let Some(next) = lines.next() {
            number += 1;
            let expected = self.records.len() as u64 + 1;
            let trouble = match line::read_record(next.text) {
                Ok(record) if record.n == expected => {
                    self.records.push(record);
                    self.accept(&next, lines.at);
                    continue;
                }
                Ok(record) => Trouble::OutOfOrder { line: number, found: record.n, expected },
                Err(why @ LineError::Content(_)) => Trouble::NewerContent { line: number, why },
                Err(why) if was_whole(&next, &why) => Trouble::Damaged { line: number, why },
                Err(_) if lines.at == lines.bytes.len() => match self.read_last(next.text, expected) {
                    Ok(()) => return,
                    Err(why) => Trouble::Damaged { line: number, why },
                },
                Err(why) => Trouble::Damaged { line: number, why },
            };
            let here = line::read_record(next.text).ok();
            self.trouble = Some(trouble);
            self.beyond = here.into_iter().chain(lines.filter_map(|line| line::read_record(line.text).ok())).collect();
            return;
        }
    }

    /// A last line that is not good as it stands: torn, or a whole one with torn bytes after it. Two
    /// whole lines run together are not a torn tail but damage.
    fn read_last(&mut self, text: &[u8], expected: u64) -> Result<(), LineError> {
        if let Some(end) = line::whole_line_within(text) {
            let (whole, rest) = text.split_at(end);
            if rest
                .get(1..)
                .is_some_and(|rest| line::read_record(rest).is_ok() || line::whole_line_within(rest).is_some())
            {
                return Err(LineError::RunOn);
            }
            if let Ok(record) = line::read_record(whole)
                && record.n == expected
            {
                self.records.push(record);
                self.good_length += end;
            }
        }
        self.tail = Tail::Torn;
        Ok(())
    }

    fn accept(&mut self, line: &Line<'_>, end: usize) {
        self.good_length = end;
        self.tail = if line.ended { Tail::Clean } else { Tail::NoLineEnd };
    }

    fn in_trouble(mut self, trouble: Trouble) -> Self {
        self.trouble = Some(trouble);
        self
    }
}

/// Was this line there to its end once, so that it may have been called kept? It has its line end and a checksum, and
/// only what stands before that is another text now. A power cut leaves the beginning of a line, or nothing (zeros)
/// where some of it should be: that is torn, and was never called kept.
fn was_whole(line: &Line<'_>, why: &LineError) -> bool {
    matches!(why, LineError::WrongChecksum { .. }) && line.ended && !line.text.contains(&0)
}

struct Line<'a> {
    text: &'a [u8],
    ended: bool,
}

struct Lines<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Iterator for Lines<'a> {
    type Item = Line<'a>;

    fn next(&mut self) -> Option<Line<'a>> {
        let rest = self.bytes.get(self.at..).filter(|rest| !rest.is_empty())?;
        let end = rest.iter().position(|&byte| byte == b'\n');
        self.at += end.map_or(rest.len(), |end| end + 1);
        Some(Line { text: &rest[..end.unwrap_or(rest.len())], ended: end.is_some() })
    }
}
