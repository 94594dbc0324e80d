//! What is wrong with a pack's bytes.

use std::fmt;

use super::{FIRST_LINE, MAX_BYTES};
use crate::seal::SealFault;

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PackFault {
    TooLarge,
    /// The first line is another one.
    NoPack,
    /// Every line end was changed on the way.
    LineEnds,
    /// It ends before the bytes that the header promises.
    Truncated {
        missing: u64,
        /// The first edition that is not whole; `None` where not even the header and signature are.
        first: Option<String>,
    },
    /// More bytes than the header promises.
    TooLong {
        extra: u64,
    },
    /// The header is not in form.
    Header(String),
    Signature(SealFault),
    /// The bytes of an edition, or the line before them, are not those that were signed.
    Altered {
        edition: String,
    },
}

impl PackFault {
    /// A stable word for other programs.
    pub fn code(&self) -> &'static str {
        match self {
            PackFault::TooLarge => "too-large",
            PackFault::NoPack => "no-pack",
            PackFault::LineEnds => "line-ends",
            PackFault::Truncated { .. } => "truncated",
            PackFault::TooLong { .. } => "too-long",
            PackFault::Header(_) => "header",
            PackFault::Signature(_) => "signature",
            PackFault::Altered { .. } => "altered",
        }
    }
}

impl fmt::Display for PackFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PackFault::TooLarge => f.write_str(&say!("the file has more than the {MAX_BYTES} bytes that a pack may have", MAX_BYTES)),
            PackFault::NoPack => {
                f.write_str(&say!("the file is no pack, or its beginning is altered: its first line is not \"{FIRST_LINE}\"", FIRST_LINE))
            }
            PackFault::LineEnds => f.write_str(
                say!("its line ends were changed on the way, as some mail programs do; have it sent again as an attachment \
                 that is not converted, such as in a ZIP archive"),
            ),
            PackFault::Truncated { missing, first: Some(first) } => {
                f.write_str(&say!("it is truncated: {missing} bytes are missing, from {first} on", missing, first))
            }
            PackFault::Truncated { first: None, .. } => {
                f.write_str(say!("it is truncated or altered: header and signature do not stand whole at its beginning"))
            }
            PackFault::TooLong { extra } => f.write_str(&say!("{extra} bytes stand in it that do not belong there", extra)),
            PackFault::Header(why) => f.write_str(&say!("its header is altered or not in form: {why}", why)),
            PackFault::Signature(SealFault::DoesNotFit) => {
                f.write_str(say!("its header is altered: it is not what was signed"))
            }
            PackFault::Signature(fault) => f.write_str(&say!("its signature is altered or not good: {fault}", fault)),
            PackFault::Altered { edition } => {
                f.write_str(&say!("{edition} is altered: it is not the edition that was signed", edition))
            }
        }
    }
}

impl std::error::Error for PackFault {}
