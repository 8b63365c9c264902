//! Why a C3D file cannot be read, with the byte.

/// What is wrong with a C3D file, and where.
#[derive(Debug, thiserror::Error)]
pub enum C3dError {
    /// The bytes could not be had.
    #[error("the file cannot be read: {0}")]
    Unreadable(#[from] std::io::Error),
    /// The second byte is not 80, or the file is shorter than a header.
    #[error("this is no C3D file")]
    NotC3d,
    /// The file ends before something it announces.
    #[error("the file ends at byte {length}, before the end of {what} (byte {end})")]
    Truncated {
        /// What was being read.
        what: &'static str,
        /// Offset one past its last byte.
        end: usize,
        /// Length of the file.
        length: usize,
    },
    /// A kind of processor that is none of the three of the standard.
    #[error("byte {at} names processor {code}; 84, 85 and 86 are known")]
    UnknownProcessor {
        /// Offset.
        at: usize,
        /// What stands there.
        code: u8,
    },
    /// A parameter that does not fit its own dimensions.
    #[error("parameter {name} at byte {at} cannot be read")]
    BadParameter {
        /// `GROUP:NAME`.
        name: String,
        /// Offset of its record.
        at: usize,
    },
    /// A parameter that is needed and not there.
    #[error("parameter {0} is missing")]
    MissingParameter(&'static str),
    /// No force plates.
    #[error("the file holds no force plates")]
    NoPlates,
    /// A chosen plate that is not there.
    #[error("there is no plate {asked}; the file has {plates}")]
    UnknownPlate {
        /// Number asked for, from one.
        asked: usize,
        /// Plates there are.
        plates: usize,
    },
    /// A type of plate this reader does not know.
    #[error("plate {plate} is of type {kind}; types 1 to 4 are read")]
    UnknownType {
        /// Number from one.
        plate: usize,
        /// As stated.
        kind: i32,
    },
    /// A plate on a channel the file does not have.
    #[error("plate {plate} uses channel {channel}, but the file has {channels}")]
    NoChannel {
        /// Plate from one.
        plate: usize,
        /// Channel from one, as stated.
        channel: i32,
        /// Channels there are.
        channels: usize,
    },
    /// No sampling rate, or one that cannot be.
    #[error("a sampling rate of {hz} Hz cannot be used")]
    ImpossibleRate {
        /// As stated.
        hz: f64,
    },
    /// Two statements of the rate.
    #[error("the parameters state {stated_hz} Hz but the frames {counted_hz} Hz")]
    RatesDisagree {
        /// As stated.
        stated_hz: f64,
        /// By frame rate and samples a frame, or as given by hand.
        counted_hz: f64,
    },
}
