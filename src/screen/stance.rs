//! How an airframe stands, as a person reads it. A checklist, an argument and the record keep the keys.

use crate::checklist::{Aspect, Configuration, Setting};
use crate::order::Change;

/// One respect in which it can stand.
pub fn aspect_word(aspect: Aspect) -> &'static str {
    match aspect {
        Aspect::Wings => say!("wings"),
        Aspect::Support => say!("support"),
        Aspect::Tailplane => say!("tailplane"),
        Aspect::TailWheel => say!("tail-wheel"),
        Aspect::Controls => say!("controls"),
        Aspect::Panels => say!("panels"),
        Aspect::Power => say!("power"),
    }
}

/// How it stands in that respect: a tailplane that is "on" is another word in another language than power that is.
pub fn setting_word(aspect: Aspect, setting: Setting) -> &'static str {
    match (aspect, setting) {
        (Aspect::Power, Setting::On) => say!("power" => "on"),
        (Aspect::Power, Setting::Off) => say!("power" => "off"),
        (_, Setting::On) => say!("tailplane" => "on"),
        (_, Setting::Off) => say!("tailplane" => "off"),
        (_, Setting::In) => say!("panels" => "in"),
        (_, Setting::Out) => say!("panels" => "out"),
        (_, Setting::Rigged) => say!("rigged"),
        (_, Setting::Derigged) => say!("derigged"),
        (_, Setting::Wheel) => say!("support" => "wheel"),
        (_, Setting::BellyDolly) => say!("belly-dolly"),
        (_, Setting::Trestles) => say!("trestles"),
        (_, Setting::Loaded) => say!("tail-wheel" => "loaded"),
        (_, Setting::Clear) => say!("tail-wheel" => "clear"),
        (_, Setting::Connected) => say!("connected"),
        (_, Setting::Disconnected) => say!("disconnected"),
    }
}

/// `tailplane off`.
pub fn stands(aspect: Aspect, setting: Setting) -> String {
    format!("{} {}", aspect_word(aspect), setting_word(aspect, setting))
}

/// `wings rigged, tailplane off`.
pub fn all_stands(configuration: &Configuration) -> String {
    configuration.iter().map(|(aspect, setting)| stands(aspect, setting)).collect::<Vec<_>>().join(", ")
}

/// `tailplane on to off`.
pub fn change(change: &Change) -> String {
    let aspect = change.cost.aspect;
    say!(
        "{aspect} {from} to {to}",
        aspect = aspect_word(aspect),
        from = setting_word(aspect, change.from),
        to = setting_word(aspect, change.cost.to)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_are_those_of_the_checklist_format() {
        for aspect in Aspect::ALL {
            assert_eq!(aspect_word(aspect), aspect.word());
            for setting in aspect.settings() {
                assert_eq!(setting_word(aspect, *setting), setting.word());
            }
        }
    }
}
