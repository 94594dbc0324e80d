//! The picture of a terminal of 80x24, after the keys that a guide's remark names.

use std::time::Duration;

use crate::binary::Place;
use crate::hand::Terminal;

/// `steps`: the program's arguments first, then `see "text"`, `keys <Down>x`, `choose "option"`, one a line.
pub fn picture(place: &Place, steps: &[String]) -> String {
    let arguments = crate::guides::world::words(&steps[0]);
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let mut terminal = Terminal::open(place, &arguments);
    for step in &steps[1..] {
        let (what, rest) = step.split_once(' ').unwrap_or_else(|| panic!("\"{step}\" says nothing to do"));
        let text = rest.trim().trim_matches('"');
        match what {
            "see" => terminal.see(text),
            "gone" => terminal.see_no(text),
            "keys" => terminal.keys(rest),
            "choose" => terminal.choose(text),
            other => panic!("\"{other}\" is no step: see, gone, keys or choose"),
        };
    }
    let picture = settled(&terminal);
    terminal.kill();
    picture
}

/// A picture that a while later is the same: what was waited for may stand in one that is half drawn.
fn settled(terminal: &Terminal) -> String {
    let mut before = terminal.picture();
    loop {
        std::thread::sleep(Duration::from_millis(400));
        let now = terminal.picture();
        if now == before {
            return now;
        }
        before = now;
    }
}
