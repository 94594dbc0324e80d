//! Where everything stands in a TOML file: made when a fault is to be pointed at, so that sound files cost nothing.

use std::ops::Range;

use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};

use super::recover;
use crate::diagnostic::Source;

/// A file's keys and values with their places, free of the text.
#[derive(Debug)]
pub struct Outline {
    pub root: Node,
}

/// One value: a table has `entries`, an array has `items`, a text has its `text`.
#[derive(Debug, Default)]
pub struct Node {
    pub span: Range<usize>,
    pub text: Option<String>,
    pub entries: Vec<Entry>,
    pub items: Vec<Node>,
}

/// A key with its value.
#[derive(Debug)]
pub struct Entry {
    pub key: String,
    pub key_span: Range<usize>,
    pub value: Node,
}

impl Outline {
    /// Of a file with broken syntax: of what can be read.
    pub fn of(source: &Source) -> Outline {
        let (root, errors) = DeTable::parse_recoverable(&source.text);
        if errors.is_empty() {
            return Outline { root: table(root.span(), root.get_ref()) };
        }
        let recovered = recover(&source.text);
        let (root, _) = DeTable::parse_recoverable(&recovered.text);
        Outline { root: table(root.span(), root.get_ref()) }
    }
}

impl Node {
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|entry| &entry.value)
    }

    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.key == key)
    }

    /// The items of an array; nothing where the key is absent.
    pub fn items(&self, key: &str) -> &[Node] {
        self.get(key).map_or(&[], |node| &node.items)
    }

    /// The text of one of its keys.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.get(key)?.text.as_deref()
    }
}

fn node(value: &Spanned<DeValue<'_>>) -> Node {
    match value.get_ref() {
        DeValue::Table(found) => table(value.span(), found),
        DeValue::Array(array) => {
            Node { span: value.span(), items: array.iter().map(node).collect(), ..Node::default() }
        }
        DeValue::String(text) => Node { span: value.span(), text: Some(text.to_string()), ..Node::default() },
        _ => Node { span: value.span(), ..Node::default() },
    }
}

fn table(span: Range<usize>, table: &DeTable<'_>) -> Node {
    let entries = table
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref().to_string(),
            key_span: key.span(),
            value: node(value),
        })
        .collect();
    Node { span, entries, ..Node::default() }
}
