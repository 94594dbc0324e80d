//! Every reader of bytes or typed text that the program has, one file each.

mod checklist;
mod code;
mod compose;
mod compute;
mod event;
mod hash;
mod journal;
mod openssh;
mod pack;
mod plan;
mod record;
mod register;
mod replay;
mod typed;
mod unsaved;
mod wav;

use spanwise::diagnostic::{Diagnostic, render};

type Bytes = Vec<u8>;
type Run = Box<dyn Fn(&[u8]) -> bool>;

/// One parser with what it is fed.
pub struct Target {
    pub name: &'static str,
    /// Words of its language.
    pub tokens: Box<dyn Fn() -> Vec<String>>,
    pub seeds: Box<dyn Fn() -> Vec<Bytes>>,
    /// Whether the input was accepted. It must neither panic, nor swell, nor hang.
    pub run: Run,
    /// New inputs of a short run.
    #[allow(dead_code, reason = "the long run goes by time")]
    pub short: usize,
}

impl Target {
    fn new(name: &'static str, short: usize, run: impl Fn(&[u8]) -> bool + 'static) -> Target {
        Target { name, tokens: Box::new(Vec::new), seeds: Box::new(Vec::new), run: Box::new(run), short }
    }

    fn seeds(mut self, seeds: impl Fn() -> Vec<Bytes> + 'static) -> Target {
        self.seeds = Box::new(seeds);
        self
    }

    fn tokens(mut self, tokens: impl Fn() -> Vec<String> + 'static) -> Target {
        self.tokens = Box::new(tokens);
        self
    }

    /// Every word of its seeds is a token: keys, kinds, units, ids.
    fn tokens_from_seeds(self) -> Target {
        let words: Vec<String> = (self.seeds)().iter().flat_map(|seed| words(seed)).collect();
        self.tokens(move || {
            let mut words = words.clone();
            words.sort();
            words.dedup();
            words
        })
    }
}

pub fn all() -> Vec<Target> {
    let mut all = vec![
        journal::target(),
        register::target(),
        replay::target(),
        plan::target(),
        event::target(),
        checklist::target(),
        compose::target(),
        wav::target(),
        typed::target(),
        code::target(),
        unsaved::target(),
        hash::target(),
    ];
    all.extend(record::targets());
    all.extend(openssh::targets());
    all.extend(pack::targets());
    all.extend(compute::targets());
    all
}

/// Files and typed text reach the parsers as text; what is no UTF-8 is refused before, so it is mended here.
fn text(input: &[u8]) -> String {
    String::from_utf8_lossy(input).into_owned()
}

/// A person reads every fault, so telling it must stand as well. A screenful is enough.
fn tell(faults: &[Diagnostic]) {
    let told = render(&faults[..faults.len().min(3)], false);
    assert_eq!(told.is_empty(), faults.is_empty(), "a fault without words");
    for fault in faults {
        assert!(!fault.message.is_empty());
    }
}

fn words(seed: &[u8]) -> Vec<String> {
    text(seed)
        .split(|c: char| !(c.is_alphanumeric() || "_-.".contains(c)))
        .filter(|word| (1..40).contains(&word.len()))
        .take(2_000)
        .map(str::to_string)
        .collect()
}
