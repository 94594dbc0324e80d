//! The document: parts made of blocks, whatever form it takes later.

use chrono::{DateTime, FixedOffset};

use crate::plot::{Plot, TapCell};

/// A whole document.
#[derive(Debug, Clone)]
pub struct Document {
    /// BCP 47 tag of the fixed wording.
    pub language: &'static str,
    pub title: String,
    /// The moment that it tells of; none where nothing is recorded yet.
    pub dated: Option<DateTime<FixedOffset>>,
    /// What it is about, at the head of every page.
    pub head: String,
    /// Stand on every page: draft, not airworthy, invented, damaged.
    pub marks: Vec<PageMark>,
    /// Session and paper code, at the foot of every page.
    pub foot: String,
    pub parts: Vec<Part>,
}

/// What every page must say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageMark {
    pub tone: Tone,
    pub text: String,
}

/// How grave something is. It is told by words and sign; colour may only repeat it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    Grave,
    Caution,
    Good,
    Plain,
}

/// One part with a title of its own; on paper it begins a page where `starts_page` says so.
#[derive(Debug, Clone)]
pub struct Part {
    /// Stable, kebab-case: what `--only` names and links lead to.
    pub id: &'static str,
    pub title: String,
    pub starts_page: bool,
    pub blocks: Vec<Block>,
}

#[derive(Debug, Clone)]
pub enum Block {
    /// A heading inside a part; level 2 stands in the outline, too. Its id is a target for links.
    Heading {
        level: u8,
        id: String,
        text: String,
    },
    Para(Text),
    Notice {
        tone: Tone,
        text: Text,
    },
    /// Name and value, one pair a line.
    Facts(Vec<(String, Text)>),
    List(Vec<Text>),
    Table(Table),
    Figure(Figure),
    /// Lines as they are, in one width of letters, such as a command.
    Lines(Vec<String>),
    /// Lines to sign on, with what belongs on each.
    SignatureLines(Vec<String>),
}

/// Text as runs of one style each.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Text(pub Vec<Run>);

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    pub text: String,
    pub style: Style,
    /// Id of a heading or step of the same document.
    pub link: Option<String>,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Style {
    pub strong: bool,
    /// Codes, hashes, commands.
    pub mono: bool,
    /// Taken back; a line is drawn through it.
    pub struck: bool,
    /// Of lesser weight: times, entry numbers.
    pub quiet: bool,
    /// English in a document of another language.
    pub english: bool,
}

impl Style {
    pub const PLAIN: Style =
        Style { strong: false, mono: false, struck: false, quiet: false, english: false };
    pub const STRONG: Style = Style { strong: true, ..Style::PLAIN };
    pub const MONO: Style = Style { mono: true, ..Style::PLAIN };
    pub const STRUCK: Style = Style { struck: true, ..Style::PLAIN };
    pub const QUIET: Style = Style { quiet: true, ..Style::PLAIN };
}

impl Text {
    pub fn plain(text: impl AsRef<str>) -> Text {
        Text::default().and(text)
    }

    pub fn strong(text: impl AsRef<str>) -> Text {
        Text::default().with(text, Style::STRONG)
    }

    pub fn mono(text: impl AsRef<str>) -> Text {
        Text::default().with(text, Style::MONO)
    }

    pub fn struck(text: impl AsRef<str>) -> Text {
        Text::default().with(text, Style::STRUCK)
    }

    #[must_use]
    pub fn and(self, text: impl AsRef<str>) -> Text {
        self.with(text, Style::PLAIN)
    }

    #[must_use]
    pub fn quiet(self, text: impl AsRef<str>) -> Text {
        self.with(text, Style::QUIET)
    }

    /// Appends a run. What no page can show (control and direction signs) is replaced here, once for all forms.
    #[must_use]
    pub fn with(mut self, text: impl AsRef<str>, style: Style) -> Text {
        let text = shown(text.as_ref());
        if !text.is_empty() {
            self.0.push(Run { text, style, link: None });
        }
        self
    }

    #[must_use]
    pub fn link(mut self, text: impl AsRef<str>, target: impl Into<String>) -> Text {
        self.0.push(Run { text: shown(text.as_ref()), style: Style::PLAIN, link: Some(target.into()) });
        self
    }

    #[must_use]
    pub fn joined(mut self, other: Text) -> Text {
        self.0.extend(other.0);
        self
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The letters alone.
    pub fn letters(&self) -> String {
        self.0.iter().map(|run| run.text.as_str()).collect()
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Text {
        Text::plain(text)
    }
}

impl From<String> for Text {
    fn from(text: String) -> Text {
        Text::plain(text)
    }
}

/// Line ends and tabs become blanks; other control signs and those that turn the direction of writing, with which
/// a text could hide what it says, become U+FFFD.
pub fn shown(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' | '\u{85}' => ' ',
            c if c.is_control() => '\u{FFFD}',
            '\u{200E}' | '\u{200F}' | '\u{061C}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => {
                '\u{FFFD}'
            }
            '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}' | '\u{FFFE}' | '\u{FFFF}' | '\u{E0000}'..='\u{E007F}' => {
                '\u{FFFD}'
            }
            c => c,
        })
        .collect()
}

#[derive(Debug, Clone)]
pub struct Table {
    /// What it holds; read out before it.
    pub caption: String,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

impl Table {
    /// Which column names the rows.
    pub fn naming_column(&self) -> usize {
        self.columns.iter().position(|column| column.names_row).unwrap_or(0)
    }
}

#[derive(Debug, Clone)]
pub struct Column {
    pub title: &'static str,
    /// Share of the width.
    pub share: f32,
    pub align: Align,
    /// Its cells name their rows; without such a column the first one does.
    pub names_row: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    Left,
    Right,
}

#[derive(Debug, Clone)]
pub enum Row {
    /// One text for each column; [`Table::naming_column`] names the row. The id is a target for links.
    Cells { id: Option<String>, cells: Vec<Text> },
    /// Words over the rows that follow.
    Group { text: Text },
    /// More about the row before it, from the second column on.
    Detail { text: Text },
    /// More about the row before it, over the whole width.
    Note { text: Text },
    /// Room to write by hand.
    Blank,
}

impl Row {
    pub fn cells(cells: Vec<Text>) -> Row {
        Row::Cells { id: None, cells }
    }
}

pub fn column(title: &'static str, share: f32) -> Column {
    Column { title, share, align: Align::Left, names_row: false }
}

pub fn number_column(title: &'static str, share: f32) -> Column {
    Column { title, share, align: Align::Right, names_row: false }
}

/// A column whose cells name their rows.
pub fn naming_column(title: &'static str, share: f32) -> Column {
    Column { names_row: true, ..column(title, share) }
}

#[derive(Debug, Clone)]
pub struct Figure {
    pub caption: String,
    /// What it shows, in words, for whoever cannot see it.
    pub description: String,
    /// Height of a plot's field, in widths.
    pub share: f32,
    pub drawing: Drawing,
}

#[derive(Debug, Clone)]
pub enum Drawing {
    Plot(Plot),
    Tap(Vec<Vec<TapCell>>),
    /// Views of the airframe as plots of one scale, then the legend in whole sentences; the same as lines of text.
    Airframe {
        views: Vec<Plot>,
        legend: Vec<String>,
        lines: Vec<String>,
    },
}
