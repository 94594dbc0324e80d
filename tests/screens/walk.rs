//! Every screen and form, drawn in a certain look: what holds for all of them is asked here once.

use ratatui::buffer::Buffer;
use spanwise::screen::desk::Desk;
use spanwise::screen::{App, Look, Seen, Start};
use spanwise::words::{Language, current, with_language};

use crate::files::{empty, entered, reopened};
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
    // In English the walk makes sure that the keys lead where it says; elsewhere the same keys lead to the same place.
    let is_told = current() != Language::English || told.contains(shows);
    assert!(is_told, "{name}: no \"{shows}\" on it:\n{told}");
    asked(name, terminal.backend().buffer(), &seen);
}

/// What lies over the screens of that session, each reached from the worksheet.
const OVER: [(&str, &str, &str); 32] = [
    ("configuration", "<Home><Down><Down><Down>k", "Does the airframe stand so now?"),
    ("correction", "<Home>c", "What is to be corrected?"),
    ("which reading", "<End>r", "Which measurement?"),
    ("reading", "<End>ra", "Reading: play"),
    ("evidence", "<End>e", "Evidence: Rudder play"),
    ("not applicable", "<Home><Down><Down><Down><Down>x", "Not applicable: Camera"),
    ("pause", "z", "Pause the session"),
    ("progress", "l", "Progress and time"),
    ("search", "/", "Search the steps"),
    ("hits", "/root<Enter>", "2 hits"),
    ("decision", "2a", "Decide on d1"),
    ("correction of a defect", "2c", "Take back entry 4"),
    ("a report set aside", "3<Home><Down><Enter>", "Set aside: radio"),
    ("directive", "3<Home><Down><Down><Enter>", "Directive INV-2026-01"),
    ("life-limited item", "3<Home><Down><Down><Down><Enter>", "Life-limited: Harness"),
    ("new report", "3p", "What was reported"),
    ("plan now", "3v", "the plan would be the same as now"),
    ("signature refused", "6<Home><Enter>", "cannot be signed"),
    ("to an entry", "7g", "Go to an entry"),
    ("to a step", "7t", "Go to a step"),
    ("search of the record", "7/", "Search the record"),
    ("opening", "0o", "Propose an opening"),
    ("brief to a file", "0b", "Write the brief to a file"),
    ("other screens", ",", "Which screen?"),
    ("rescue copy", "<C-r>", "Rescue copy"),
    ("leaving", "q", "Leave the program?"),
    ("initials", "t", "Initials: Lateral flex"),
    ("nothing asked for", "=", "= does nothing here"),
    ("order, a block to confirm", "9<End>k", "Block 2: support trestles"),
    ("undo", "k1u", "Take back"),
    ("second inspection", "w2<End>i", "Independent inspection: Rudder"),
    ("beginning another", "w1<Esc><Home><Enter>", "An annual on X-LARK is running already"),
];

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
    for (name, keys, shows) in OVER {
        hand.desk.unsaved = None;
        hand.app = App::new(Start::Worksheet, look, &hand.desk);
        hand.keys(keys);
        visit(&mut hand, name, shows, &mut asked);
    }
    let folder = empty(folder);
    // Entered in English, by the messages of which it is checked.
    with_language(Language::English, || drop(entered(&folder, (80, 24))));
    let mut hand = reopened(&folder);
    hand.app = App::new(Start::Hangar, look, &hand.desk);
    hand.size = size;
    for (name, keys, shows) in [
        ("airframe", "e", "Airframe"),
        ("report form", "]a", "kind *"),
        ("airframe head form", "<Esc><Home>e", "registration *"),
        ("defect on record", "<Esc>]]a", "Add a defect"),
        ("directive on record", "<Esc>]a", "Add a directive"),
        ("compliance", "<Esc>]a", "Add a compliance"),
        ("life item on record", "<Esc>]a", "Add a life-limited"),
        ("taking out", "<Esc><Home><Down><Down>x", "out: r1?"),
        ("registers", "<Esc><Esc><Esc>r", "Registers"),
        ("person", "<Home>a", "Add a person"),
        ("authorisation", "<Esc><Down>t", "Add an authorisation"),
        ("key", "<Esc>k", "Key of Ada Example"),
        ("instrument", "<Esc><End>a", "Add an instrument"),
        ("new airframe", "<Esc><Esc>n", "New airframe"),
        ("order before it is begun", "<Esc>9", "Block 1"),
        ("beginning on a folder", "<Esc><Home><Enter>", "Begin an annual on XX-EX1?"),
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
