//! The screens: they draw what a [`desk::Desk`] shows and turn keys into wishes.

pub mod desk;
