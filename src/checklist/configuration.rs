//! The configuration of the airframe in the hangar: how it stands while a step is worked.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

/// One respect in which the airframe can stand differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Aspect {
    Wings,
    Support,
    Tailplane,
    TailWheel,
    Controls,
    Panels,
    Power,
}

/// How it stands in that respect. Which settings go with which aspect: [`Aspect::settings`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Setting {
    Rigged,
    Derigged,
    Wheel,
    BellyDolly,
    Trestles,
    On,
    Off,
    Loaded,
    Clear,
    Connected,
    Disconnected,
    In,
    Out,
}

impl Aspect {
    pub const ALL: [Aspect; 7] = [
        Aspect::Wings,
        Aspect::Support,
        Aspect::Tailplane,
        Aspect::TailWheel,
        Aspect::Controls,
        Aspect::Panels,
        Aspect::Power,
    ];

    /// The key in a checklist.
    pub fn word(self) -> &'static str {
        match self {
            Aspect::Wings => "wings",
            Aspect::Support => "support",
            Aspect::Tailplane => "tailplane",
            Aspect::TailWheel => "tail-wheel",
            Aspect::Controls => "controls",
            Aspect::Panels => "panels",
            Aspect::Power => "power",
        }
    }

    pub fn parse(word: &str) -> Option<Aspect> {
        Aspect::ALL.into_iter().find(|aspect| aspect.word() == word)
    }

    pub fn settings(self) -> &'static [Setting] {
        match self {
            Aspect::Wings => &[Setting::Rigged, Setting::Derigged],
            Aspect::Support => &[Setting::Wheel, Setting::BellyDolly, Setting::Trestles],
            Aspect::Tailplane | Aspect::Power => &[Setting::On, Setting::Off],
            Aspect::TailWheel => &[Setting::Loaded, Setting::Clear],
            Aspect::Controls => &[Setting::Connected, Setting::Disconnected],
            Aspect::Panels => &[Setting::In, Setting::Out],
        }
    }

    pub fn parse_setting(self, word: &str) -> Option<Setting> {
        self.settings().iter().copied().find(|setting| setting.word() == word)
    }
}

impl Setting {
    pub fn word(self) -> &'static str {
        match self {
            Setting::Rigged => "rigged",
            Setting::Derigged => "derigged",
            Setting::Wheel => "wheel",
            Setting::BellyDolly => "belly-dolly",
            Setting::Trestles => "trestles",
            Setting::On => "on",
            Setting::Off => "off",
            Setting::Loaded => "loaded",
            Setting::Clear => "clear",
            Setting::Connected => "connected",
            Setting::Disconnected => "disconnected",
            Setting::In => "in",
            Setting::Out => "out",
        }
    }
}

/// Some aspects with their settings: what a step needs, or what was confirmed. An absent aspect does not matter.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Configuration(BTreeMap<Aspect, Setting>);

impl Configuration {
    pub fn set(&mut self, aspect: Aspect, setting: Setting) {
        self.0.insert(aspect, setting);
    }

    pub fn get(&self, aspect: Aspect) -> Option<Setting> {
        self.0.get(&aspect).copied()
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn iter(&self) -> impl Iterator<Item = (Aspect, Setting)> + '_ {
        self.0.iter().map(|(aspect, setting)| (*aspect, *setting))
    }

    /// Takes over every aspect of `other`, keeping the rest.
    pub fn overlay(&mut self, other: &Configuration) {
        self.0.extend(other.iter());
    }

    /// What of `self` (needed) does not hold in `confirmed`.
    pub fn unmet_in(&self, confirmed: &Configuration) -> Configuration {
        Configuration(
            self.iter().filter(|(aspect, setting)| confirmed.get(*aspect) != Some(*setting)).collect(),
        )
    }

    /// Its settings that join something which carries or moves a control: wings rigged, tailplane on, controls
    /// connected. Undone, what was inspected of it is no longer as it was inspected; a panel closed over it changes nothing.
    pub fn connections(&self) -> Configuration {
        const JOINED: [(Aspect, Setting); 3] = [
            (Aspect::Wings, Setting::Rigged),
            (Aspect::Tailplane, Setting::On),
            (Aspect::Controls, Setting::Connected),
        ];
        Configuration(self.iter().filter(|setting| JOINED.contains(setting)).collect())
    }

    /// True where an aspect that both name is set otherwise.
    pub fn contradicts(&self, other: &Configuration) -> bool {
        self.iter().any(|(aspect, setting)| other.get(aspect).is_some_and(|theirs| theirs != setting))
    }

    /// Parses `wings=rigged, tailplane=off`. The error is in plain words.
    pub fn parse(text: &str) -> Result<Configuration, String> {
        let mut configuration = Configuration::default();
        for part in text.split(',').map(str::trim).filter(|part| !part.is_empty()) {
            let Some((aspect_word, setting_word)) = part.split_once(['=', ':']) else {
                return Err(say!("\"{part}\" is no setting; write it like tailplane=off", part = part));
            };
            let known: Vec<&str> = Aspect::ALL.iter().map(|aspect| aspect.word()).collect();
            let Some(aspect) = Aspect::parse(aspect_word.trim()) else {
                return Err(say!(
                    "\"{}\" is no part of a configuration; known: {}",
                    aspect_word.trim(),
                    known.join(", ")
                ));
            };
            let Some(setting) = aspect.parse_setting(setting_word.trim()) else {
                let known: Vec<&str> = aspect.settings().iter().map(|setting| setting.word()).collect();
                return Err(say!(
                    "{} cannot be \"{}\"; known: {}",
                    aspect.word(),
                    setting_word.trim(),
                    known.join(", ")
                ));
            };
            if let Some(before) = configuration.get(aspect).filter(|before| *before != setting) {
                let (word, one, other) = (aspect.word(), before.word(), setting.word());
                return Err(say!(
                    "{word} is given as {one} and as {other}; give the one that holds",
                    word = word,
                    one = one,
                    other = other
                ));
            }
            configuration.set(aspect, setting);
        }
        Ok(configuration)
    }
}

impl fmt::Display for Configuration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts: Vec<String> =
            self.iter().map(|(aspect, setting)| format!("{} {}", aspect.word(), setting.word())).collect();
        f.write_str(&parts.join(", "))
    }
}
