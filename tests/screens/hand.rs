//! Types keys into the app and looks at the picture, as a person would.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use spanwise::screen::desk::Desk;
use spanwise::screen::{App, Look, Seen, Start, Target};

use crate::fake::FakeDesk;

/// Opens the series of the selected step, types a whole table, both directions, up and down, and saves it.
pub const SERIES: &str = "r40<Enter>1.0<Enter>80<Enter>2.0<Enter>120<Enter>3.0<Enter>80<Enter>2.1<Enter>40<Enter>1.1<Enter>\
    /40<Enter>1.0<Enter>80<Enter>2.0<Enter>120<Enter>3.1<Enter>80<Enter>2.1<Enter>40<Enter>1.1<Enter><Enter>2<Enter>1<Enter>";

pub struct Hand<D = FakeDesk> {
    pub app: App,
    pub desk: D,
    pub size: (u16, u16),
}

impl Hand {
    pub fn at_work() -> Hand {
        Hand::with(FakeDesk::at_work(), Start::Worksheet)
    }
}

impl<D: Desk> Hand<D> {
    pub fn with(desk: D, start: Start) -> Hand<D> {
        let app = App::new(start, Look { colour: true, ascii: false }, &desk);
        Hand { app, desk, size: (80, 24) }
    }

    /// Plain characters are typed; `<Enter>`, `<C-s>`, `<Tab>` … are keys.
    pub fn keys(&mut self, keys: &str) -> &mut Self {
        let mut rest = keys;
        while let Some(c) = rest.chars().next() {
            let named = rest.strip_prefix('<').and_then(|inner| inner.split_once('>'));
            if let Some((name, after)) = named.filter(|(name, _)| !name.is_empty()) {
                self.press(key_named(name));
                rest = after;
            } else {
                self.press(KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE));
                rest = &rest[c.len_utf8()..];
            }
        }
        self
    }

    fn press(&mut self, event: KeyEvent) {
        self.app.key(&mut self.desk, event);
        // The program draws after every event; scrolling depends on it.
        self.look();
    }

    pub fn look(&mut self) -> (Terminal<TestBackend>, Seen) {
        let backend = TestBackend::new(self.size.0, self.size.1);
        let mut terminal = Terminal::new(backend).expect("a test terminal");
        let mut seen = Seen::default();
        let desk: &dyn Desk = &self.desk;
        terminal.draw(|frame| seen = self.app.draw(desk, frame)).expect("drawn");
        self.app.saw(seen.clone());
        (terminal, seen)
    }

    /// The picture as text, blanks at the line ends taken off.
    pub fn picture(&mut self) -> String {
        let (terminal, _) = self.look();
        let buffer = terminal.backend().buffer();
        let line = |y: u16| {
            let cells = (0..buffer.area.width).map(|x| buffer[(x, y)].symbol());
            cells.collect::<String>().trim_end().to_string()
        };
        (0..buffer.area.height).map(line).collect::<Vec<_>>().join("\n")
    }

    pub fn message(&self) -> &str {
        self.app.message().unwrap_or("")
    }

    pub fn sees(&mut self, text: &str) -> bool {
        self.picture().contains(text)
    }

    pub fn click(&mut self, target: Target) {
        let (_, seen) = self.look();
        let place = seen.place_of(target).unwrap_or_else(|| panic!("{target:?} is not on the screen"));
        self.mouse(MouseEventKind::Down(MouseButton::Left), place.x, place.y);
    }

    pub fn mouse(&mut self, kind: MouseEventKind, column: u16, row: u16) {
        let event = MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE };
        self.app.mouse(&mut self.desk, event);
        self.look();
    }
}

fn key_named(name: &str) -> KeyEvent {
    let plain = |code| KeyEvent::new(code, KeyModifiers::NONE);
    match name {
        "Enter" => plain(KeyCode::Enter),
        "Esc" => plain(KeyCode::Esc),
        "Tab" => plain(KeyCode::Tab),
        "Up" => plain(KeyCode::Up),
        "Down" => plain(KeyCode::Down),
        "Left" => plain(KeyCode::Left),
        "Right" => plain(KeyCode::Right),
        "Home" => plain(KeyCode::Home),
        "End" => plain(KeyCode::End),
        "PgDn" => plain(KeyCode::PageDown),
        "BackTab" => plain(KeyCode::BackTab),
        "Bs" => plain(KeyCode::Backspace),
        _ => match name.strip_prefix("C-").and_then(|rest| rest.chars().next()) {
            Some(c) => KeyEvent::new(KeyCode::Char(c), KeyModifiers::CONTROL),
            None => panic!("no key <{name}>"),
        },
    }
}
