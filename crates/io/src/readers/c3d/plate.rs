//! Force platforms: from channels to the vertical force.

use super::Samples;
use super::error::C3dError;
use super::parameters::Parameters;

/// One platform.
pub(super) struct Platform {
    /// Channels from zero that add up to force along each axis of the plate.
    axes: [Vec<usize>; 3],
    /// For type 4: all channels, and the three rows of the calibration that give force.
    calibration: Option<(Vec<usize>, [Vec<f64>; 3])>,
    /// How much of a force along each axis of the plate points up in the laboratory.
    upward: [f64; 3],
    /// Unit of the vertical channel.
    pub(super) unit: String,
}

impl Platform {
    /// All platforms of the file.
    pub(super) fn all(parameters: &Parameters, channels: usize) -> Result<Vec<Self>, C3dError> {
        let used = parameters.numbers("FORCE_PLATFORM:USED").first().copied().unwrap_or(0.0);
        if used < 1.0 || channels == 0 {
            return Err(C3dError::NoPlates);
        }
        (0..used as usize).map(|index| Self::read(parameters, index, channels)).collect()
    }

    fn read(parameters: &Parameters, index: usize, channels: usize) -> Result<Self, C3dError> {
        let kinds = parameters.numbers("FORCE_PLATFORM:TYPE");
        let kind = *kinds.get(index).ok_or(C3dError::MissingParameter("FORCE_PLATFORM:TYPE"))?;
        let kind = kind as i32;
        let needed = if kind == 3 { 8 } else { 6 };
        if !(1..=4).contains(&kind) {
            return Err(C3dError::UnknownType { plate: index + 1, kind });
        }
        let rows = parameters.rows("FORCE_PLATFORM:CHANNEL");
        let numbers = parameters.numbers("FORCE_PLATFORM:CHANNEL");
        let missing = C3dError::MissingParameter("FORCE_PLATFORM:CHANNEL");
        let numbers = numbers.get(index * rows..index * rows + needed.min(rows));
        let numbers = numbers.filter(|numbers| numbers.len() == needed).ok_or(missing)?;
        let used = numbers
            .iter()
            .map(|&number| {
                let channel = number as i32;
                let index_of = usize::try_from(channel).ok().and_then(|c| c.checked_sub(1));
                index_of.filter(|&c| c < channels).ok_or(C3dError::NoChannel {
                    plate: index + 1,
                    channel,
                    channels,
                })
            })
            .collect::<Result<Vec<usize>, C3dError>>()?;
        let axes = match kind {
            // x of two sides, y of two sides, z of four corners
            3 => [used[0..2].to_vec(), used[2..4].to_vec(), used[4..8].to_vec()],
            _ => [vec![used[0]], vec![used[1]], vec![used[2]]],
        };
        let unit = parameters.texts("ANALOG:UNITS").get(axes[2][0]).cloned().unwrap_or_default();
        let calibration =
            if kind == 4 { Some(calibration(parameters, index, used)?) } else { None };
        Ok(Self { axes, calibration, upward: upward(parameters, index), unit })
    }

    /// Whether a matrix brings the channels to newtons.
    pub(super) const fn is_calibrated(&self) -> bool {
        self.calibration.is_some()
    }

    /// Force up along the vertical of the laboratory.
    pub(super) fn vertical_n(&self, samples: &Samples<'_>, sample: usize) -> f64 {
        let force = |axis: usize| match &self.calibration {
            None => self.axes[axis].iter().map(|&channel| samples.value(channel, sample)).sum(),
            Some((channels, rows)) => channels
                .iter()
                .zip(&rows[axis])
                .map(|(&channel, factor)| factor * samples.value(channel, sample))
                .sum::<f64>(),
        };
        (0..3)
            .filter(|&axis| self.upward[axis] != 0.0)
            .map(|axis| self.upward[axis] * force(axis))
            .sum()
    }
}

/// The first three rows of the six by six matrix, stored column by column.
fn calibration(
    parameters: &Parameters,
    index: usize,
    channels: Vec<usize>,
) -> Result<(Vec<usize>, [Vec<f64>; 3]), C3dError> {
    const SIZE: usize = 6;
    const NAME: &str = "FORCE_PLATFORM:CAL_MATRIX";
    let all = parameters.numbers(NAME);
    let start = index * SIZE * SIZE;
    let matrix = all.get(start..start + SIZE * SIZE).ok_or(C3dError::MissingParameter(NAME))?;
    let row = |row: usize| (0..SIZE).map(|column| matrix[column * SIZE + row]).collect();
    Ok((channels, [row(0), row(1), row(2)]))
}

/// The plate's axes along the axis of the laboratory that is most nearly square to the plate: the
/// third as a rule, the second where laboratories count so, a horizontal one for a plate on a
/// wall. The corners stand in the four quadrants of the plate, (+,+), (-,+), (-,-), (+,-); without
/// corners the plate's own third axis is taken.
fn upward(parameters: &Parameters, index: usize) -> [f64; 3] {
    let corners = parameters.numbers("FORCE_PLATFORM:CORNERS");
    let corner = |number: usize| -> Option<[f64; 3]> {
        let at = 12 * index + 3 * number;
        corners.get(at..at + 3)?.try_into().ok()
    };
    let axes = || {
        let (first, second, fourth) = (corner(0)?, corner(1)?, corner(3)?);
        let x = unit(minus(first, second))?;
        let z = unit(cross(x, minus(first, fourth)))?;
        let y = cross(z, x);
        let across = |&a: &usize, &b: &usize| z[a].abs().total_cmp(&z[b].abs());
        let vertical = (0..3).max_by(across)?;
        Some([x[vertical], y[vertical], z[vertical]])
    };
    axes().unwrap_or([0.0, 0.0, 1.0])
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: [f64; 3]) -> Option<[f64; 3]> {
    let length = (a[0] * a[0] + a[1] * a[1] + a[2] * a[2]).sqrt();
    (length > 0.0 && length.is_finite()).then(|| a.map(|component| component / length))
}
