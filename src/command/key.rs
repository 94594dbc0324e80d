//! A key as the table of commands names it, independent of any terminal library.

/// What was pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Key {
    Char(char),
    Ctrl(char),
    Function(u8),
    Enter,
    Esc,
    Tab,
    BackTab,
    Up,
    Down,
    Left,
    Right,
    PageUp,
    PageDown,
    Home,
    End,
    Backspace,
    Delete,
}

impl Key {
    /// The same key with a small letter.
    pub fn folded(self) -> Key {
        match self {
            Key::Char(c) => Key::Char(c.to_ascii_lowercase()),
            Key::Ctrl(c) => Key::Ctrl(c.to_ascii_lowercase()),
            other => other,
        }
    }

    /// As a person reads it on a key cap.
    pub fn words(self) -> String {
        match self {
            Key::Char(' ') => "Space".to_string(),
            Key::Char(c) => c.to_string(),
            Key::Ctrl(c) => format!("Ctrl-{}", c.to_ascii_uppercase()),
            Key::Function(n) => format!("F{n}"),
            Key::Enter => "Enter".to_string(),
            Key::Esc => "Esc".to_string(),
            Key::Tab => "Tab".to_string(),
            Key::BackTab => "Shift-Tab".to_string(),
            Key::Up => "Up".to_string(),
            Key::Down => "Down".to_string(),
            Key::Left => "Left".to_string(),
            Key::Right => "Right".to_string(),
            Key::PageUp => "PgUp".to_string(),
            Key::PageDown => "PgDn".to_string(),
            Key::Home => "Home".to_string(),
            Key::End => "End".to_string(),
            Key::Backspace => "Backspace".to_string(),
            Key::Delete => "Delete".to_string(),
        }
    }
}
