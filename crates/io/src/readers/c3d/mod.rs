//! Force plates from C3D, the open standard of motion capture (The C3D File Format User Guide,
//! c3d.org): header, parameters, integer and floating data in the byte orders of three
//! processors, analog scales, force platforms of types 1 to 4.
//!
//! Every length is checked against the file before it is used; an error names the byte.

mod bytes;
mod error;
mod parameters;
mod plate;
#[cfg(test)]
mod tests;

pub use error::C3dError;

use crate::readers::plates_added_up;
use bytes::{Bytes, Processor};
use cornerwork_core::capture::{ForceCapture, Plate, PlatePlace, Sampling};
use cornerwork_core::note::Note;
use parameters::Parameters;
use plate::Platform;

/// Bytes in a block, the unit of places in the header.
const BLOCK: usize = 512;
/// Second byte of every C3D file.
pub(crate) const MARK: u8 = 80;
/// Rates that agree within this fraction are the same (engineering choice).
const RATE_TOLERANCE: f64 = 0.005;

/// Reads the vertical force of all plates, or of those chosen by number from one.
///
/// The vertical is the axis of the laboratory most nearly square to a plate, which its corners
/// tell. A rate given by hand is only compared.
pub fn force(
    file: &[u8],
    chosen: &[(PlatePlace, usize)],
    rate_hz: Option<f64>,
) -> Result<ForceCapture, C3dError> {
    let header = Header::read(file)?;
    let parameters = Parameters::read(header.bytes, header.parameters_at, header.parameters_end())?;
    let rate = header.rate_hz(&parameters, rate_hz)?;
    let platforms = Platform::all(&parameters, header.channels)?;
    let all: Vec<(PlatePlace, usize)> =
        (1..=platforms.len()).map(|number| (PlatePlace::Whole, number)).collect();
    let chosen = if chosen.is_empty() { &all } else { chosen };
    let samples = header.samples(&parameters)?;
    let mut plates = Vec::with_capacity(chosen.len());
    for &(place, number) in chosen {
        let platform = number.checked_sub(1).and_then(|index| platforms.get(index));
        let missing = C3dError::UnknownPlate { asked: number, plates: platforms.len() };
        let platform = platform.ok_or(missing)?;
        let vertical_force_n =
            (0..samples.count).map(|index| platform.vertical_n(&samples, index)).collect();
        plates.push(Plate { name: format!("plate {number}"), place, vertical_force_n });
    }
    Ok(ForceCapture { time: Sampling::Rate(rate), notes: notes(&plates, &platforms), plates })
}

fn notes(plates: &[Plate], platforms: &[Platform]) -> Vec<Note> {
    let mut notes = Vec::new();
    if plates.len() > 1 && plates.iter().all(|plate| plate.place == PlatePlace::Whole) {
        notes.push(plates_added_up(plates.len()));
    }
    let not_newtons: Vec<&str> = platforms
        .iter()
        .filter(|platform| !platform.is_calibrated() && platform.unit != "N")
        .map(|platform| platform.unit.as_str())
        .collect();
    if let Some(unit) = not_newtons.first() {
        notes.push(Note::new(
            "unit-not-stated",
            format!("The unit of force is given as \"{unit}\"; newtons are assumed."),
        ));
    }
    notes
}

/// What the first block says.
struct Header<'a> {
    bytes: Bytes<'a>,
    parameters_at: usize,
    data_at: usize,
    points: usize,
    channels: usize,
    samples_a_frame: usize,
    frames: usize,
    frame_rate_hz: f64,
    floating: bool,
}

impl<'a> Header<'a> {
    fn read(file: &'a [u8]) -> Result<Self, C3dError> {
        const WHAT: &str = "the header";
        if file.len() < BLOCK || file[1] != MARK || file[0] == 0 {
            return Err(C3dError::NotC3d);
        }
        let parameters_at = (usize::from(file[0]) - 1) * BLOCK;
        // The byte order stands with the parameters.
        let code_at = parameters_at + 3;
        let intel = Bytes { all: file, processor: Processor::Intel };
        let processor = Processor::of(intel.byte("the parameters", code_at)?, code_at)?;
        let bytes = Bytes { all: file, processor };
        let word = |at: usize| bytes.word(WHAT, at).map(usize::from);
        let (first, last) = (word(6)?, word(8)?);
        let samples_a_frame = word(18)?.max(1);
        Ok(Self {
            bytes,
            parameters_at,
            data_at: word(16)?.saturating_sub(1) * BLOCK,
            points: word(2)?,
            channels: word(4)? / samples_a_frame,
            samples_a_frame,
            frames: (last + 1).saturating_sub(first),
            frame_rate_hz: bytes.float(WHAT, 20)?,
            // A negative scale of the points marks floating data, for points and channels alike.
            floating: bytes.float(WHAT, 12)? < 0.0,
        })
    }

    /// Where the data begin, if they stand behind the parameters.
    const fn parameters_end(&self) -> usize {
        if self.data_at > self.parameters_at { self.data_at } else { self.bytes.all.len() }
    }

    fn rate_hz(&self, parameters: &Parameters, given: Option<f64>) -> Result<f64, C3dError> {
        let counted_hz = self.frame_rate_hz * self.samples_a_frame as f64;
        let stated_hz = parameters.numbers("ANALOG:RATE").first().copied().unwrap_or(counted_hz);
        if !(stated_hz.is_finite() && stated_hz > 0.0) {
            return Err(C3dError::ImpossibleRate { hz: stated_hz });
        }
        let usable = |hz: &f64| hz.is_finite() && *hz > 0.0;
        for other_hz in [Some(counted_hz), given].into_iter().flatten().filter(usable) {
            if (stated_hz / other_hz - 1.0).abs() > RATE_TOLERANCE {
                return Err(C3dError::RatesDisagree { stated_hz, counted_hz: other_hz });
            }
        }
        Ok(stated_hz)
    }

    fn samples(&self, parameters: &Parameters) -> Result<Samples<'a>, C3dError> {
        let size = if self.floating { 4 } else { 2 };
        let frame_bytes = (4 * self.points + self.channels * self.samples_a_frame) * size;
        let all = frame_bytes.saturating_mul(self.frames);
        let data = self.bytes.slice("the data", self.data_at, all)?;
        Ok(Samples {
            data,
            processor: self.bytes.processor,
            floating: self.floating,
            size,
            frame_bytes,
            point_bytes: 4 * self.points * size,
            channels: self.channels,
            samples_a_frame: self.samples_a_frame,
            count: self.frames * self.samples_a_frame,
            scales: Scales::of(parameters),
        })
    }
}

/// From a raw value to one in the unit of its channel: (raw - offset) scale general scale.
struct Scales {
    scale: Vec<f64>,
    offset: Vec<f64>,
    general: f64,
    unsigned: bool,
}

impl Scales {
    fn of(parameters: &Parameters) -> Self {
        let general = parameters.numbers("ANALOG:GEN_SCALE").first().copied().unwrap_or(1.0);
        let format = parameters.texts("ANALOG:FORMAT").first();
        let unsigned = format.is_some_and(|format| format.eq_ignore_ascii_case("UNSIGNED"));
        let offset = parameters.numbers("ANALOG:OFFSET").iter();
        let wrapped = |&value: &f64| if unsigned && value < 0.0 { value + 65_536.0 } else { value };
        Self {
            scale: parameters.numbers("ANALOG:SCALE").to_vec(),
            offset: offset.map(wrapped).collect(),
            general,
            unsigned,
        }
    }
}

/// The analog samples of all channels.
struct Samples<'a> {
    data: &'a [u8],
    processor: Processor,
    floating: bool,
    size: usize,
    frame_bytes: usize,
    point_bytes: usize,
    channels: usize,
    samples_a_frame: usize,
    count: usize,
    scales: Scales,
}

impl Samples<'_> {
    /// One sample of one channel; not a number past the end of the data, which is not reached.
    fn value(&self, channel: usize, sample: usize) -> f64 {
        let (frame, within) = (sample / self.samples_a_frame, sample % self.samples_a_frame);
        let at = frame * self.frame_bytes
            + self.point_bytes
            + (within * self.channels + channel) * self.size;
        let raw = if self.floating {
            let bytes = self.data.get(at..).and_then(|rest| rest.first_chunk::<4>());
            bytes.map(|&bytes| self.processor.float(bytes))
        } else {
            let bytes = self.data.get(at..).and_then(|rest| rest.first_chunk::<2>());
            bytes.map(|&bytes| {
                let word = self.processor.word(bytes);
                if self.scales.unsigned { f64::from(word) } else { f64::from(word.cast_signed()) }
            })
        };
        let offset = self.scales.offset.get(channel).copied().unwrap_or(0.0);
        let scale = self.scales.scale.get(channel).copied().unwrap_or(1.0);
        raw.map_or(f64::NAN, |raw| (raw - offset) * scale * self.scales.general)
    }
}
