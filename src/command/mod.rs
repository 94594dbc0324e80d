//! What a person can ask for at the keyboard: one table, from which keys, footer, help and docs come.
//!
//! A command says on which places it works, by which keys, and what must hold. A screen looks a key up here
//! and never matches keys by itself, so that no key can do one thing and be documented as another.

mod key;
mod one_hand;
mod table;

pub use key::Key;
pub use one_hand::{Hand, ONE_HAND, find_for, keys_of};
pub use table::TABLE;

/// Where a key is pressed: a full screen, or what lies over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    Hangar,
    /// An airframe's record, to be written.
    Airframe,
    /// People and instruments, to be written.
    Registers,
    Worksheet,
    Defects,
    /// Every defect on the airframe, drawn over the whole screen.
    Sketch,
    Records,
    Readings,
    SignOff,
    History,
    /// Every entry, one at a time, with what held then.
    Replay,
    /// The worksheet as it stood after the entry that the replay stands at.
    ReplaySheet,
    Findings,
    /// The open steps in the order with the least changing of the configuration.
    Order,
    /// What the repairer gets, and openings proposed.
    Handover,
    Help,
    /// Typing into a form.
    Form,
    /// Typing into a load–deflection table.
    Series,
    /// Choosing one of a few.
    Choose,
}

impl Place {
    pub const ALL: [Place; 19] = [
        Place::Hangar,
        Place::Airframe,
        Place::Registers,
        Place::Worksheet,
        Place::Defects,
        Place::Sketch,
        Place::Records,
        Place::Readings,
        Place::SignOff,
        Place::History,
        Place::Replay,
        Place::ReplaySheet,
        Place::Findings,
        Place::Order,
        Place::Handover,
        Place::Help,
        Place::Form,
        Place::Series,
        Place::Choose,
    ];

    pub fn title(self) -> &'static str {
        match self {
            Place::Hangar => "Hangar",
            Place::Airframe => "Airframe",
            Place::Registers => "Registers",
            Place::Worksheet => "Worksheet",
            Place::Defects => "Defects",
            Place::Sketch => "Defects on the airframe",
            Place::Records => "Records",
            Place::Readings => "Readings",
            Place::SignOff => "Sign-off",
            Place::History => "History",
            Place::Replay => "Replay",
            Place::ReplaySheet => "Replay: worksheet",
            Place::Findings => "Findings",
            Place::Order => "Hangar order",
            Place::Handover => "Hand-over",
            Place::Help => "Help",
            Place::Form => "Form",
            Place::Series => "Load table",
            Place::Choose => "Choice",
        }
    }
}

/// A command, independent of the key that asks for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Id {
    Up,
    Down,
    First,
    Last,
    ScrollUp,
    ScrollDown,
    Back,
    Quit,
    Help,
    Who,
    GoWorksheet,
    GoDefects,
    GoRecords,
    GoReadings,
    GoSignOff,
    GoHistory,
    GoReplay,
    Story,
    SeekAny,
    SeekFailure,
    SeekCorrection,
    SeekPause,
    SeekConfiguration,
    SeekReading,
    SeekRevision,
    SeekDefect,
    SeekSignOff,
    NextMark,
    PreviousMark,
    NextHit,
    PreviousHit,
    GoToEntry,
    GoToStep,
    OtherSide,
    GoFindings,
    GoOrder,
    GoHandover,
    NextInOrder,
    MorePeople,
    FewerPeople,
    Prove,
    Choose,
    ChooseAll,
    Propose,
    DropOpening,
    WriteBrief,
    Open,
    Pass,
    Fail,
    NotApplicable,
    Reading,
    Note,
    Initial,
    Correct,
    Confirm,
    Evidence,
    Defect,
    Independent,
    Pause,
    NextOpen,
    NextSection,
    PreviousSection,
    Search,
    Dispose,
    Rectify,
    Reinspect,
    TakeBack,
    ShowSketch,
    OtherView,
    Answer,
    NewReport,
    LookForOffer,
    BringForward,
    FilterAll,
    FilterMissing,
    FilterUnsettled,
    FilterTargeted,
    Jump,
    Continue,
    Rescue,
    MakeRoom,
    Suspend,
    FieldNext,
    FieldPrevious,
    Enter,
    Save,
    KeepDraft,
    ThrowAway,
    OtherDirection,
    OtherWay,
    Picture,
    RowInsert,
    RowDelete,
    NewAirframe,
    GoAirframe,
    GoRegisters,
    AddEntry,
    ChangeEntry,
    TakeOut,
    Authorise,
    MakeKey,
    NextTheme,
    Bigger,
    OtherHand,
    Menu,
    Places,
    Undo,
    FromPaper,
    Pace,
}

/// What must hold before a command can be carried out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    Nothing,
    Session,
    /// A session that takes entries, by a person who is named.
    Record,
    /// The same, and something is selected.
    Selected,
    Measure,
    Configuration,
    Correctable,
    /// A session that is not read-only; it may be paused.
    Writable,
    /// A session that takes no more entries: signed, damaged, or open elsewhere.
    Closed,
    /// A session to copy.
    Rescue,
    /// The disk was full, and the session has ballast to give back.
    Full,
}

/// What holds at the moment.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Circumstances {
    pub session: bool,
    pub read_only: bool,
    pub paused: bool,
    pub person: bool,
    pub selected: bool,
    pub measures: bool,
    pub configuration: bool,
    pub correctable: bool,
    pub failed: bool,
    pub full: bool,
}

impl Need {
    /// Why it is not met, with what to do; `None` when it is.
    pub fn objection(self, now: &Circumstances) -> Option<&'static str> {
        let writable = || {
            if !now.session {
                Some("no session is open; open one in the hangar first")
            } else if now.read_only {
                Some("this session is shown only; nothing can be recorded in it")
            } else if !now.person {
                Some("nobody is named as working; press w and choose who works")
            } else {
                None
            }
        };
        let record = || {
            writable().or(if now.paused { Some("the session is paused; press z to resume it") } else { None })
        };
        let selected = || record().or(if now.selected { None } else { Some("nothing is selected") });
        let also = |holds: bool, why: &'static str| selected().or(if holds { None } else { Some(why) });
        match self {
            Need::Nothing => None,
            Need::Session if now.session => None,
            Need::Session => Some("no session is open; open one in the hangar first"),
            Need::Record => record(),
            Need::Selected => selected(),
            Need::Measure => also(now.measures, "this step demands no measurement; write a note with n"),
            Need::Configuration => also(now.configuration, "this step needs no certain configuration"),
            Need::Correctable => also(now.correctable, "nothing is recorded here that could be corrected"),
            Need::Writable => writable(),
            Need::Closed if now.session && now.read_only => None,
            Need::Closed => Some("the session is not signed: it can be worked and corrected as it is"),
            Need::Rescue if now.session => None,
            Need::Rescue => Some("no session is open that could be copied; open one in the hangar first"),
            Need::Full if now.full => None,
            Need::Full => Some("the disk was not found full; the ballast is kept for that moment"),
        }
    }
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Command {
    pub id: Id,
    pub keys: &'static [Key],
    /// For the footer; empty where the footer does not show it.
    pub label: &'static str,
    /// One line for the help.
    pub help: &'static str,
    pub on: &'static [Place],
    pub need: Need,
}

/// The commands of one place, in the order of the table.
pub fn of(place: Place) -> impl Iterator<Item = &'static Command> {
    TABLE.iter().filter(move |command| command.on.contains(&place))
}

/// The command that a key asks for. Capital letters count as small ones: caps lock is easily hit with gloves.
pub fn find(place: Place, key: Key) -> Option<&'static Command> {
    let key = key.folded();
    of(place).find(|command| command.keys.contains(&key))
}

/// The table as Markdown, one section for each place, for the documentation.
pub fn markdown() -> String {
    let mut text = String::new();
    for place in Place::ALL {
        text.push_str(&format!("### {}\n\n| key | what it does |\n| --- | --- |\n", place.title()));
        for command in of(place) {
            // A bar would end the table's cell.
            let keys = command.keys_words().replace('|', "\\|");
            text.push_str(&format!("| {keys} | {} |\n", command.help));
        }
        text.push('\n');
    }
    for hand in Hand::ALL {
        let word = hand.word();
        text.push_str(&format!(
            "### One hand, {word}: `--one-hand {word}`\n\n| place | key | what it does |\n"
        ));
        text.push_str("| --- | --- | --- |\n");
        for (place, row) in Place::ALL.iter().flat_map(|place| ONE_HAND.iter().map(move |row| (place, row))) {
            let is_here = row.hand == hand && row.on.contains(place);
            if let Some(command) = of(*place).find(|command| is_here && command.id == row.id) {
                let keys = words_of(row.keys).replace('|', "\\|");
                text.push_str(&format!("| {} | {keys} | {} |\n", place.title(), command.help));
            }
        }
        text.push('\n');
    }
    text
}

/// The keys as read on their caps.
pub fn words_of(keys: &[Key]) -> String {
    keys.iter().map(|key| key.words()).collect::<Vec<_>>().join(", ")
}

impl Command {
    pub fn keys_words(&self) -> String {
        words_of(self.keys)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[test]
    fn no_key_means_two_things_in_one_place() {
        for place in Place::ALL {
            let mut seen: BTreeMap<Key, Id> = BTreeMap::new();
            for command in of(place) {
                for key in command.keys {
                    let earlier = seen.insert(*key, command.id);
                    assert_eq!(earlier, None, "{place:?}: {key:?} means {:?} and another", command.id);
                }
            }
        }
    }

    #[test]
    fn keys_are_folded_and_every_command_can_be_reached() {
        for command in TABLE {
            assert!(!command.keys.is_empty() && !command.on.is_empty(), "{:?}", command.id);
            assert!(!command.help.is_empty(), "{:?}", command.id);
            for key in command.keys {
                assert_eq!(*key, key.folded(), "{:?} could never be found", command.id);
            }
        }
    }

    #[test]
    fn no_letter_is_a_command_where_text_is_typed() {
        for command in of(Place::Form) {
            for key in command.keys {
                assert!(!matches!(key, Key::Char(_)), "{:?} would swallow {key:?}", command.id);
            }
        }
        // In a table of figures only signs that no figure and no unit contains may be commands.
        for command in of(Place::Series) {
            for key in command.keys {
                assert!(!matches!(key, Key::Char(c) if c.is_alphanumeric() || ".,+- ".contains(*c)));
            }
        }
    }

    #[test]
    fn a_need_says_what_is_wrong_first() {
        let now = Circumstances { session: true, person: true, ..Circumstances::default() };
        assert_eq!(Need::Record.objection(&now), None);
        let paused = Circumstances { paused: true, ..now };
        assert!(Need::Record.objection(&paused).is_some_and(|why| why.contains("resume")));
        assert_eq!(Need::Writable.objection(&paused), None);
        let nobody = Circumstances { person: false, ..now };
        assert!(Need::Measure.objection(&nobody).is_some_and(|why| why.contains("who works")));
        assert!(Need::Measure.objection(&Circumstances { selected: true, ..now }).is_some());
    }

    #[test]
    fn the_documentation_names_every_key() {
        let text = markdown();
        for command in TABLE {
            assert!(text.contains(command.help), "{:?}", command.id);
        }
    }
}
