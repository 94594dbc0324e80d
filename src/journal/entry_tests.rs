use super::*;
use serde_json::json;

const SID: &str = "00112233445566778899aabbccddeeff";

/// Three chained lines made by an independent implementation (Python, package rfc8785 0.1.4) of the written
/// format, with the tag `inspect/event/v1`: event bytes, line length without LF, hash.
const EXAMPLE: [(&str, usize, &str); 3] = [
    (
        r#"{"body":{"plan":"0000000000000000000000000000000000000000000000000000000000000000"},"kind":"open","mono_ms":0,"prev":"0000000000000000000000000000000000000000000000000000000000000000","seq":0,"sid":"00112233445566778899aabbccddeeff","wall":"2030-01-01T08:00:00.000Z"}"#,
        344,
        "de43284708cf60459a2ab7697cd2b3712a02b8340588c88aa95d1e795e3c9894",
    ),
    (
        r#"{"body":{"item":"4.2.1","note":"äöü €","result":"ok"},"kind":"answer","mono_ms":61250,"prev":"de43284708cf60459a2ab7697cd2b3712a02b8340588c88aa95d1e795e3c9894","seq":1,"sid":"00112233445566778899aabbccddeeff","wall":"2030-01-01T08:01:01.250Z"}"#,
        325,
        "3e4c88c50e5f7c99ffab0566cc069bd5c935656bf2706ffd63ac67566fdc1672",
    ),
    (
        r#"{"body":{"item":"4.2.2","result":"measured","unit":"mm","value":"12.50"},"kind":"answer","mono_ms":92001,"prev":"3e4c88c50e5f7c99ffab0566cc069bd5c935656bf2706ffd63ac67566fdc1672","seq":2,"sid":"00112233445566778899aabbccddeeff","wall":"2030-01-01T08:01:32.001Z"}"#,
        339,
        "6e63a7a32d044db83942c42ee3cea1287f8cbfb8edf57d7fa8d34cd8251980ca",
    ),
];
const EXAMPLE_TAG: &str = "inspect/event/v1";

fn fields(body: Value) -> Fields {
    Fields {
        sid: SID.into(),
        seq: 4,
        prev: Hash::ZERO,
        wall: "2030-01-01T09:00:00.000+01:00".into(),
        mono_ms: 12,
        kind: "answer".into(),
        body,
    }
}

/// A line with a true hash around any event text, canonical or not.
fn forged(event: &str) -> Vec<u8> {
    format!("{{\"e\":{event},\"h\":\"{}\"}}\n", tagged(EVENT_TAG, event.as_bytes())).into_bytes()
}

#[test]
fn worked_example() {
    for (event, line_bytes, hash) in EXAMPLE {
        let line = format!("{{\"e\":{event},\"h\":\"{hash}\"}}\n");
        assert_eq!(line.trim_end().len(), line_bytes);
        let entry = decode_with(EXAMPLE_TAG, line.as_bytes()).unwrap();
        assert_eq!(entry.hash.to_string(), hash);
        let again = Fields {
            sid: entry.sid.clone(),
            seq: entry.seq,
            prev: entry.prev,
            wall: entry.wall.clone(),
            mono_ms: entry.mono_ms,
            kind: entry.kind.clone(),
            body: entry.body.clone(),
        };
        assert_eq!(
            encode_with(EXAMPLE_TAG, again).unwrap(),
            Encoded { line: line.clone().into_bytes(), entry }
        );
        assert!(matches!(decode(line.as_bytes()), Err(LineFault::Hash { .. })), "another tag, another hash");
    }
}

#[test]
fn trailing_zeros_survive() {
    let made = encode(fields(json!({"value": "12.50", "unit": "mm"}))).unwrap();
    assert!(String::from_utf8(made.line.clone()).unwrap().contains(r#""value":"12.50""#));
    assert_eq!(decode(&made.line).unwrap(), made.entry);
}

/// The event part of the hash can be cut out by position alone, as an auditor's shell would.
#[test]
fn event_bytes_by_position() {
    let made = encode(fields(json!({"a": "b"}))).unwrap();
    let line = made.line.strip_suffix(b"\n").unwrap();
    assert_eq!(tagged(EVENT_TAG, &line[5..line.len() - 72]), made.entry.hash);
}

#[test]
fn every_bit_flip_is_refused() {
    let line = encode(fields(json!({"note": "läuft frei", "n": 3}))).unwrap().line;
    for position in 0..line.len() {
        for bit in 0..8 {
            let mut changed = line.clone();
            changed[position] ^= 1 << bit;
            assert!(decode(&changed).is_err(), "byte {position} bit {bit}");
        }
    }
}

#[test]
fn every_cut_is_refused() {
    let line = encode(fields(json!({"n": 3}))).unwrap().line;
    for len in 0..line.len() {
        assert!(decode(&line[..len]).is_err(), "cut at {len}");
    }
}

/// A second spelling of the same event is refused even under a true hash.
#[test]
fn one_spelling_only() {
    let base = r#"{"body":{"a":1},"kind":"k","mono_ms":0,"prev":"0000000000000000000000000000000000000000000000000000000000000000","seq":0,"sid":"00112233445566778899aabbccddeeff","wall":"2030-01-01T08:00:00.000Z"}"#;
    assert!(decode(&forged(base)).is_ok());
    let variants = [
        base.replace("{\"a\":1}", "{\"a\": 1}"),
        base.replace("{\"a\":1}", "{\"a\":2,\"a\":1}"),
        base.replace("\"kind\":\"k\"", "\"kind\":\"\\u006b\""),
        base.replace("\"kind\":\"k\",\"mono_ms\":0", "\"mono_ms\":0,\"kind\":\"k\""),
    ];
    for variant in variants {
        assert_eq!(decode(&forged(&variant)), Err(LineFault::NotCanonical), "{variant}");
    }
    for float in ["1.0", "1e0", "-0", "9007199254740992"] {
        let variant = base.replace("{\"a\":1}", &format!("{{\"a\":{float}}}"));
        assert!(matches!(decode(&forged(&variant)), Err(LineFault::Canonical(_))), "{float}");
    }
    for (from, to, name) in [
        ("\"kind\":\"k\",", "", "kind"),
        ("\"kind\":\"k\"", "\"kind\":\"K\"", "kind"),
        ("\"seq\":0", "\"seq\":-1", "seq"),
        ("\"mono_ms\":0", "\"mono_ms\":\"0\"", "mono_ms"),
        ("ccddeeff", "ccddeefG", "sid"),
        ("08:00:00.000Z", "08:00:00.000", "wall"),
        ("\"wall\":", "\"wall\":\"2030-01-01T08:00:00.000Z\",\"x\":", "e"),
    ] {
        let found = decode(&forged(&base.replace(from, to)));
        assert!(matches!(found, Err(LineFault::Member { name: n, .. }) if n == name), "{name}: {found:?}");
    }
    assert!(matches!(decode(&forged("[]")), Err(LineFault::Member { name: "e", .. })));
    assert!(matches!(decode(&forged("{")), Err(LineFault::Json(_))));
}

#[test]
fn long_and_malformed_lines_are_not_made() {
    let empty = encode(fields(json!(""))).unwrap().line.len();
    let fits = "x".repeat(MAX_LINE - empty);
    assert_eq!(encode(fields(json!(fits))).unwrap().line.len(), MAX_LINE);
    let over = encode(fields(json!(format!("{fits}x")))).unwrap_err();
    assert_eq!(over, EncodeError::Unreadable(LineFault::TooLong { len: MAX_LINE + 1 }));
    assert!(matches!(encode(fields(json!({"value": 12.5}))), Err(EncodeError::Canonical(_))));
    let wrong = Fields { sid: "nobody".into(), ..fields(json!({})) };
    assert!(matches!(encode(wrong), Err(EncodeError::Unreadable(LineFault::Member { name: "sid", .. }))));
}
