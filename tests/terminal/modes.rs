//! What the terminal itself sees: size, mouse, colours, signals, a second window.

use vt100::Color;

use super::hand::Terminal;
use crate::binary::{GLIDER, INSPECTOR, Place};

fn at_work(place: &Place) -> Terminal {
    let mut terminal = Terminal::open(place, &["work", GLIDER, "--by", INSPECTOR]);
    terminal.see("Identity and build standard").see("? help");
    terminal
}

fn is_restored(screen: &vt100::Screen) -> bool {
    !screen.alternate_screen()
        && !screen.hide_cursor()
        && !screen.bracketed_paste()
        && screen.mouse_protocol_mode() == vt100::MouseProtocolMode::None
}

#[test]
fn the_terminal_is_given_back_on_leaving() {
    let place = Place::begun();
    let mut terminal = at_work(&place);
    assert!(terminal.look(vt100::Screen::alternate_screen));
    terminal.keys("q").see("Leave the program?").keys("2");
    assert!(terminal.ended().success());
    assert!(terminal.look(is_restored), "{}", terminal.picture());
}

#[test]
fn the_terminal_is_given_back_on_a_signal() {
    let place = Place::begun();
    for name in ["TERM", "HUP", "INT"] {
        let mut terminal = at_work(&place);
        terminal.signal(name);
        let status = terminal.ended();
        assert!(!status.success(), "SIG{name}: a script must see that it did not end by itself");
        assert!(terminal.look(is_restored), "SIG{name}: {}", terminal.picture());
        let told = terminal.picture().replace('\n', " ");
        assert!(told.contains("everything shown as saved is on the disk"), "SIG{name}: {told}");
    }
}

#[test]
fn it_draws_anew_after_a_resize_and_says_when_there_is_no_room() {
    let place = Place::begun();
    let mut terminal = at_work(&place);
    terminal.resize(50, 132);
    terminal.see("Identity and build standard").see("sign-off");
    terminal.wait_look("something on the last lines", |screen| {
        screen.rows(0, 132).skip(45).any(|row| !row.trim().is_empty())
    });
    terminal.resize(24, 80);
    terminal.see("Identity and build standard").keys("p").see("saved, entry");
    // Far too small, and back: nothing may be lost or end the program.
    terminal.resize(3, 12);
    terminal.wait_look("a drawing", |screen| !screen.contents().trim().is_empty());
    terminal.resize(24, 80);
    terminal.see("Identity and build standard").see("passed");
}

#[test]
fn a_click_selects() {
    let place = Place::begun();
    let mut terminal = at_work(&place);
    let row = terminal.row_of("Airworthiness directives");
    terminal.click(row, 20);
    terminal.see("records.directives");
    assert!(
        terminal.picture().lines().any(|line| line.starts_with('▶') && line.contains("Airworthiness dir"))
    );
}

/// NO_COLOR: no-color.org, "when present and not an empty string … prevents the addition of ANSI color".
#[test]
fn without_colour_every_cell_keeps_the_terminals_own() {
    let place = Place::begun();
    let coloured = |terminal: &Terminal| {
        terminal.look(|screen| {
            let (rows, columns) = screen.size();
            (0..rows.get()).any(|row| {
                (0..columns.get()).any(|column| {
                    screen.cell(row, column).is_some_and(|cell| {
                        cell.fgcolor() != Color::Default || cell.bgcolor() != Color::Default
                    })
                })
            })
        })
    };
    let args = ["work", GLIDER, "--by", INSPECTOR];
    let mut plain = Terminal::open_with(&place, &args, &[("NO_COLOR", "1")]);
    plain.see("Identity and build standard").see("? help");
    assert!(!coloured(&plain), "{}", plain.picture());
    plain.keys("f").see("Defect found by");
    assert!(!coloured(&plain), "{}", plain.picture());
    drop(plain);
    let mut with = Terminal::open(&place, &args);
    with.see("Identity and build standard").see("? help");
    assert!(coloured(&with), "otherwise the look above shows nothing");
}

#[test]
fn a_second_window_only_looks_and_says_why() {
    let place = Place::begun();
    let mut first = at_work(&place);
    first.keys("p");
    let saved = first.see_saved_after(0);
    let mut second = at_work(&place);
    second.see("passed").keys("p").see("shown only").see("another");
    let entries = place.entries(GLIDER);
    assert_eq!(entries.keys().max(), Some(&saved), "the second window recorded nothing");
    // The command line is refused as well, and the first window goes on.
    place.run(&["note", GLIDER, "from a script"]).tells(1, &["another window or program has it open"]);
    first.keys("nstill here<Enter>");
    assert!(first.see_saved_after(saved) > saved);
}

#[test]
fn it_is_suspended_and_brought_back() {
    let place = Place::begun();
    let mut terminal = at_work(&place);
    terminal.keys("<C-z>");
    terminal.wait_look("the shell's screen", is_restored);
    terminal.signal("CONT");
    terminal.wait_look("the program's screen", vt100::Screen::alternate_screen);
    terminal.see("Identity and build standard").keys("p").see("saved, entry");
}
