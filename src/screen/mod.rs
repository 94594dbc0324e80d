//! The screens: they draw what a [`desk::Desk`] shows and turn keys into wishes.

pub mod desk;

pub enum Start {
    Hangar,
    Worksheet,
}
pub fn run(_desk: &mut dyn desk::Desk, _start: Start) -> Result<(), std::io::Error> {
    Ok(())
}
