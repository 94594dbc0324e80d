//! The paper worksheet before the work: what is open, in hangar order, with boxes to tick and lines to write on.

mod block;
mod head;

use super::model::{Document, PageMark, Part, Tone, shown};
use super::{sheet_words, words};
use crate::order::HangarOrder;
use crate::plan::Plan;

/// What a paper worksheet is made from.
#[derive(Clone, Copy)]
pub struct SheetMaterial<'a> {
    pub plan: &'a Plan,
    pub order: &'a HangarOrder,
    /// The running session; none where the annual has not begun.
    pub session: Option<SheetSession<'a>>,
    /// Code of this sheet: entries made from it afterwards name it.
    pub code: &'a str,
    pub is_invented: bool,
}

/// The record at the moment of printing.
#[derive(Clone, Copy)]
pub struct SheetSession<'a> {
    pub id: &'a str,
    pub entries: u64,
    /// Code of its last entry.
    pub code: Option<&'a str>,
    /// When that entry was made, as recorded.
    pub wall: &'a str,
}

/// The document: a first page for names, instruments, codes and defects, then one part for all blocks.
pub fn sheet(material: &SheetMaterial<'_>) -> Document {
    let frame = &material.plan.airframe;
    let of_type = material.plan.of_type.as_ref().map_or(frame.type_id.as_str(), |data| data.name.as_str());
    let mut marks = vec![PageMark { tone: Tone::Plain, text: sheet_words::NO_RECORD.to_string() }];
    if material.is_invented {
        marks.push(PageMark { tone: Tone::Plain, text: words::INVENTED.to_string() });
    }
    let foot = match material.session {
        Some(session) => {
            let code = session.code.map(|code| format!(" · code {code}")).unwrap_or_default();
            format!("sheet {} · session {} · {} entries{code}", material.code, session.id, session.entries)
        }
        None => format!("sheet {} · {}", material.code, sheet_words::NOT_BEGUN),
    };
    Document {
        language: words::LANGUAGE,
        title: shown(&format!("{}: {}", sheet_words::TITLE, frame.registration)),
        dated: material.session.and_then(|session| crate::state::instant(session.wall)),
        head: shown(&format!("{} · {of_type} · serial {}", frame.registration, frame.serial)),
        marks,
        foot: shown(&foot),
        parts: vec![
            head::part(material),
            Part {
                id: "blocks",
                title: sheet_words::STEPS.to_string(),
                starts_page: true,
                blocks: block::blocks(material),
            },
        ],
    }
}
