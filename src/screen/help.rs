//! Help, made from the table of commands.

use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::look::Look;
use super::text::{Page, pad};
use crate::command::{self, Hand, Place, keys_of, words_of};
use crate::words::said;

/// The place that was left for the help comes first.
pub fn detail(from: Place, look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    page.text(look.strong(), say!("Help"));
    page.plain(say!("A pass here is a record of what was seen, not proof that nothing is there. The type's manual, the local rules and the licensed person decide."));
    let rest = Place::ALL.into_iter().filter(|place| *place != from && *place != Place::Help);
    for place in std::iter::once(from).chain(rest) {
        page.head(said(place.title()));
        for command in command::of(place) {
            let keys = words_of(&keys_of(command, place, look.hand));
            let lead = format!("{}  ", pad(&keys, keys.width().max(16)));
            page.hanging(Style::new(), &lead, said(command.help));
        }
    }
    if let Some(hand) = look.hand {
        page.head(say!("One hand"));
        page.plain(match hand {
            Hand::Left => {
                say!("These are the keys for the left hand alone; Ctrl-O changes to the other hand, and to both.")
            }
            Hand::Right => {
                say!("These are the keys for the right hand alone; Ctrl-O changes to the other hand, and to both.")
            }
        });
    }
    page.head(say!("Mouse and fingers"));
    page.plain(say!("A click selects, a second one takes. The head leads to the other screens, the footer's words are its keys, and \"more\" lists every command."));
    if look.big {
        page.plain(say!("A tap on the details turns their page."));
    }
    page.head(say!("Signs"));
    let signs = [
        (say!("○ open"), Style::new()),
        (say!("↻ re-inspect"), look.doubt()),
        (say!("✓ passed, within, answered"), look.good()),
        (say!("✗ failed, outside, refused"), look.bad()),
        (say!("– not applicable, set aside, taken back"), look.quiet()),
        (say!("? cannot decide, undecided"), look.doubt()),
    ];
    for (text, style) in signs {
        page.lines.push(Line::from(Span::styled(text, style)));
    }
    page.lines
}
