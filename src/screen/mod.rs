//! The screens: they draw what a [`desk::Desk`] shows and turn keys into wishes.
//!
//! [`run`] is the way in. [`App`] is the state behind it; it can be driven and drawn without a terminal.

mod app;
mod body;
mod defects;
pub mod desk;
mod draw;
mod field;
mod footer;
mod form;
mod forms;
mod hangar;
mod head;
mod help;
mod history;
mod kept_form;
mod keys;
mod list;
pub mod look;
mod mouse;
mod on_measure;
mod on_step;
mod perform;
mod pick;
mod picture;
mod purpose;
mod reading;
mod readings;
mod readings_detail;
mod records;
mod run;
mod save;
mod seen;
mod series;
mod series_draw;
mod series_picture;
mod series_value;
mod sign_off;
mod signals;
mod step_detail;
mod step_record;
mod terminal;
mod text;
mod unsaved;
mod verdict;
mod wishes;
mod words;
mod worksheet;

pub use app::{After, App, Start};
pub use look::Look;
pub use run::{ScreenError, run};
pub use seen::{Seen, Target};
pub use words::words;
