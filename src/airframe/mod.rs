//! The airframe's record and the registers of instruments and people: what is known before the work starts.

pub mod edit;
pub mod fields;
mod instruments;
mod people;
mod record;
pub mod sheet;

pub use instruments::{Instrument, Instruments, read_instruments};
pub use people::{Authorisation, AuthorisationKind, People, Person, PersonKey, read_people};
pub use record::{
    Airframe, Applicability, Certificate, Compliance, Counters, CountsFrom, DefectStanding, DeferralRules,
    Directive, EarlierReading, Fitted, Interval, Life, LifeItem, Manual, Modification, PastAnnual,
    RecordedDefect, Reference, Repair, Report, SerialRange, Weighing, Withdrawn, read_airframe,
};
