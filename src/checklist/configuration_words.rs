//! How the airframe stands, in the language that is spoken.

use super::{Aspect, Configuration, Setting};
use crate::words::said;

/// All of it, aspect by aspect.
pub fn configuration_words(configuration: &Configuration) -> String {
    let parts = configuration.iter();
    let parts =
        parts.map(|(aspect, setting)| format!("{} {}", aspect_words(aspect), setting_words(aspect, setting)));
    parts.collect::<Vec<_>>().join(", ")
}

/// What can be set.
pub fn aspect_words(aspect: Aspect) -> &'static str {
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

/// How it is set. "On" is not said alike of a tailplane and of the electrics.
pub fn setting_words(aspect: Aspect, setting: Setting) -> &'static str {
    match (aspect, setting) {
        (Aspect::Tailplane, Setting::On) => say!("of a tailplane" => "on"),
        (Aspect::Tailplane, Setting::Off) => say!("of a tailplane" => "off"),
        (Aspect::Power, Setting::On) => say!("of the electrics" => "on"),
        (Aspect::Power, Setting::Off) => say!("of the electrics" => "off"),
        (Aspect::Panels, Setting::In) => say!("of panels" => "in"),
        (Aspect::Panels, Setting::Out) => say!("of panels" => "out"),
        (_, Setting::Rigged) => say!("rigged"),
        (_, Setting::Derigged) => say!("derigged"),
        (_, Setting::Wheel) => say!("wheel"),
        (_, Setting::BellyDolly) => say!("belly-dolly"),
        (_, Setting::Trestles) => say!("trestles"),
        (_, Setting::Loaded) => say!("of a tail wheel" => "loaded"),
        (_, Setting::Clear) => say!("of a tail wheel" => "clear"),
        (_, Setting::Connected) => say!("of controls" => "connected"),
        (_, Setting::Disconnected) => say!("of controls" => "disconnected"),
        (_, other) => said(other.word()),
    }
}
