//! What a guide shows, found in its text: fenced blocks, and the remarks that tell how a screen was reached.

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// Commands after `$ `, each followed by what it prints.
    Console,
    /// A file to write before going on, by its path.
    File(String),
    /// The picture of a terminal, and what is typed to get there.
    Screen(Vec<String>),
    /// What the reader does without being shown: `<!-- test: … -->`.
    Unshown(String),
}

#[derive(Debug, Clone)]
pub struct Block {
    pub kind: Kind,
    /// Lines of the guide that hold the content, counted from 0, without the fences.
    pub from: usize,
    pub to: usize,
}

/// Every block in the order of the guide. A block of another kind, such as ` ```sh `, is prose.
pub fn blocks(lines: &[String]) -> Vec<Block> {
    let mut found = Vec::new();
    let mut script: Option<Vec<String>> = None;
    let mut at = 0;
    while at < lines.len() {
        let line = lines[at].as_str();
        if let Some(rest) = line.strip_prefix("<!-- test: ") {
            let what = rest.trim_end_matches("-->").trim().to_string();
            found.push(Block { kind: Kind::Unshown(what), from: at, to: at + 1 });
        } else if let Some(first) = line.strip_prefix("<!-- screen: ") {
            let end = end_of(lines, at, "-->");
            let mut steps = vec![first.trim().to_string()];
            steps.extend(lines[at + 1..end].iter().map(|step| step.trim().to_string()));
            script = Some(steps);
            at = end;
        } else if let Some(info) = line.strip_prefix("```") {
            let end = end_of(lines, at, "```");
            if let Some(kind) = kind_of(info.trim(), &mut script, at) {
                found.push(Block { kind, from: at + 1, to: end });
            }
            at = end;
        }
        at += 1;
    }
    assert!(script.is_none(), "a screen's remark without a screen after it");
    found
}

fn end_of(lines: &[String], from: usize, end: &str) -> usize {
    let ends = lines[from + 1..].iter().position(|line| line.trim() == end);
    from + 1 + ends.unwrap_or_else(|| panic!("line {}: no \"{end}\" follows", from + 1))
}

fn kind_of(info: &str, script: &mut Option<Vec<String>>, at: usize) -> Option<Kind> {
    match info.split_once(' ') {
        Some((_, name)) => Some(Kind::File(name.to_string())),
        None if info == "console" => Some(Kind::Console),
        None if info == "screen" => {
            let steps = script.take();
            Some(Kind::Screen(steps.unwrap_or_else(|| panic!("line {}: no remark tells how", at + 1))))
        }
        None => None,
    }
}

#[test]
fn every_kind_is_found() {
    let text = "words\n```console\n$ a\nb\n```\n<!-- test: the rest -->\n```toml x/y.toml\nk = 1\n```\n\
                <!-- screen: work X\nsee \"a\"\n-->\n```screen\npicture\n```\n```sh\nno example\n```";
    let lines: Vec<String> = text.lines().map(String::from).collect();
    let kinds: Vec<(Kind, String)> =
        blocks(&lines).into_iter().map(|block| (block.kind, lines[block.from..block.to].join("/"))).collect();
    assert_eq!(kinds[0], (Kind::Console, "$ a/b".into()));
    assert_eq!(kinds[1].0, Kind::Unshown("the rest".into()));
    assert_eq!(kinds[2], (Kind::File("x/y.toml".into()), "k = 1".into()));
    let script = vec!["work X".to_string(), "see \"a\"".to_string()];
    assert_eq!(kinds[3], (Kind::Screen(script), "picture".into()));
    assert_eq!(kinds.len(), 4);
}
