//! The airframe's record and the registers of instruments and people: what is known before the work starts.

mod instruments;
mod people;
mod record;

pub use instruments::{Instrument, Instruments, read_instruments};
pub use people::{Authorisation, AuthorisationKind, People, Person, PersonKey, read_people};
pub use record::{
    Airframe, Directive, EarlierReading, LifeItem, Reference, Report, Withdrawn, read_airframe,
};
