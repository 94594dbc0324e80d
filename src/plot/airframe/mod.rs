//! The airframe from the left and from above, with marks where something was found.
//!
//! Everything is in mm from the type's datum, stations positive aft. Both views have the nose to the left: from
//! above the right wing is then at the top and the left wing below, and the side view shows the left side.

mod draw;
mod legend;
mod place;
mod region;
mod shape;
mod views;

pub use draw::{AirframePicture, Prefer, airframe_picture};
pub use place::{Mark, Placed, Sides, place_mark, sign_of_id, station_words};
pub use region::{Region, recognise};
pub use shape::AirframeShape;
pub use views::{View, airframe_plot};

#[cfg(test)]
mod tests;
