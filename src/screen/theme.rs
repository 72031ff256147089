//! Styles by meaning. A screen asks for "tight", never for a colour, so one switch serves everybody.
//!
//! Colour is only ever added to a glyph and a word, never the sole sign of anything. Blue and orange,
//! not red and green: they stay apart for the usual kinds of colour blindness. The indexed shades used
//! stand about equally well on a black and on a white ground.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of the screen means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// Ordinary words.
    Text,
    /// The name of what one is looking at.
    Title,
    /// A gap below its reveal.
    Tight,
    /// A gap as wanted.
    Right,
    /// A gap above its reveal.
    Wide,
    /// A station that was not read yet.
    Unread,
    /// What to do next.
    Next,
    /// A danger, a refusal, something the user must know before the next step.
    Caution,
    /// What may be overlooked.
    Quiet,
    /// The place where keys act.
    Cursor,
    /// The face frame, a fence: what stands still.
    Frame,
    /// The outline of a leaf.
    Leaf,
    /// Wood to remove.
    Wood,
    /// The line of a blade.
    Blade,
    /// Hinges.
    Hinge,
    /// A key to press.
    Key,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 16] = [
        Self::Text,
        Self::Title,
        Self::Tight,
        Self::Right,
        Self::Wide,
        Self::Unread,
        Self::Next,
        Self::Caution,
        Self::Quiet,
        Self::Cursor,
        Self::Frame,
        Self::Leaf,
        Self::Wood,
        Self::Blade,
        Self::Hinge,
        Self::Key,
    ];
}

/// Which set of styles is in use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Palette {
    /// Blue and orange on the terminal's own ground.
    #[default]
    Colour,
    /// Bold, underline and reverse only: for `NO_COLOR`.
    Plain,
    /// Black and white with a few full colours as grounds.
    HighContrast,
}

/// The styles of one palette.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Theme {
    palette: Palette,
}

const ORANGE: Color = Color::Indexed(166);
const BLUE: Color = Color::Indexed(32);
const GREY: Color = Color::Indexed(244);
const BROWN: Color = Color::Indexed(137);
const BRIGHT_ORANGE: Color = Color::Indexed(214);
const NAVY: Color = Color::Indexed(19);

impl Theme {
    /// The theme of a palette.
    pub const fn new(palette: Palette) -> Self {
        Self { palette }
    }

    /// The palette that `NO_COLOR` asks for (no-color.org: set and not empty means no colour).
    /// The caller reads the environment; a high-contrast choice in the settings has no say over it.
    pub fn from_no_color(no_color: Option<&str>, otherwise: Palette) -> Self {
        Self::new(if no_color.is_some_and(|value| !value.is_empty()) { Palette::Plain } else { otherwise })
    }

    /// Its palette.
    pub const fn palette(self) -> Palette {
        self.palette
    }

    /// How something of that meaning is drawn.
    pub fn style(self, role: Role) -> Style {
        match self.palette {
            Palette::Colour => colour(role),
            Palette::Plain => plain(role),
            Palette::HighContrast => high_contrast(role),
        }
    }
}

fn plain(role: Role) -> Style {
    let style = Style::new();
    match role {
        Role::Title | Role::Tight | Role::Next | Role::Key | Role::Hinge => style.add_modifier(Modifier::BOLD),
        Role::Wide => style.add_modifier(Modifier::UNDERLINED),
        Role::Caution => style.add_modifier(Modifier::BOLD | Modifier::UNDERLINED),
        Role::Cursor => style.add_modifier(Modifier::BOLD | Modifier::REVERSED),
        Role::Text | Role::Right | Role::Unread | Role::Quiet | Role::Frame | Role::Leaf | Role::Wood | Role::Blade => {
            style
        }
    }
}

fn colour(role: Role) -> Style {
    let style = plain(role);
    match role {
        Role::Tight | Role::Caution | Role::Blade => style.fg(ORANGE),
        Role::Wide | Role::Key => style.fg(BLUE),
        Role::Unread | Role::Quiet => style.fg(GREY),
        Role::Wood | Role::Frame => style.fg(BROWN),
        Role::Text | Role::Title | Role::Right | Role::Next | Role::Cursor | Role::Leaf | Role::Hinge => style,
    }
}

fn high_contrast(role: Role) -> Style {
    let style = plain(role);
    match role {
        Role::Tight => style.fg(Color::Black).bg(BRIGHT_ORANGE),
        Role::Wide => style.fg(Color::White).bg(NAVY).add_modifier(Modifier::BOLD),
        Role::Caution => style.fg(Color::Black).bg(Color::Indexed(226)),
        Role::Text | Role::Right | Role::Frame | Role::Leaf | Role::Wood | Role::Blade => {
            style.add_modifier(Modifier::BOLD)
        }
        Role::Title | Role::Unread | Role::Next | Role::Quiet | Role::Cursor | Role::Hinge | Role::Key => style,
    }
}
