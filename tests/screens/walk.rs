//! Every screen and form, drawn in a certain look: what holds for all of them is asked here once.

use ratatui::buffer::Buffer;
use spanwise::screen::desk::Desk;
use spanwise::screen::{App, Look, Seen, Start};

use crate::files::{empty, entered};
use crate::hand::Hand;
use crate::pictures::busy;

/// Screens of a session with a bit of everything: where they are, and the keys that lead there.
const SESSION: [(&str, &str); 20] = [
    ("worksheet", "<Esc>1<Home>"),
    ("worksheet, a failed step", "1<Home><Down><Down>"),
    ("worksheet, the load step", "1<Home><Down><Down><Down>"),
    ("defects", "2"),
    ("defects on the airframe", "2v"),
    ("records", "<Esc>3"),
    ("readings", "4"),
    ("history", "5"),
    ("sign-off", "6"),
    ("replay", "7<Home>"),
    ("replay: worksheet", "<Tab>"),
    ("findings", "8"),
    ("order", "9"),
    ("hand-over", "0"),
    ("help", "?"),
    ("note", "<Esc>1n"),
    ("defect form", "<C-x>d"),
    ("choice", "<C-x>w"),
    ("menu", "<Esc>."),
    ("load table", "<Esc><Home><Down><Down><Down>r40<Enter>1.0<Enter>80"),
];

fn visit<D: Desk>(hand: &mut Hand<D>, name: &str, asked: &mut dyn FnMut(&str, &Buffer, &Seen)) {
    let (terminal, seen) = hand.look();
    asked(name, terminal.backend().buffer(), &seen);
}

/// Draws them all. `folder` is the name of a folder for those that need a real one: no other test may use it.
pub fn each_screen(look: Look, size: (u16, u16), folder: &str, mut asked: impl FnMut(&str, &Buffer, &Seen)) {
    let mut hand = busy();
    hand.app = App::new(Start::Hangar, look, &hand.desk);
    hand.size = size;
    visit(&mut hand, "hangar", &mut asked);
    hand.app = App::new(Start::Worksheet, look, &hand.desk);
    for (name, keys) in SESSION {
        hand.keys(keys);
        visit(&mut hand, name, &mut asked);
    }
    let folder = empty(folder);
    let mut hand = entered(&folder, (80, 24));
    hand.app = App::new(Start::Hangar, look, &hand.desk);
    hand.size = size;
    for (name, keys) in [("airframe", "e"), ("report form", "]a"), ("registers", "<Esc><Esc>r")] {
        hand.keys(keys);
        visit(&mut hand, name, &mut asked);
    }
}

/// The picture as text.
pub fn text(buffer: &Buffer) -> String {
    let line = |y: u16| (0..buffer.area.width).map(|x| buffer[(x, y)].symbol()).collect::<String>();
    (0..buffer.area.height).map(|y| line(y).trim_end().to_string()).collect::<Vec<_>>().join("\n")
}
