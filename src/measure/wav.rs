//! Reading an uncompressed WAV recording to one channel, within bounded memory, and refusing spoilt ones.

use crate::words::{figure, said};
use hound::{SampleFormat, WavReader, WavSpec};
use std::fmt;
use std::io::Read;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "wav/1";

/// Most frames that are read: a quarter of an hour at 48 kHz, 173 MB of memory at 4 bytes each.
pub const MAX_FRAMES: usize = 15 * 60 * 48_000;
const MAX_CHANNELS: u16 = 32;
/// Largest share of frames at full scale.
pub const MAX_CLIPPED_SHARE: f64 = 0.001;
/// Longest time of exact zeros, s: more means that the recorder gated the noise.
pub const MAX_ZERO_S: f64 = 1.0;
/// Shorter runs of zeros are ordinary zero crossings of a quiet recording.
const ZERO_RUN_S: f64 = 0.005;

/// A recording as the mean of its channels, -1 to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    pub sample_rate_hz: f64,
    pub samples: Vec<f32>,
    pub channels: u16,
    /// Frames of which some channel stands at full scale.
    pub clipped_frames: usize,
    /// Frames that belong to longer runs of exact zeros on all channels.
    pub zero_frames: usize,
}

/// Why a file is no usable recording.
#[derive(Debug)]
pub enum WavError {
    /// Not a WAV file, or damaged; the text is the reader's.
    Format(String),
    Io(std::io::Error),
    Unsupported {
        bits: u16,
        float: bool,
    },
    Channels(u16),
    SampleRate(u32),
    Empty,
    TooLong {
        max_frames: usize,
    },
    NotFinite,
    Clipped {
        share: f64,
    },
    Gated {
        seconds: f64,
    },
}

impl fmt::Display for WavError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Format(text) => {
                f.write_str(&say!("the recording is no complete uncompressed WAV file ({text}); export it again as PCM WAV", text))
            }
            Self::Io(error) => {
                f.write_str(&say!("the recording cannot be read ({error}); check the card or cable and copy it again", error))
            }
            Self::Unsupported { bits, float } => {
                let kind = if *float { say!("floating point") } else { "integer" };
                f.write_str(&say!("samples of \"{bits} bit\" {kind} are not read; export as 16 or 24 bit PCM or 32 bit float", bits, kind = said(kind)))
            }
            Self::Channels(count) => {
                f.write_str(&say!("the recording has \"{count} channels\"; export it with 1 to {MAX_CHANNELS}", count, MAX_CHANNELS))
            }
            Self::SampleRate(rate) => f.write_str(&say!("a sampling frequency of \"{rate} Hz\" cannot be used; export with 44100 Hz or 48000 Hz", rate)),
            Self::Empty => f.write_str(say!("the recording holds no samples; record again")),
            Self::TooLong { max_frames } => {
                f.write_str(&say!("the recording is longer than {max_frames} samples per channel; cut it to the test itself", max_frames))
            }
            Self::NotFinite => {
                f.write_str(say!("the recording holds samples that are no numbers; export it again as 24 bit PCM"))
            }
            Self::Clipped { share } => f.write_str(&say!("{} % of the recording stands at full scale, 0.1 % are allowed; lower the gain and record again", figure(format_args!("{:.2}", share * 100.0)))),
            Self::Gated { seconds } => f.write_str(&say!("{seconds} s of the recording are exactly zero; switch noise reduction off and record again", seconds = figure(format_args!("{:.1}", seconds)))),
        }
    }
}

impl std::error::Error for WavError {}

impl From<hound::Error> for WavError {
    fn from(error: hound::Error) -> Self {
        match error {
            // The reader reports a file that ends early as an input error of kind `Other`.
            hound::Error::IoError(io)
                if matches!(io.kind(), std::io::ErrorKind::UnexpectedEof | std::io::ErrorKind::Other) =>
            {
                Self::Format(say!("the file ends too early").to_owned())
            }
            hound::Error::IoError(io) => Self::Io(io),
            other => Self::Format(other.to_string()),
        }
    }
}

/// Gathers frames from samples in file order.
struct Collector {
    recording: Recording,
    channels: usize,
    in_frame: usize,
    sum: f64,
    clipped: bool,
    zero: bool,
    zero_run: usize,
    long_run: usize,
}

impl Collector {
    fn new(spec: WavSpec) -> Self {
        let sample_rate_hz = f64::from(spec.sample_rate);
        let recording = Recording {
            sample_rate_hz,
            samples: Vec::new(),
            channels: spec.channels,
            clipped_frames: 0,
            zero_frames: 0,
        };
        Self {
            recording,
            channels: usize::from(spec.channels),
            in_frame: 0,
            sum: 0.0,
            clipped: false,
            zero: true,
            zero_run: 0,
            long_run: ((ZERO_RUN_S * sample_rate_hz) as usize).max(2),
        }
    }

    fn end_zero_run(&mut self) {
        if self.zero_run >= self.long_run {
            self.recording.zero_frames += self.zero_run;
        }
        self.zero_run = 0;
    }

    fn add(&mut self, value: f64, clipped: bool) -> Result<(), WavError> {
        if !value.is_finite() {
            return Err(WavError::NotFinite);
        }
        self.sum += value;
        self.clipped |= clipped;
        self.zero &= value == 0.0;
        self.in_frame += 1;
        if self.in_frame < self.channels {
            return Ok(());
        }
        if self.recording.samples.len() >= MAX_FRAMES {
            return Err(WavError::TooLong { max_frames: MAX_FRAMES });
        }
        self.recording.samples.push((self.sum / self.channels as f64) as f32);
        self.recording.clipped_frames += usize::from(self.clipped);
        if self.zero {
            self.zero_run += 1;
        } else {
            self.end_zero_run();
        }
        (self.in_frame, self.sum, self.clipped, self.zero) = (0, 0.0, false, true);
        Ok(())
    }

    fn finish(mut self) -> Result<Recording, WavError> {
        self.end_zero_run();
        if self.in_frame != 0 {
            return Err(WavError::Format(say!("the last frame is incomplete").to_owned()));
        }
        if self.recording.samples.is_empty() {
            return Err(WavError::Empty);
        }
        Ok(self.recording)
    }
}

/// Reads integer WAV of 8, 16, 24 or 32 bit or 32 bit float, any number of channels up to 32, as their mean.
///
/// # Errors
/// Anything else; damage; more than [`MAX_FRAMES`]; no samples. Clipping and gating are only counted, see
/// [`Recording::check_quality`].
pub fn read(source: impl Read) -> Result<Recording, WavError> {
    let reader = WavReader::new(source)?;
    let spec = reader.spec();
    if spec.channels == 0 || spec.channels > MAX_CHANNELS {
        return Err(WavError::Channels(spec.channels));
    }
    if spec.sample_rate < 100 || spec.sample_rate > 1_000_000 {
        return Err(WavError::SampleRate(spec.sample_rate));
    }
    let mut collector = Collector::new(spec);
    match (spec.sample_format, spec.bits_per_sample) {
        (SampleFormat::Int, bits @ (8 | 16 | 24 | 32)) => {
            let full = (1i64 << (bits - 1)) as f64;
            for sample in reader.into_samples::<i32>() {
                let value = f64::from(sample?);
                collector.add(value / full, value <= -full || value >= full - 1.0)?;
            }
        }
        (SampleFormat::Float, 32) => {
            for sample in reader.into_samples::<f32>() {
                let value = f64::from(sample?);
                collector.add(value, value.abs() >= 1.0)?;
            }
        }
        (format, bits) => return Err(WavError::Unsupported { bits, float: format == SampleFormat::Float }),
    }
    collector.finish()
}

impl Recording {
    pub fn duration_s(&self) -> f64 {
        self.samples.len() as f64 / self.sample_rate_hz
    }

    /// Samples in double precision, as the computations take them.
    pub fn to_f64(&self) -> Vec<f64> {
        self.samples.iter().map(|x| f64::from(*x)).collect()
    }

    /// Refuses a recording that is clipped or was silenced by noise reduction: counts from it would be wrong.
    ///
    /// # Errors
    /// More than 0.1 % of the frames at full scale; more than 1 s of exact zeros.
    pub fn check_quality(&self) -> Result<(), WavError> {
        let share = self.clipped_frames as f64 / self.samples.len().max(1) as f64;
        if share > MAX_CLIPPED_SHARE {
            return Err(WavError::Clipped { share });
        }
        let seconds = self.zero_frames as f64 / self.sample_rate_hz;
        if seconds > MAX_ZERO_S { Err(WavError::Gated { seconds }) } else { Ok(()) }
    }
}

#[cfg(test)]
#[path = "wav_tests.rs"]
mod tests;
