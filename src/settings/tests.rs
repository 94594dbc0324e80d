use super::*;
use crate::diagnostic::{Source, render};

fn read(text: &str) -> (FileSettings, String) {
    let (file, faults) = read_settings(&Source::new("config.toml", text));
    (file, render(&faults, false))
}

fn chosen(argument: Option<&str>, variable: Option<&str>, file: &str) -> (Settings, Vec<String>) {
    let (file, faults) = read(file);
    assert!(faults.is_empty(), "{faults}");
    let argument = |key: &Key| argument.filter(|_| key.key == PERSON).map(str::to_string);
    let variable = |name: &str| variable.filter(|_| name == "SPANWISE_PERSON").map(str::to_string);
    Settings::choose(argument, variable, &file)
}

#[test]
fn argument_before_environment_before_file_before_default() {
    let file = "# mine\nperson = \"c\"\n";
    let of = |argument, variable, file| {
        let (settings, troubles) = chosen(argument, variable, file);
        assert!(troubles.is_empty(), "{troubles:?}");
        let setting = settings.setting(PERSON).cloned().expect("a key");
        (setting.value.clone().unwrap_or_default(), setting.origin)
    };
    assert_eq!(of(Some("a"), Some("b"), file), ("a".into(), Origin::Argument));
    assert_eq!(of(None, Some("b"), file), ("b".into(), Origin::Environment));
    assert_eq!(of(None, Some(""), file), ("c".into(), Origin::Config(2)));
    assert_eq!(of(None, None, ""), (String::new(), Origin::Default));
}

#[test]
fn every_example_and_the_template_can_be_read() {
    let (file, faults) = read(&template());
    assert!(faults.is_empty() && file == FileSettings::default(), "{faults}");
    let bare: String = template()
        .lines()
        .map(|line| line.trim_start_matches("# "))
        .filter(|line| line.contains(" = "))
        .map(|line| format!("{line}\n"))
        .collect();
    let (file, faults) = read(&bare);
    assert!(faults.is_empty(), "{faults}\n{bare}");
    for key in KEYS {
        assert!(file.value(key.key).is_some(), "{}", key.key);
        assert!(key.default.is_empty() || checked(key, key.default).is_ok(), "{}", key.key);
    }
}

#[test]
fn faults_are_told_all_at_once_with_line_and_caret_and_sound_keys_hold() {
    let text = "person = \"ada\"\nlanguage = \"dk\"\npeople = 0\nascii = \"yes\"\nthem = \"dark\"\nhangar = \"club\"\n";
    let (file, faults) = read(text);
    assert_eq!(file.value(PERSON), Some(("ada".into(), 1)));
    for key in [LANGUAGE, PEOPLE, ASCII, THEME, HANGAR] {
        assert_eq!(file.value(key), None, "{key}");
    }
    for words in [
        "config.toml:2:12",
        "config.toml:3:10",
        "config.toml:4:9",
        "config.toml:5:1",
        "did you mean \"theme\"?",
        "~/club",
        "^",
    ] {
        assert!(faults.contains(words), "\"{words}\" is missing in {faults}");
    }
}

#[test]
fn broken_toml_is_a_fault_and_no_panic() {
    for text in ["person = ", "= 3", "[", "person = \"a\nb", "\u{0}", "person = 1979-05-27T", "a.b.c = [[["] {
        let (_, faults) = read(text);
        assert!(faults.contains("config.toml:"), "{text:?}: {faults}");
    }
    let (_, faults) = read("[person]\nx = 1\n[[ascii]]\n");
    assert!(faults.contains("\"person\" must be a text"), "{faults}");
}

#[test]
fn variables_of_others_keep_their_sense() {
    let with = |name: &'static str, value: &'static str| {
        let variable = move |asked: &str| (asked == name).then(|| value.to_string());
        Settings::choose(|_| None, variable, &FileSettings::default())
    };
    // no-color.org: any text that is not empty.
    assert_eq!(with("NO_COLOR", "0").0.value(COLOUR), Some("never"));
    assert_eq!(with("NO_COLOR", "").0.value(COLOUR), Some("auto"));
    assert!(with("SPANWISE_ASCII", "1").0.flag(ASCII) && !with("SPANWISE_ASCII", "0").0.flag(ASCII));
    let (settings, troubles) = with("SPANWISE_LOG", "loud");
    assert_eq!(settings.value(LOG_LEVEL), Some("info"));
    assert!(troubles.len() == 1 && troubles[0].contains("SPANWISE_LOG") && troubles[0].contains("\"loud\""));
}
