//! The hash-chained journal: bytes only, no files, no clock.
//!
//! One line is one transaction. A line is `{"e":EVENT,"h":"HASH"}` and one LF; HASH is SHA-256 over a tag,
//! one zero byte and the EVENT bytes. The chain knows nothing of event kinds: it proves order and
//! consistency, and the acknowledgement register lets [`recover::judge`] tell a line torn by a power cut
//! from answers that were cut away.

pub mod canonical;
pub mod chain;
pub mod entry;
pub mod hash;
pub mod recover;
pub mod register;
pub mod short_code;

pub use canonical::{CanonicalError, canonical};
pub use chain::{Fault, Verified, verify};
pub use entry::{EncodeError, Encoded, Entry, Fields, LineFault, decode, encode};
pub use hash::{Hash, sha256};
pub use recover::{Damage, Verdict, judge};
pub use short_code::ShortCode;
