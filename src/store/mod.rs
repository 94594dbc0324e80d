//! The only place for files, locks, flushing, the clock and folders.
#![allow(clippy::disallowed_methods, reason = "this is the place that the rest is sent to")]

pub mod clock;
pub mod create;
mod device;
pub mod disk;
pub mod error;
pub mod evidence;
pub mod export;
pub mod folders;
pub mod keys;
pub mod packs;
pub mod plans;
pub mod real_disk;
pub mod replace;
pub mod session_dir;
pub mod session_files;
pub mod sim_disk;
mod sim_state;
pub mod texts;
pub mod unpack;
pub mod unsaved;
pub mod writer;

pub use clock::{Clock, FakeClock, RealClock, wall_text};
pub use create::{CreateError, create, create_with};
pub use device::device_name;
pub use disk::{Disk, DiskFile, SharedDisk, StoreError};
pub use evidence::{Evidence, EvidenceCheck, StoredEvidence};
pub use folders::{Hangar, SessionFolder, new_session_id};
pub use plans::read_plans;
pub use real_disk::RealDisk;
pub use session_dir::{Notice, OpenError, Opened, Reader, open_reader, open_writer};
pub use sim_disk::SimDisk;
pub use writer::{AppendError, Draft, RescueReport, UnsavedLine, Writer, release_reserve};
