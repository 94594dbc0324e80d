//! The reader of WAV recordings.

use spanwise::measure::wav;

use super::Target;

pub fn target() -> Target {
    Target::new("wav", 2_000, run).seeds(seeds).tokens(|| {
        [
            "RIFF",
            "WAVE",
            "fmt ",
            "data",
            "LIST",
            "fact",
            "\u{1}\0",
            "\u{3}\0",
            "\0\0\0\0",
            "\u{7f}\u{7f}\u{7f}\u{7f}",
        ]
        .map(String::from)
        .to_vec()
    })
}

fn run(input: &[u8]) -> bool {
    match wav::read(input) {
        Ok(recording) => {
            assert!(recording.duration_s().is_finite() && !recording.samples.is_empty());
            let _ = recording.check_quality().map_err(|why| why.to_string());
            true
        }
        Err(why) => why.to_string().is_empty(),
    }
}

/// A header by the RIFF layout with `data` behind it.
fn with_header(format: u16, channels: u16, rate: u32, bits: u16, declared: u32, data: &[u8]) -> Vec<u8> {
    let frame = channels.wrapping_mul(bits / 8);
    let mut bytes = b"RIFF".to_vec();
    bytes.extend_from_slice(&declared.wrapping_add(36).to_le_bytes());
    bytes.extend_from_slice(b"WAVEfmt \x10\0\0\0");
    for short in [format, channels] {
        bytes.extend_from_slice(&short.to_le_bytes());
    }
    for long in [rate, rate.wrapping_mul(u32::from(frame))] {
        bytes.extend_from_slice(&long.to_le_bytes());
    }
    for short in [frame, bits] {
        bytes.extend_from_slice(&short.to_le_bytes());
    }
    bytes.extend_from_slice(b"data");
    bytes.extend_from_slice(&declared.to_le_bytes());
    bytes.extend_from_slice(data);
    bytes
}

/// Half a second of a decaying tone at 8 kHz.
pub fn short_recording() -> Vec<u8> {
    let data: Vec<u8> = (0..4_000_i32)
        .flat_map(|n| {
            let value =
                9_000.0 * (-f64::from(n) / 900.0).exp() * (f64::from(n) * 0.3).sin() + f64::from(n % 7);
            (value as i16).to_le_bytes()
        })
        .collect();
    with_header(1, 1, 8_000, 16, data.len() as u32, &data)
}

fn seeds() -> Vec<Vec<u8>> {
    let data: Vec<u8> = (0..96_u8).map(|n| n.wrapping_mul(37)).collect();
    vec![
        short_recording(),
        with_header(1, 2, 48_000, 16, 96, &data),
        with_header(1, 1, 44_100, 24, 96, &data),
        with_header(3, 1, 44_100, 32, 96, &[0; 96]),
        with_header(1, 1, 8_000, 8, 96, &data),
        // What lies: more data than there is, no rate, no channel, no bits.
        with_header(1, 1, 8_000, 16, u32::MAX, &data),
        with_header(1, 1, 8_000, 16, 0xffff_fffe, &data),
        with_header(1, 1, 0, 16, 96, &data),
        with_header(1, 0, 8_000, 16, 96, &data),
        with_header(1, 1, 8_000, 0, 96, &data),
        with_header(1, 65_535, u32::MAX, 65_535, 96, &data),
    ]
}
