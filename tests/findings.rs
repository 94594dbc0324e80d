//! What an auditor should look at: each kind shown by an invented session, silent on the same one made honest.

mod support;
mod findings {
    pub mod day;
    mod honest;
    mod pace;
    mod record;
}
use findings::day;
