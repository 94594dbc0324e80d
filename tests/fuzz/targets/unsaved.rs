//! `unsaved-tables.txt`: tables of an earlier run, put back on the screen and drawn.

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use spanwise::screen::{App, Look, Seen, Start};

use super::{Target, text};
use crate::fake::FakeDesk;

const TABLE: &str =
    "table\tfin.flex\tseries\t\nrow\t0\tup\tset\t50\t1,2\nrow\t1\tdown\t\t77\t1.9 m\nwhy\tagain\n";

pub fn target() -> Target {
    Target::new("unsaved", 80, run).seeds(seeds).tokens_from_seeds()
}

fn run(input: &[u8]) -> bool {
    let mut desk = FakeDesk::at_work();
    desk.unsaved = Some(text(input));
    let mut app = App::new(Start::Worksheet, Look::default(), &desk);
    let restored = !app.drafts().is_empty();
    let size = (80, 24);
    let mut terminal = Terminal::new(TestBackend::new(size.0, size.1)).unwrap_or_else(|why| panic!("{why}"));
    for key in ['j', 'j', 'j', 'r'] {
        let code = crossterm::event::KeyCode::Char(key);
        app.key(&mut desk, crossterm::event::KeyEvent::new(code, crossterm::event::KeyModifiers::NONE));
        let mut seen = Seen::default();
        let drawn = terminal.draw(|frame| seen = app.draw(&desk, frame)).map(drop);
        drawn.unwrap_or_else(|why| panic!("{why}"));
        app.saw(seen);
    }
    restored
}

fn seeds() -> Vec<Vec<u8>> {
    vec![TABLE.into(), format!("{TABLE}{TABLE}").into()]
}
