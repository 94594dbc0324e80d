//! A value together with where it stands in its file.

use std::ops::Range;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A value and its byte range in the source. Serialises as the bare value: a frozen plan keeps no spans.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Located<T> {
    pub value: T,
    pub span: Range<usize>,
}

impl<T> Located<T> {
    pub fn new(value: T, span: Range<usize>) -> Self {
        Located { value, span }
    }
}

impl<T: Serialize> Serialize for Located<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.value.serialize(serializer)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Located<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Located { value: T::deserialize(deserializer)?, span: 0..0 })
    }
}
