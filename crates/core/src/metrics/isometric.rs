//! Force, rate of force development and impulse of an isometric effort.

use super::definition::family;
use super::{Asymmetry, Definition, MetricSet, force, timing};
use crate::metrics::asymmetry::Quantity;
use crate::note::Noted;
use crate::signal::{Moment, integral};
use crate::trial::isometric::{Direction, Isometric};

const HAFF: &str = "Haff et al. 2015, J Strength Cond Res 29:386";
const DOS_SANTOS: &str = "Dos'Santos et al. 2017, J Strength Cond Res 31:3463";

family! {
    "Isometric effort";
    BODY_WEIGHT: "body_weight_n", "N", Neither,
        "Mean of the baseline of a vertical effort: body weight, and what tension there is.",
        DOS_SANTOS;
    BASELINE: "baseline_force_n", "N", Neither,
        "Mean of the quietest second before the effort.",
        DOS_SANTOS;
    TIME_TO_PEAK: "time_to_peak_force_s", "s", Neither,
        "Onset to the largest force.",
        HAFF;
    AT_50: "force_n_at.50", "N", Higher, "Force 50 ms after onset, gross.", HAFF;
    AT_100: "force_n_at.100", "N", Higher, "Force 100 ms after onset, gross.", HAFF;
    AT_150: "force_n_at.150", "N", Higher, "Force 150 ms after onset, gross.", HAFF;
    AT_200: "force_n_at.200", "N", Higher, "Force 200 ms after onset, gross.", HAFF;
    AT_250: "force_n_at.250", "N", Higher, "Force 250 ms after onset, gross.", HAFF;
    NET_AT_50: "net_force_n_at.50", "N", Higher, "The same less the baseline.", HAFF;
    NET_AT_100: "net_force_n_at.100", "N", Higher, "The same less the baseline.", HAFF;
    NET_AT_150: "net_force_n_at.150", "N", Higher, "The same less the baseline.", HAFF;
    NET_AT_200: "net_force_n_at.200", "N", Higher, "The same less the baseline.", HAFF;
    NET_AT_250: "net_force_n_at.250", "N", Higher, "The same less the baseline.", HAFF;
    RATE_0_30: "rate_of_force_development_n_s.0_30", "N/s", Higher,
        "Force 30 ms after onset less force at onset, over the time between. The shorter the window, the less steady from day to day.", HAFF;
    RATE_0_50: "rate_of_force_development_n_s.0_50", "N/s", Higher, "The same over 50 ms.", HAFF;
    RATE_0_90: "rate_of_force_development_n_s.0_90", "N/s", Higher, "The same over 90 ms.", HAFF;
    RATE_0_100: "rate_of_force_development_n_s.0_100", "N/s", Higher, "The same over 100 ms (28 % between days).", HAFF;
    RATE_0_150: "rate_of_force_development_n_s.0_150", "N/s", Higher, "The same over 150 ms (23 % between days).", HAFF;
    RATE_0_200: "rate_of_force_development_n_s.0_200", "N/s", Higher, "The same over 200 ms (20 % between days).", HAFF;
    RATE_0_250: "rate_of_force_development_n_s.0_250", "N/s", Higher, "The same over 250 ms (15 % between days).", HAFF;
    RATE_100_200: "rate_of_force_development_n_s.100_200", "N/s", Higher, "Force at 200 ms less force at 100 ms, over the time between.", HAFF;
    PEAK_RATE_2: "peak_rate_of_force_development_n_s.2", "N/s", Higher,
        "Largest rise over any 2 ms in the first half second, over 2 ms. Noise of s newtons adds √2 s / window and more: windows are never compared with each other.", HAFF;
    PEAK_RATE_5: "peak_rate_of_force_development_n_s.5", "N/s", Higher, "The same over any 5 ms.", HAFF;
    PEAK_RATE_10: "peak_rate_of_force_development_n_s.10", "N/s", Higher, "The same over any 10 ms.", HAFF;
    PEAK_RATE_20: "peak_rate_of_force_development_n_s.20", "N/s", Higher, "The same over any 20 ms: the usual window.", HAFF;
    PEAK_RATE_30: "peak_rate_of_force_development_n_s.30", "N/s", Higher, "The same over any 30 ms.", HAFF;
    PEAK_RATE_50: "peak_rate_of_force_development_n_s.50", "N/s", Higher, "The same over any 50 ms.", HAFF;
    IMPULSE_100: "impulse_n_s.0_100", "N s", Higher, "Area under the force over 100 ms from onset, gross.", HAFF;
    IMPULSE_200: "impulse_n_s.0_200", "N s", Higher, "The same over 200 ms.", HAFF;
    IMPULSE_250: "impulse_n_s.0_250", "N s", Higher, "The same over 250 ms.", HAFF;
    NET_IMPULSE_100: "impulse_over_baseline_n_s.0_100", "N s", Higher, "Area between force and baseline over 100 ms from onset.", HAFF;
    NET_IMPULSE_200: "impulse_over_baseline_n_s.0_200", "N s", Higher, "The same over 200 ms.", HAFF;
    NET_IMPULSE_250: "impulse_over_baseline_n_s.0_250", "N s", Higher, "The same over 250 ms.", HAFF;
    STRENGTH_INDEX: "dynamic_strength_index", "", Neither,
        "Peak force of a jump over peak force of an isometric effort, both gross or both net. It describes; training advice from it changed with the variant in more than half of cases.",
        "Comfort et al. 2018, Sports 6:176; methods compared 2025, PLoS ONE 20:e0331519";
}

type ByDelay = [(&'static Definition, f64)];

static FORCES: [(&Definition, &Definition, f64); 5] = [
    (&AT_50, &NET_AT_50, 0.050),
    (&AT_100, &NET_AT_100, 0.100),
    (&AT_150, &NET_AT_150, 0.150),
    (&AT_200, &NET_AT_200, 0.200),
    (&AT_250, &NET_AT_250, 0.250),
];
static RATES: [(&Definition, f64, f64); 8] = [
    (&RATE_0_30, 0.0, 0.030),
    (&RATE_0_50, 0.0, 0.050),
    (&RATE_0_90, 0.0, 0.090),
    (&RATE_0_100, 0.0, 0.100),
    (&RATE_0_150, 0.0, 0.150),
    (&RATE_0_200, 0.0, 0.200),
    (&RATE_0_250, 0.0, 0.250),
    (&RATE_100_200, 0.100, 0.200),
];
static PEAK_RATES: &ByDelay = &[
    (&PEAK_RATE_2, 0.002),
    (&PEAK_RATE_5, 0.005),
    (&PEAK_RATE_10, 0.010),
    (&PEAK_RATE_20, 0.020),
    (&PEAK_RATE_30, 0.030),
    (&PEAK_RATE_50, 0.050),
];
static IMPULSES: [(&Definition, &Definition, f64); 3] = [
    (&IMPULSE_100, &NET_IMPULSE_100, 0.100),
    (&IMPULSE_200, &NET_IMPULSE_200, 0.200),
    (&IMPULSE_250, &NET_IMPULSE_250, 0.250),
];

/// The metrics of an isometric effort.
pub fn of(effort: &Noted<Isometric>) -> MetricSet {
    let mut set = MetricSet { notes: effort.notes.clone(), ..MetricSet::default() };
    let effort = &effort.value;
    let trace = &effort.recording.total;
    let baseline_n = effort.baseline.weight_n;
    set.put_estimate(&BASELINE, (baseline_n, effort.baseline.standard_error_n));
    if effort.rules.direction == Direction::Vertical {
        set.put_estimate(&BODY_WEIGHT, (baseline_n, effort.baseline.standard_error_n));
    }
    set.put(&timing::ONSET, trace.time_s(effort.onset.at));
    if effort.peak_trusted {
        of_peak(&mut set, effort);
    }
    if effort.rise_trusted {
        of_rise(&mut set, effort);
        set.put_if(&TIME_TO_PEAK, Some(trace.between_s(effort.onset.at, Moment::at(effort.peak))));
    }
    of_sides(&mut set, effort);
    set
}

fn of_peak(set: &mut MetricSet, effort: &Isometric) {
    let peak_n = effort.recording.total.values[effort.peak];
    set.put(&force::PEAK, peak_n);
    set.put(&force::PEAK_NET, effort.net_peak_n());
    let gravity = effort.conditions.gravity_m_s2();
    let weighed_kg =
        (effort.rules.direction == Direction::Vertical).then(|| effort.baseline.weight_n / gravity);
    let logged_kg = effort.conditions.body_mass.map(|mass| mass.in_kilograms());
    set.put_if(&force::PEAK_RELATIVE, logged_kg.or(weighed_kg).map(|mass| peak_n / mass));
}

fn of_rise(set: &mut MetricSet, effort: &Isometric) {
    let baseline_n = effort.baseline.weight_n;
    for (gross, net, delay_s) in FORCES {
        let force_n = effort.force_after(delay_s);
        set.put_if(gross, force_n);
        set.put_if(net, force_n.map(|force| force - baseline_n));
    }
    for (definition, from_s, to_s) in RATES {
        let rise = effort.force_after(to_s).zip(effort.force_after(from_s));
        set.put_if(definition, rise.map(|(high, low)| (high - low) / (to_s - from_s)));
    }
    for &(definition, window_s) in PEAK_RATES {
        set.put_if(definition, peak_rate_n_s(effort, window_s));
    }
    let trace = &effort.recording.total;
    for (gross, net, delay_s) in IMPULSES {
        let area =
            trace.later(effort.onset.at, delay_s).map(|to| trace.integral(effort.onset.at, to));
        set.put_if(gross, area);
        set.put_if(net, area.map(|area| area - baseline_n * delay_s));
    }
}

/// Largest rise over any window of a length, from onset to the peak or the end of the rule's time,
/// N/s.
fn peak_rate_n_s(effort: &Isometric, window_s: f64) -> Option<f64> {
    let trace = &effort.recording.total;
    let first = effort.onset.at.before;
    let within = trace.later(effort.onset.at, effort.rules.rate_within_s).unwrap_or(trace.end());
    let last = within.before.min(effort.peak);
    let later = trace.later_than_each(first, window_s);
    (first..=last)
        .zip(later)
        .map(|(from, to)| (to.of(&trace.values) - trace.values[from]) / window_s)
        .max_by(f64::total_cmp)
}

fn of_sides(set: &mut MetricSet, effort: &Isometric) {
    let Some(sides) = &effort.recording.sides else { return };
    let (from, to) = (effort.onset.at, Moment::at(effort.peak));
    let mut compare = |quantity, both: Option<(f64, f64)>| {
        set.asymmetry.extend(both.map(|(left, right)| Asymmetry {
            phase: "effort",
            quantity,
            left,
            right,
        }));
    };
    let trace = &effort.recording.total;
    let duration_s = trace.between_s(from, to);
    let mean = |values| integral::under(&trace.sampling, values, from, to) / duration_s;
    let means = (mean(&sides.left_n), mean(&sides.right_n));
    compare(Quantity::MeanForce, (duration_s > 0.0).then_some(means));
    let at_peak = (sides.left_n[effort.peak], sides.right_n[effort.peak]);
    compare(Quantity::PeakForce, Some(at_peak));
}

/// What the dynamic strength index is usually taken to ask for. Boundaries belong to the middle
/// (common practice, usually attributed to Sheppard et al. 2011); it describes and does not
/// prescribe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StrengthEmphasis {
    /// Under 0.60: force is there, fast force is not.
    Ballistic,
    /// From 0.60 to 0.80.
    Mixed,
    /// Over 0.80: most of the force there is comes out fast.
    MaximalStrength,
}

/// Peak force of a jump over peak force of an isometric effort, both gross or both net. `None`
/// when either is not positive.
pub fn dynamic_strength_index(jump_peak_n: f64, isometric_peak_n: f64) -> Option<f64> {
    (jump_peak_n > 0.0 && isometric_peak_n > 0.0).then(|| jump_peak_n / isometric_peak_n)
}

/// The band of an index.
pub fn strength_emphasis(index: f64) -> StrengthEmphasis {
    if index < 0.60 {
        StrengthEmphasis::Ballistic
    } else if index <= 0.80 {
        StrengthEmphasis::Mixed
    } else {
        StrengthEmphasis::MaximalStrength
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn borders_of_the_strength_index_belong_to_the_middle() {
        let emphasis = |jump, pull| dynamic_strength_index(jump, pull).map(strength_emphasis);
        assert_eq!(emphasis(1500.0, 2500.0), Some(StrengthEmphasis::Mixed));
        assert_eq!(emphasis(2000.0, 2500.0), Some(StrengthEmphasis::Mixed));
        assert_eq!(emphasis(2100.0, 2500.0), Some(StrengthEmphasis::MaximalStrength));
        assert_eq!(emphasis(1400.0, 2500.0), Some(StrengthEmphasis::Ballistic));
        assert_eq!(emphasis(1400.0, 0.0), None);
    }
}
