//! The only place for files, locks, flushing, the clock and folders.

pub mod clock;
pub mod disk;
pub mod error;
pub mod evidence;
pub mod folders;
pub mod real_disk;
pub mod session_dir;
pub mod sim_disk;
mod sim_state;
pub mod writer;

pub use clock::{Clock, FakeClock, RealClock};
pub use disk::{Disk, DiskFile, SharedDisk, StoreError};
pub use evidence::{Evidence, EvidenceCheck, StoredEvidence};
pub use folders::{Hangar, new_session_id};
pub use real_disk::RealDisk;
pub use session_dir::{Notice, OpenError, Opened, Reader, create, open_reader, open_writer};
pub use sim_disk::SimDisk;
pub use writer::{AppendError, Draft, RescueReport, UnsavedLine, Writer};
