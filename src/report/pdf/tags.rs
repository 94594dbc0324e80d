//! The structure for readers that do not look at the page: headings, paragraphs, tables, figures, in reading order.

use std::num::{NonZeroU16, NonZeroU32};

use krilla::tagging::{Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};

/// Place of a node in the list.
pub(super) type TagIndex = usize;

#[derive(Debug, Clone)]
pub(super) enum Kind {
    Heading(u8, String),
    Paragraph,
    List,
    ListItem,
    ListBody,
    Table,
    Caption,
    Row,
    ColumnHead,
    /// With how many columns it reaches over.
    RowHead(u32),
    Cell(u32),
    /// With what it shows in words.
    Figure(String),
    Link,
}

struct Entry {
    kind: Kind,
    parent: Option<TagIndex>,
    children: Vec<Child>,
    /// Of a row: its cells, those without words, too. Else the cells behind them would stand in other columns.
    cells: Vec<TagIndex>,
    is_attached: bool,
}

enum Child {
    Inner(TagIndex),
    Content(Identifier),
}

/// The nodes while pages are laid out and drawn.
#[derive(Default)]
pub(super) struct Tags {
    entries: Vec<Entry>,
    roots: Vec<TagIndex>,
}

impl Tags {
    pub(super) fn add(&mut self, kind: Kind, parent: Option<TagIndex>) -> TagIndex {
        let index = self.entries.len();
        if let Some(row) = parent.and_then(|parent| self.entries.get_mut(parent))
            && matches!(row.kind, Kind::Row)
        {
            row.cells.push(index);
        }
        self.entries.push(Entry {
            kind,
            parent,
            children: Vec::new(),
            cells: Vec::new(),
            is_attached: false,
        });
        index
    }
}

/// What is drawn for each node, in the order of drawing.
pub(super) struct Drawn {
    tags: Tags,
}

impl Drawn {
    pub(super) fn new(entries: &Tags) -> Drawn {
        let fresh = entries.entries.iter().map(|entry| Entry {
            kind: entry.kind.clone(),
            parent: entry.parent,
            children: Vec::new(),
            cells: entry.cells.clone(),
            is_attached: false,
        });
        Drawn { tags: Tags { entries: fresh.collect(), roots: Vec::new() } }
    }

    pub(super) fn content(&mut self, at: TagIndex, identifier: Identifier) {
        self.attach(at);
        if let Some(entry) = self.tags.entries.get_mut(at) {
            entry.children.push(Child::Content(identifier));
        }
    }

    /// Hangs the node and those above it into the tree, where they are met first.
    fn attach(&mut self, at: TagIndex) {
        let mut at = at;
        loop {
            let Some(entry) = self.tags.entries.get_mut(at).filter(|entry| !entry.is_attached) else {
                return;
            };
            entry.is_attached = true;
            match entry.parent {
                Some(parent) => {
                    if let Some(above) = self.tags.entries.get_mut(parent) {
                        above.children.push(Child::Inner(at));
                    }
                    at = parent;
                }
                None => {
                    self.tags.roots.push(at);
                    return;
                }
            }
        }
    }

    pub(super) fn tree(mut self, language: &str) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some(language.to_string()));
        for root in std::mem::take(&mut self.tags.roots) {
            if let Some(group) = self.group(root) {
                tree.push(group);
            }
        }
        tree
    }

    fn group(&mut self, at: TagIndex) -> Option<TagGroup> {
        let entry = self.tags.entries.get_mut(at)?;
        let kind = tag(&entry.kind);
        let children = std::mem::take(&mut entry.children);
        let mut nodes: Vec<Node> = Vec::new();
        if matches!(entry.kind, Kind::Row) {
            for cell in std::mem::take(&mut entry.cells) {
                nodes.extend(self.group(cell).map(Node::from));
            }
            return Some(TagGroup::with_children(kind, nodes));
        }
        for child in children {
            match child {
                Child::Content(identifier) => nodes.push(identifier.into()),
                Child::Inner(inner) => nodes.extend(self.group(inner).map(Node::from)),
            }
        }
        Some(TagGroup::with_children(kind, nodes))
    }
}

/// One column is what a cell reaches over without saying so.
fn span(columns: u32) -> Option<NonZeroU32> {
    NonZeroU32::new(columns).filter(|columns| columns.get() > 1)
}

fn tag(kind: &Kind) -> TagKind {
    match kind {
        Kind::Heading(level, title) => {
            let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(title.clone())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List => Tag::L(ListNumbering::None).into(),
        Kind::ListItem => Tag::LI.into(),
        Kind::ListBody => Tag::LBody.into(),
        Kind::Table => Tag::Table.into(),
        Kind::Caption => Tag::Caption.into(),
        Kind::Row => Tag::TR.into(),
        Kind::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Kind::RowHead(columns) => Tag::TH(TableHeaderScope::Row).with_col_span(span(*columns)).into(),
        Kind::Cell(columns) => Tag::TD.with_col_span(span(*columns)).into(),
        Kind::Figure(words) => Tag::Figure(Some(words.clone())).into(),
        Kind::Link => Tag::Link.into(),
    }
}
