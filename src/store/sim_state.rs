//! The simulated disk's content: what is durable, what is only in the cache, and what a crash may leave.

use std::collections::BTreeMap;
use std::path::{Component, Path};
use std::sync::Arc;

pub type Ino = usize;
pub const ROOT: Ino = 0;
const SECTOR: usize = 512;
/// Larger writes are ballast.
const LARGE: usize = 64 * 1024;

#[derive(Debug, Clone)]
pub struct State {
    pub nodes: Vec<Node>,
}

#[derive(Debug, Clone)]
pub enum Node {
    File(FileNode),
    Dir(DirNode),
}

/// `cached` is what a read sees. `pending` may still reach the disk; after a failed sync the pending writes go to
/// `limbo`: the cache shows them, a later sync does not write them, and a crash leaves them or not.
#[derive(Debug, Clone, Default)]
pub struct FileNode {
    pub durable: Arc<Vec<u8>>,
    pub cached: Arc<Vec<u8>>,
    pub pending: Vec<FileOp>,
    pub limbo: Vec<FileOp>,
}

#[derive(Debug, Clone)]
pub enum FileOp {
    /// Offset and bytes; shared, because states are copied by the thousand.
    Write(usize, Arc<Vec<u8>>),
    Truncate(usize),
}

#[derive(Debug, Clone, Default)]
pub struct DirNode {
    pub durable: BTreeMap<String, Ino>,
    pub cached: BTreeMap<String, Ino>,
    pub pending: Vec<DirOp>,
}

/// A rename within one folder is one step; across folders it is two independent ones.
#[derive(Debug, Clone)]
pub enum DirOp {
    Link(String, Ino),
    Unlink(String),
    Rename(String, String),
}

impl FileNode {
    pub fn apply(&mut self, op: FileOp) {
        write_op(Arc::make_mut(&mut self.cached), &op);
        self.pending.push(op);
    }

    /// A page written again after a failed sync carries the lost bytes with it, and the file's length goes with any
    /// sync that has something to write.
    pub fn sync(&mut self) {
        if self.pending.is_empty() {
            return;
        }
        let pending = std::mem::take(&mut self.pending);
        self.limbo.retain(|lost| !pending.iter().any(|op| covers(op, lost)));
        let durable = Arc::make_mut(&mut self.durable);
        pending.iter().for_each(|op| write_op(durable, op));
        durable.resize(self.cached.len(), 0);
        // Keep one copy in memory where nothing differs.
        if self.durable == self.cached {
            self.durable = Arc::clone(&self.cached);
        }
    }

    /// See [`super::sim_disk::SimFault::old_content_returns`].
    pub fn fail_sync(&mut self, old_content_returns: bool) {
        if old_content_returns {
            self.pending.clear();
            self.limbo.clear();
            self.cached = Arc::clone(&self.durable);
        } else {
            self.limbo.append(&mut self.pending);
        }
    }

    /// One content that a crash may leave: a run of the unsynced operations or any of them without the others, the
    /// last one torn.
    fn crash(&self, random: &mut Random) -> Arc<Vec<u8>> {
        let ops: Vec<&FileOp> = self.limbo.iter().chain(&self.pending).collect();
        let way = random.below(8);
        if ops.is_empty() || way == 0 {
            return Arc::clone(&self.durable);
        }
        let mut content = self.durable.as_ref().clone();
        let whole = match way {
            1 | 2 => ops.len(),
            _ => random.below(ops.len()),
        };
        for op in &ops[..whole] {
            // Two writes without a flush between them may reach the disk in either order, or one alone.
            if way < 6 || random.below(2) == 0 {
                write_op(&mut content, op);
            }
        }
        match ops.get(whole) {
            Some(FileOp::Write(offset, bytes)) => torn_once(&mut content, *offset, bytes, random),
            Some(cut) if random.below(2) == 0 => write_op(&mut content, cut),
            _ => {}
        }
        Arc::new(content)
    }

    /// Contents that a crash may leave: none, each prefix of the operations, the last write torn at each byte,
    /// and the last write's place filled with zeros, ones or junk, wholly or by sectors.
    fn after_crash(&self, junk: &mut Random) -> Vec<Arc<Vec<u8>>> {
        let ops: Vec<&FileOp> = self.limbo.iter().chain(&self.pending).collect();
        let mut content = self.durable.as_ref().clone();
        let mut out = vec![Arc::clone(&self.durable)];
        for op in ops {
            if let FileOp::Write(offset, bytes) = op {
                torn(&content, *offset, bytes, junk, &mut out);
            }
            write_op(&mut content, op);
            out.push(Arc::new(content.clone()));
        }
        // A later write may have reached the disk although an earlier one did not.
        if let (Some(last), false) = (self.pending.last(), self.limbo.is_empty()) {
            let mut alone = self.durable.as_ref().clone();
            write_op(&mut alone, last);
            out.push(Arc::new(alone));
        }
        out.sort();
        out.dedup();
        out
    }
}

/// Writes a part of the bytes: up to a random byte, the rest missing or filled, or any sectors of it.
fn torn_once(content: &mut Vec<u8>, offset: usize, bytes: &[u8], random: &mut Random) {
    let cut = random.below(bytes.len() + 1);
    let way = random.below(6);
    if way < 2 || bytes.len() > LARGE {
        return write_at(content, offset, &bytes[..cut]);
    }
    let sectors = if way == 5 { random.draw() } else { 0 };
    let lost =
        |i: usize| if way == 5 { sectors >> (((offset + i) / SECTOR) % 64) & 1 == 0 } else { i >= cut };
    let fill = random.below(3);
    let mut part = bytes.to_vec();
    for (i, byte) in part.iter_mut().enumerate().filter(|(i, _)| lost(*i)) {
        *byte = match fill {
            0 => 0,
            1 => 0xff,
            _ => (random.draw() as u8).wrapping_add(i as u8),
        };
    }
    write_at(content, offset, &part);
}

fn torn(before: &[u8], offset: usize, bytes: &[u8], junk: &mut Random, out: &mut Vec<Arc<Vec<u8>>>) {
    let mut push = |part: &[u8]| {
        let mut content = before.to_vec();
        write_at(&mut content, offset, part);
        out.push(Arc::new(content));
    };
    // Ballast is megabytes of zeros that nobody reads; tearing it at each byte would show nothing.
    if bytes.len() > LARGE {
        return push(&bytes[..bytes.len() / 2]);
    }
    for cut in 0..bytes.len() {
        push(&bytes[..cut]);
    }
    for cut in [0, 1, bytes.len() / 3, bytes.len().saturating_sub(1)] {
        let fills: [&dyn Fn(usize) -> u8; 2] = [&|_| 0, &|_| 0xff];
        for fill in fills {
            push(
                &bytes
                    .iter()
                    .enumerate()
                    .map(|(i, b)| if i < cut { *b } else { fill(i) })
                    .collect::<Vec<u8>>(),
            );
        }
        push(
            &bytes
                .iter()
                .enumerate()
                .map(|(i, b)| if i < cut { *b } else { junk.draw() as u8 })
                .collect::<Vec<u8>>(),
        );
        push(&bytes.iter().enumerate().map(|(i, b)| if i < cut { 0 } else { *b }).collect::<Vec<u8>>());
    }
    // Every subset of the sectors (of the first eight, repeated) on the disk, the others zero, ones or junk.
    let first = offset / SECTOR;
    let sectors = ((offset + bytes.len()).div_ceil(SECTOR) - first).clamp(1, 8);
    for subset in 0..1usize << sectors {
        let kept = |i: usize| subset >> (((offset + i) / SECTOR - first) % sectors) & 1 == 1;
        for fill in 0..3 {
            let filled = |i: usize, b: u8, junk: &mut Random| match fill {
                _ if kept(i) => b,
                0 => 0,
                1 => 0xff,
                _ => junk.draw() as u8,
            };
            push(&bytes.iter().enumerate().map(|(i, b)| filled(i, *b, junk)).collect::<Vec<u8>>());
        }
    }
}

fn covers(new: &FileOp, lost: &FileOp) -> bool {
    match (new, lost) {
        (_, FileOp::Truncate(_)) => true,
        (FileOp::Write(at, bytes), FileOp::Write(lost_at, lost)) => {
            at <= lost_at && lost_at + lost.len() <= at + bytes.len()
        }
        (FileOp::Truncate(_), FileOp::Write(..)) => false,
    }
}

fn write_op(content: &mut Vec<u8>, op: &FileOp) {
    match op {
        FileOp::Truncate(len) => content.resize(*len, 0),
        FileOp::Write(offset, bytes) => write_at(content, *offset, bytes),
    }
}

fn write_at(content: &mut Vec<u8>, offset: usize, bytes: &[u8]) {
    if content.len() < offset {
        content.resize(offset, 0);
    }
    let over = bytes.len().min(content.len() - offset);
    content[offset..offset + over].copy_from_slice(&bytes[..over]);
    content.extend_from_slice(&bytes[over..]);
}

impl DirNode {
    pub fn apply(&mut self, op: DirOp) {
        name_op(&mut self.cached, &op);
        self.pending.push(op);
    }

    pub fn sync(&mut self) {
        self.pending.clear();
        self.durable.clone_from(&self.cached);
    }

    /// One set of names that a crash may leave: a run of the unsynced operations, or any of them.
    fn crash(&self, random: &mut Random) -> BTreeMap<String, Ino> {
        let way = random.below(4);
        if way == 0 {
            return self.cached.clone();
        }
        let mut names = self.durable.clone();
        let run = random.below(self.pending.len() + 1);
        for (n, op) in self.pending.iter().enumerate() {
            if if way == 1 { n < run } else { random.below(2) == 0 } {
                name_op(&mut names, op);
            }
        }
        names
    }

    /// Every prefix of the operations, and each operation alone.
    fn after_crash(&self) -> Vec<BTreeMap<String, Ino>> {
        let mut out = vec![self.durable.clone()];
        let mut names = self.durable.clone();
        for op in &self.pending {
            name_op(&mut names, op);
            out.push(names.clone());
            let mut alone = self.durable.clone();
            name_op(&mut alone, op);
            out.push(alone);
        }
        out.sort();
        out.dedup();
        out
    }
}

fn name_op(names: &mut BTreeMap<String, Ino>, op: &DirOp) {
    match op {
        DirOp::Link(name, ino) => drop(names.insert(name.clone(), *ino)),
        DirOp::Unlink(name) => drop(names.remove(name)),
        DirOp::Rename(from, to) => {
            if let Some(ino) = names.remove(from) {
                names.insert(to.clone(), ino);
            }
        }
    }
}

impl State {
    pub fn new() -> Self {
        State { nodes: vec![Node::Dir(DirNode::default())] }
    }

    /// The node at a path; "/" is the root. Relative paths start there too.
    pub fn find(&self, path: &Path) -> Option<Ino> {
        let mut at = ROOT;
        for part in path.components() {
            if let Component::Normal(name) = part {
                let Node::Dir(dir) = &self.nodes[at] else { return None };
                at = *dir.cached.get(name.to_str()?)?;
            }
        }
        Some(at)
    }

    pub fn file(&mut self, ino: Ino) -> Option<&mut FileNode> {
        match self.nodes.get_mut(ino) {
            Some(Node::File(file)) => Some(file),
            _ => None,
        }
    }

    pub fn dir(&mut self, ino: Ino) -> Option<&mut DirNode> {
        match self.nodes.get_mut(ino) {
            Some(Node::Dir(dir)) => Some(dir),
            _ => None,
        }
    }

    /// One disk that a crash may leave for each choice in one node (the others wholly lost, and wholly kept),
    /// so the count is a sum and not a product.
    pub fn crash_images(&self, seed: u64) -> Vec<State> {
        let mut junk = Random(seed);
        let (lost, kept) = (self.settled(false), self.settled(true));
        let mut out = vec![lost.clone(), kept.clone()];
        for (ino, node) in self.nodes.iter().enumerate() {
            let choices: Vec<Node> = match node {
                Node::File(f) if !(f.pending.is_empty() && f.limbo.is_empty()) => {
                    f.after_crash(&mut junk).into_iter().map(settled_file).collect()
                }
                Node::Dir(d) if !d.pending.is_empty() => {
                    d.after_crash().into_iter().map(settled_dir).collect()
                }
                _ => continue,
            };
            // With nothing else unsettled, "lost" and "kept" differ in this node only.
            let bases: &[&State] = if self.unsettled() > 1 { &[&lost, &kept] } else { &[&lost] };
            for choice in choices {
                for base in bases {
                    let mut image = State::clone(base);
                    image.nodes[ino] = choice.clone();
                    out.push(image);
                }
            }
        }
        out
    }

    /// One random combination of choices over all nodes.
    pub fn crash(&self, seed: u64) -> State {
        let mut random = Random(seed);
        let mut image = self.clone();
        for (ino, node) in self.nodes.iter().enumerate() {
            image.nodes[ino] = match node {
                Node::File(f) => settled_file(f.crash(&mut random)),
                Node::Dir(d) => settled_dir(d.crash(&mut random)),
            };
        }
        image
    }

    /// How many files and folders a crash may change.
    fn unsettled(&self) -> usize {
        let open = |node: &&Node| match node {
            Node::File(f) => !(f.pending.is_empty() && f.limbo.is_empty()),
            Node::Dir(d) => !d.pending.is_empty(),
        };
        self.nodes.iter().filter(open).count()
    }

    fn settled(&self, keep: bool) -> State {
        let nodes = self.nodes.iter().map(|node| match node {
            Node::File(f) => settled_file(Arc::clone(if keep { &f.cached } else { &f.durable })),
            Node::Dir(d) => settled_dir(if keep { d.cached.clone() } else { d.durable.clone() }),
        });
        State { nodes: nodes.collect() }
    }
}

fn settled_file(content: Arc<Vec<u8>>) -> Node {
    Node::File(FileNode { durable: Arc::clone(&content), cached: content, ..FileNode::default() })
}

fn settled_dir(names: BTreeMap<String, Ino>) -> Node {
    Node::Dir(DirNode { durable: names.clone(), cached: names, pending: Vec::new() })
}

/// SplitMix64: small, and the same seed gives the same bytes on every machine.
pub struct Random(pub u64);

impl Random {
    pub fn draw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, bound: usize) -> usize {
        (self.draw() % bound.max(1) as u64) as usize
    }
}
