//! Files of every kind written by the WAV library, spoilt ones, and arbitrary bytes.

use super::*;
use hound::WavWriter;
use proptest::prelude::*;
use std::io::Cursor;

fn spec(bits: u16, sample_format: SampleFormat, channels: u16) -> WavSpec {
    WavSpec { channels, sample_rate: 8_000, bits_per_sample: bits, sample_format }
}

fn integers(bits: u16, channels: u16, samples: &[i32]) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = WavWriter::new(&mut bytes, spec(bits, SampleFormat::Int, channels)).unwrap();
    for sample in samples {
        writer.write_sample(*sample).unwrap();
    }
    writer.finalize().unwrap();
    bytes.into_inner()
}

fn floats(samples: &[f32]) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = WavWriter::new(&mut bytes, spec(32, SampleFormat::Float, 1)).unwrap();
    for sample in samples {
        writer.write_sample(*sample).unwrap();
    }
    writer.finalize().unwrap();
    bytes.into_inner()
}

#[test]
fn every_integer_width_gives_the_same_half_scale() {
    for bits in [8u16, 16, 24, 32] {
        let half = 1i32 << (bits - 2);
        let recording = read(&integers(bits, 1, &[half, -half, 0])[..]).unwrap();
        assert_eq!(recording.samples, vec![0.5, -0.5, 0.0], "{bits} bit");
        assert_eq!(recording.sample_rate_hz, 8_000.0);
    }
    assert_eq!(read(&floats(&[0.5, -0.25])[..]).unwrap().samples, vec![0.5, -0.25]);
}

#[test]
fn channels_are_averaged() {
    let recording = read(&integers(16, 2, &[16384, 0, -16384, -16384])[..]).unwrap();
    assert_eq!((recording.samples, recording.channels), (vec![0.25, -0.5], 2));
}

#[test]
fn clipping_is_counted_on_any_channel_and_refused_above_a_thousandth() {
    let mut samples = vec![100; 4_000];
    samples[..4].copy_from_slice(&[32767, 0, -32768, 0]);
    let two = read(&integers(16, 2, &samples)[..]).unwrap();
    assert_eq!(two.clipped_frames, 2);
    two.check_quality().unwrap();
    samples[4] = 32767;
    let three = read(&integers(16, 2, &samples)[..]).unwrap();
    assert!(matches!(three.check_quality(), Err(WavError::Clipped { .. })));
}

#[test]
fn long_runs_of_exact_zeros_are_a_noise_gate() {
    let mut samples: Vec<i32> = (0..24_000).map(|i| i % 7 - 3).collect();
    read(&integers(16, 1, &samples)[..]).unwrap().check_quality().unwrap();
    samples[1_000..9_100].fill(0);
    let gated = read(&integers(16, 1, &samples)[..]).unwrap();
    assert!(
        matches!(gated.check_quality(), Err(WavError::Gated { seconds }) if (seconds - 1.0125).abs() < 0.001)
    );
}

#[test]
fn what_is_no_recording_is_refused_in_words() {
    let message = |bytes: &[u8]| read(bytes).unwrap_err().to_string();
    assert!(message(b"").contains("export it again as PCM WAV"));
    assert!(message(b"RIFF").contains("export it again as PCM WAV"));
    assert!(message(&integers(16, 1, &[])).contains("holds no samples"));
    assert!(message(&floats(&[f32::NAN])).contains("no numbers"));
    let whole = integers(16, 1, &[1; 100]);
    assert!(
        message(&whole[..whole.len() - 51]).contains("ends too early"),
        "{}",
        message(&whole[..whole.len() - 51])
    );
    let mut none = integers(16, 1, &[1; 10]);
    none[22] = 0; // number of channels in the header
    assert!(read(&none[..]).is_err());
    let mut still = integers(16, 1, &[1; 10]);
    still[24..28].fill(0); // sampling frequency in the header
    assert!(read(&still[..]).is_err());
}

proptest! {
    #[test]
    fn a_damaged_file_is_an_error_or_a_recording(at in 0usize..60, byte in any::<u8>(), keep in 0usize..120) {
        let mut bytes = integers(16, 2, &(0..30).collect::<Vec<_>>());
        bytes[at] = byte;
        bytes.truncate(keep);
        let _ = read(&bytes[..]);
    }

    #[test]
    fn arbitrary_bytes_after_a_header_do_not_panic(tail in proptest::collection::vec(any::<u8>(), 0..200)) {
        let mut bytes = b"RIFF\xff\xff\x00\x00WAVEfmt ".to_vec();
        bytes.extend(tail);
        let _ = read(&bytes[..]);
    }
}
