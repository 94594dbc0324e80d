//! What a change is, and which step of the version it demands.

use std::fmt;

use semver::Version;
use serde::Serialize;

/// What became of something between two editions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Nature {
    Added,
    Withdrawn,
    /// What was good may be good no longer; whatever still is, was good before.
    Tightened,
    /// What was not good may now be.
    Loosened,
    /// Neither follows from the other.
    Changed,
    Reordered,
    /// The same demand in other words.
    Reworded,
}

impl Nature {
    pub const ALL: [Nature; 7] = [
        Nature::Added,
        Nature::Withdrawn,
        Nature::Tightened,
        Nature::Loosened,
        Nature::Changed,
        Nature::Reordered,
        Nature::Reworded,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Nature::Added => mark!("added"),
            Nature::Withdrawn => mark!("withdrawn"),
            Nature::Tightened => mark!("tightened"),
            Nature::Loosened => mark!("loosened"),
            Nature::Changed => mark!("changed"),
            Nature::Reordered => mark!("reordered"),
            Nature::Reworded => mark!("reworded"),
        }
    }

    /// The step that a change of this nature demands where nothing else is said of it.
    pub fn version_step(self) -> VersionStep {
        match self {
            Nature::Withdrawn | Nature::Loosened | Nature::Changed => VersionStep::Major,
            Nature::Added | Nature::Tightened | Nature::Reordered => VersionStep::Minor,
            Nature::Reworded => VersionStep::Patch,
        }
    }

    /// What the same change is when the two editions change places.
    pub fn turned(self) -> Nature {
        match self {
            Nature::Added => Nature::Withdrawn,
            Nature::Withdrawn => Nature::Added,
            Nature::Tightened => Nature::Loosened,
            Nature::Loosened => Nature::Tightened,
            same => same,
        }
    }

    /// Two changes told as one. Words give way to a demand, and what goes both ways goes neither.
    pub fn and(self, other: Nature) -> Nature {
        match (self, other) {
            (Nature::Reworded, one) | (one, Nature::Reworded) => one,
            (a, b) if a == b => a,
            _ => Nature::Changed,
        }
    }

    /// More of it is stricter.
    pub(super) fn of_figures<T: PartialOrd>(was: T, is: T) -> Nature {
        if is > was { Nature::Tightened } else { Nature::Loosened }
    }

    pub(super) fn of_switch(stricter: bool) -> Nature {
        if stricter { Nature::Tightened } else { Nature::Loosened }
    }
}

/// Which number of a version has to go up at least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum VersionStep {
    /// Words only.
    Patch,
    /// More is asked for, or the same in another order or arrangement. All that was demanded still is.
    Minor,
    /// Something demanded before no longer is, or the same id now means something else.
    Major,
}

impl VersionStep {
    pub fn word(self) -> &'static str {
        match self {
            VersionStep::Patch => "patch",
            VersionStep::Minor => "minor",
            VersionStep::Major => "major",
        }
    }

    /// The step from one version to a later one; `None` where it is not later.
    pub fn between(from: &Version, to: &Version) -> Option<VersionStep> {
        if to <= from {
            None
        } else if to.major > from.major {
            Some(VersionStep::Major)
        } else if to.minor > from.minor {
            Some(VersionStep::Minor)
        } else {
            Some(VersionStep::Patch)
        }
    }

    /// The first version that makes this step.
    pub fn after(self, from: &Version) -> Version {
        match self {
            VersionStep::Patch => Version::new(from.major, from.minor, from.patch.saturating_add(1)),
            VersionStep::Minor => Version::new(from.major, from.minor.saturating_add(1), 0),
            VersionStep::Major => Version::new(from.major.saturating_add(1), 0, 0),
        }
    }
}

impl fmt::Display for VersionStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
