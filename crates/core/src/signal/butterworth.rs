//! Low-pass filter without delay: a second-order Butterworth run forward and backward.

use std::f64::consts::{PI, SQRT_2};

/// Coefficients of one pass, `a0 = 1`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LowPass {
    /// Weights of the newest three inputs.
    pub b: [f64; 3],
    /// Weights of the last two outputs.
    pub a: [f64; 2],
}

impl LowPass {
    /// A pass whose gain at `corner_hz` is -3 dB. `None` unless 0 < corner < rate / 2.
    ///
    /// Bilinear transform with pre-warped corner (Oppenheim & Schafer, Discrete-Time Signal
    /// Processing, 3rd ed., 2010, section 7.2).
    pub fn new(corner_hz: f64, rate_hz: f64) -> Option<Self> {
        Self::of_warped((corner_in_range(corner_hz, rate_hz)?).tan())
    }

    /// A pass designed so that **two** passes together have -3 dB at `corner_hz`.
    ///
    /// The correction divides the warped corner by (√2 - 1)^¼ = 0.802 (Winter, Biomechanics and
    /// Motor Control of Human Movement, 4th ed., 2009, section 2.5.4.4, which applies it to the
    /// corner itself; on the warped axis it is exact at every rate).
    pub fn corrected_for_two_passes(corner_hz: f64, rate_hz: f64) -> Option<Self> {
        let warped = corner_in_range(corner_hz, rate_hz)?.tan();
        Self::of_warped(warped / (SQRT_2 - 1.0).powf(0.25))
    }

    fn of_warped(k: f64) -> Option<Self> {
        let d = 1.0 + SQRT_2 * k + k * k;
        let b0 = k * k / d;
        let a = [2.0 * (k * k - 1.0) / d, (1.0 - SQRT_2 * k + k * k) / d];
        (b0.is_finite() && b0 > 0.0).then_some(Self { b: [b0, 2.0 * b0, b0], a })
    }

    /// Gain of one pass at a frequency: |H(e^{iω})|.
    pub fn gain(&self, frequency_hz: f64, rate_hz: f64) -> f64 {
        let omega = 2.0 * PI * frequency_hz / rate_hz;
        let magnitude = |c: [f64; 3]| {
            let real = c[0] + c[1] * omega.cos() + c[2] * (2.0 * omega).cos();
            let imaginary = c[1] * omega.sin() + c[2] * (2.0 * omega).sin();
            real.hypot(imaginary)
        };
        magnitude(self.b) / magnitude([1.0, self.a[0], self.a[1]])
    }

    /// The signal filtered forward and backward, without delay. The ends are continued by odd
    /// reflection over `padding` samples, and each pass starts in the steady state of its first
    /// value, so a constant stays that constant.
    ///
    /// `padding` is cut to one less than the signal's length.
    pub fn forward_backward(&self, values: &[f64], padding: usize) -> Vec<f64> {
        let Some(last) = values.len().checked_sub(1) else { return Vec::new() };
        let padding = padding.min(last);
        let before = (1..=padding).rev().map(|i| 2.0 * values[0] - values[i]);
        let beyond = (1..=padding).map(|i| 2.0 * values[last] - values[last - i]);
        let mut padded: Vec<f64> = before.chain(values.iter().copied()).chain(beyond).collect();
        self.run(padded.iter_mut());
        self.run(padded.iter_mut().rev());
        padded[padding..padding + values.len()].to_vec()
    }

    /// One pass in place, in direct form I, over what the values differ from the first. What the
    /// output before it gives is taken off last, so that a sample waits for one product and one
    /// difference of the sample before.
    fn run<'a>(&self, values: impl Iterator<Item = &'a mut f64>) {
        let ([b0, b1, b2], [a1, a2]) = (self.b, self.a);
        let mut values = values.peekable();
        let start = values.peek().map_or(0.0, |value| **value);
        let (mut last_input, mut last_output, mut carried) = (0.0, 0.0, 0.0);
        for value in values {
            let input = *value - start;
            let output = (b0 * input + carried) - a1 * last_output;
            carried = (b1 * input + b2 * last_input) - a2 * last_output;
            (last_input, last_output) = (input, output);
            *value = start + output;
        }
    }
}

/// π · corner / rate when the corner can be designed for.
fn corner_in_range(corner_hz: f64, rate_hz: f64) -> Option<f64> {
    (corner_hz > 0.0 && corner_hz < rate_hz / 2.0).then(|| PI * corner_hz / rate_hz)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64) {
        // Expected values are printed to eight decimals.
        assert!((found - expected).abs() < 5.1e-9, "{found} is not {expected}");
    }

    #[test]
    fn coefficients_are_those_of_scipy() {
        // scipy.signal.butter(2, 50, fs=1000).
        let plain = LowPass::new(50.0, 1000.0).unwrap();
        close(plain.b[0], 0.020_083_37);
        close(plain.b[1], 0.040_166_73);
        close(plain.a[0], -1.561_018_08);
        close(plain.a[1], 0.641_351_54);
        // scipy.signal.butter(2, 50/(sqrt(2)-1)**.25, fs=1000): the corner itself divided.
        let divided = LowPass::new(50.0 / (SQRT_2 - 1.0).powf(0.25), 1000.0).unwrap();
        close(divided.b[0], 0.029_806_27);
        close(divided.a[0], -1.455_726_22);
        close(divided.a[1], 0.574_951_3);
        // The warped corner divided, 10 Hz at 200 Hz.
        let corrected = LowPass::corrected_for_two_passes(10.0, 200.0).unwrap();
        close(corrected.b[0], 0.029_569_07);
        close(corrected.a[0], -1.458_103_86);
        close(corrected.a[1], 0.576_380_16);
    }

    #[test]
    fn two_corrected_passes_have_half_power_at_the_corner() {
        let pass = LowPass::corrected_for_two_passes(10.0, 200.0).unwrap();
        // Two-pass gain at 1, 2, 5, 20 Hz, numpy, printed to five decimals.
        for (hz, gain) in [(1.0, 0.999_96), (2.0, 0.999_36), (5.0, 0.975_37), (20.0, 0.119_96)] {
            assert!((pass.gain(hz, 200.0).powi(2) - gain).abs() < 5.1e-6, "{hz} Hz");
        }
        assert!((pass.gain(10.0, 200.0).powi(2) - 0.5_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn constants_and_lines_pass_unchanged_and_nothing_is_delayed() {
        let pass = LowPass::corrected_for_two_passes(10.0, 200.0).unwrap();
        let line: Vec<f64> = (0..400).map(|i| 2.0 + 0.5 * f64::from(i)).collect();
        let filtered = pass.forward_backward(&line, 100);
        assert_eq!(filtered.len(), 400);
        // Odd reflection continues a line as itself; what is left is the start-up of each pass,
        // which has died away (pole radius 0.76) over the hundred samples of padding.
        for (found, expected) in filtered.iter().zip(&line) {
            assert!((found - expected).abs() < 1e-6);
        }
        assert_eq!(pass.forward_backward(&[5.0], 10), vec![5.0]);
        assert_eq!(pass.forward_backward(&[0.1; 50], 10), vec![0.1; 50]);
        assert_eq!(pass.forward_backward(&[], 10), Vec::<f64>::new());
    }

    #[test]
    fn a_sine_is_made_smaller_by_the_gain_of_two_passes_and_not_delayed() {
        let (rate_hz, frequency_hz) = (1000.0, 4.0);
        let pass = LowPass::corrected_for_two_passes(10.0, rate_hz).unwrap();
        let sine: Vec<f64> =
            (0..8000).map(|i| (2.0 * PI * frequency_hz * f64::from(i) / rate_hz).sin()).collect();
        let gain = pass.gain(frequency_hz, rate_hz).powi(2);
        let filtered = pass.forward_backward(&sine, 500);
        // The start-up of a pass dies away by e^(-0.055) a sample: e^(-110) over the 2000 left out
        // at both ends. What is left is rounding: five a sample, of numbers of 2 at most, so 1.2e-15,
        // of which a pass adds up 1/(1 + a1 + a2) samples' worth, 172: 4e-13 for two passes.
        for (found, expected) in filtered.iter().zip(&sine).skip(2000).take(4000) {
            assert!((found - gain * expected).abs() < 1e-12);
        }
    }

    #[test]
    fn a_corner_that_cannot_be_is_refused() {
        assert_eq!(LowPass::new(0.0, 1000.0), None);
        assert_eq!(LowPass::new(500.0, 1000.0), None);
        assert_eq!(LowPass::new(f64::NAN, 1000.0), None);
    }
}
