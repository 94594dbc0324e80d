//! Findings: what an auditor may want to look at, each with its innocent explanations.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::list::Row;
use super::look::Look;
use super::text::Page;
use super::words::words;
use crate::audit::findings::{CAUTION, Finding, carried_words, kind, ranges};
use crate::state::Stamped;
use crate::words::said;

/// Entries told one by one in the details; the others by their numbers.
const ENTRIES_SHOWN: usize = 12;

pub fn rows(entries: &[Stamped], found: &[Finding], look: Look) -> Vec<Row> {
    let mut rows = Vec::new();
    let carried = carried_words(entries).map(|words| Row::heading(look, &words));
    let mut kind = "";
    for (index, finding) in found.iter().enumerate() {
        if finding.kind != kind {
            kind = finding.kind;
            let same = found.iter().filter(|other| other.kind == kind).count();
            rows.push(Row::heading(look, &format!("{} ({same})", said(finding.title))));
        }
        rows.push(Row::item(
            index,
            vec![("· ".to_string(), look.doubt()), (finding.words.clone(), Style::new())],
        ));
    }
    if rows.is_empty() {
        rows.push(Row::heading(look, say!("Nothing was found that these observations tell")));
    }
    rows.extend(carried);
    rows
}

pub fn detail(
    view: &SessionView<'_>,
    found: &[Finding],
    at: usize,
    look: Look,
    width: usize,
) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    if let Some(finding) = found.get(at) {
        page.text(look.strong(), said(finding.title));
        page.plain(&finding.words);
        page.text(look.quiet(), say!("An observation, no accusation."));
        page.head(say!("May be"));
        for may_be in &finding.may_be {
            page.hanging(Style::new(), "· ", said(may_be));
        }
        page.head(&say!("{n} entry" | "{n} entries" % finding.entries.len()));
        entries(&mut page, view, finding);
        page.gap();
        if let Some(kind) = kind(finding.kind) {
            page.text(look.quiet(), said(kind.doc));
        }
    }
    page.gap();
    page.text(look.quiet(), said(CAUTION));
    page.lines
}

fn entries(page: &mut Page, view: &SessionView<'_>, finding: &Finding) {
    for number in finding.entries.iter().take(ENTRIES_SHOWN) {
        let stamped = view.entries.iter().find(|stamped| stamped.entry == *number);
        let told = stamped.map_or(String::new(), |stamped| words(&stamped.event));
        page.hanging(Style::new(), &format!("{number:>4} "), &told);
    }
    if let Some(rest) = finding.entries.get(ENTRIES_SHOWN..).filter(|rest| !rest.is_empty()) {
        page.plain(&say!("and {}", ranges(rest)));
    }
}
