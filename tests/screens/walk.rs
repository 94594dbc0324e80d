//! Every screen and form, drawn in a certain look: what holds for all of them is asked here once.

use ratatui::buffer::Buffer;
use spanwise::screen::desk::Desk;
use spanwise::screen::{App, Look, Seen, Start};

use crate::files::{empty, entered};
use crate::hand::Hand;
use crate::pictures::busy;

/// Screens of a session with a bit of everything: the keys that lead there, and what is seen there.
const SESSION: [(&str, &str, &str); 20] = [
    ("worksheet", "<Home>", "Worksheet"),
    ("worksheet, a failed step", "1<Home><Down><Down>", "fin.skin"),
    ("worksheet, the load step", "1<Home><Down><Down><Down>", "fin.flex"),
    ("defects", "2", "Defects"),
    ("defects on the airframe", "2v", "Defects on the airframe"),
    ("records", "<Esc>3", "Records"),
    ("readings", "4", "Readings"),
    ("history", "5", "History"),
    ("sign-off", "6", "Sign-off"),
    ("replay", "7<Home>", "Replay"),
    ("replay: worksheet", "<Tab>", "Replay: worksheet"),
    ("findings", "8", "Findings"),
    ("order", "9", "Hangar order"),
    ("hand-over", "0", "Hand-over"),
    ("help", "?", "Help"),
    ("note", "<Esc>1n", "Note: "),
    ("defect form", "<C-x>d", "Defect found by"),
    ("choice", "<C-x>w", "Who is working?"),
    ("menu", "<Esc>.", "what next?"),
    ("load table", "<Esc><Home><Down><Down><Down>r40<Enter>1.0<Enter>80", "deflection"),
];

fn visit<D: Desk>(hand: &mut Hand<D>, name: &str, shows: &str, asked: &mut dyn FnMut(&str, &Buffer, &Seen)) {
    let (terminal, seen) = hand.look();
    let told = text(terminal.backend().buffer());
    assert!(told.contains(shows), "{name}: no \"{shows}\" on it:\n{told}");
    asked(name, terminal.backend().buffer(), &seen);
}

/// Draws them all. `folder` is the name of a folder for those that need a real one: no other test may use it.
pub fn each_screen(look: Look, size: (u16, u16), folder: &str, mut asked: impl FnMut(&str, &Buffer, &Seen)) {
    let mut hand = busy();
    hand.app = App::new(Start::Hangar, look, &hand.desk);
    hand.size = size;
    visit(&mut hand, "hangar", "Demo hangar", &mut asked);
    hand.app = App::new(Start::Worksheet, look, &hand.desk);
    for (name, keys, shows) in SESSION {
        hand.keys(keys);
        visit(&mut hand, name, shows, &mut asked);
    }
    hand.keys("<Esc>m");
    visit(&mut hand, "which sheet", "which sheet?", &mut asked);
    let code = hand.desk.printed();
    hand.keys(&code).keys("<C-s><Down>zz");
    visit(&mut hand, "from paper", "From paper: sheet", &mut asked);
    let folder = empty(folder);
    let mut hand = entered(&folder, (80, 24));
    hand.app = App::new(Start::Hangar, look, &hand.desk);
    hand.size = size;
    for (name, keys, shows) in [
        ("airframe", "e", "Airframe"),
        ("report form", "]a", "kind *"),
        ("registers", "<Esc><Esc>r", "Registers"),
    ] {
        hand.keys(keys);
        visit(&mut hand, name, shows, &mut asked);
    }
}

/// The picture as text.
pub fn text(buffer: &Buffer) -> String {
    let line = |y: u16| (0..buffer.area.width).map(|x| buffer[(x, y)].symbol()).collect::<String>();
    (0..buffer.area.height).map(|y| line(y).trim_end().to_string()).collect::<Vec<_>>().join("\n")
}
