//! Trials of every kind drawn at random, each with noise and with what is true of it.
//!
//! Ranges are wider than athletes, so that errors are seen where they are large. A seed gives the
//! same trial for ever: committed numbers lean on that.

use super::bar_stroke::Stroke;
use super::countermovement::RandomJump;
use super::drop::DropJump;
use super::squat::SquatJump;
use super::{GRAVITY, hops, isometric, noisy};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A trial, and what is true of it.
#[derive(Clone, Debug, PartialEq)]
pub struct RandomTrial {
    /// Force in newtons, or position of a bar in metres.
    pub samples: Vec<f64>,
    /// Samples a second.
    pub rate_hz: f64,
    /// Standard deviation of the noise, in the unit of the samples.
    pub noise: f64,
    /// True values by the id of the metric.
    pub truth: Vec<(&'static str, f64)>,
}

/// Rate of the plates, Hz.
const PLATE_HZ: f64 = 1000.0;

/// Kinds of trial, by the names the command line has for them.
pub const KINDS: [&str; 6] =
    ["countermovement-jump", "squat-jump", "drop-jump", "repeated-jump", "isometric", "bar"];

/// The trial of a kind and a seed; `None` for a kind there is not.
pub fn trial(kind: &str, seed: u64) -> Option<RandomTrial> {
    // A stream for each kind, so that none moves when another draws more.
    let stream = KINDS.iter().position(|name| *name == kind)? as u64;
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    random.set_stream(stream);
    Some(match kind {
        "countermovement-jump" => countermovement_jump(seed),
        "squat-jump" => squat_jump(&mut random, seed),
        "drop-jump" => drop_jump(&mut random, seed),
        "repeated-jump" => repeated_jump(&mut random, seed),
        "isometric" => isometric_effort(&mut random, seed),
        _ => bar(&mut random, seed),
    })
}

fn plate(force_n: &[f64], noise: f64, seed: u64, truth: Vec<(&'static str, f64)>) -> RandomTrial {
    RandomTrial { samples: noisy(force_n, noise, seed), rate_hz: PLATE_HZ, noise, truth }
}

fn countermovement_jump(seed: u64) -> RandomTrial {
    let random = RandomJump::of(seed);
    let truth = random.jump.truth();
    RandomTrial {
        samples: random.force_n(PLATE_HZ),
        rate_hz: PLATE_HZ,
        noise: random.noise_n,
        truth: vec![
            ("body_mass_kg", random.jump.mass_kg),
            ("take_off_s", truth.take_off_s),
            ("take_off_velocity_m_s", truth.take_off_velocity_m_s),
            ("height_from_impulse_m", truth.height_m),
            ("height_from_flight_time_m", truth.height_m),
            ("countermovement_depth_m", -truth.bottom.1),
            ("peak_force_n", truth.peak_force_n),
        ],
    }
}

fn squat_jump(random: &mut ChaCha8Rng, seed: u64) -> RandomTrial {
    loop {
        let jump = SquatJump {
            mass_kg: random.random_range(45.0..120.0),
            drive: (random.random_range(1.0..2.0), random.random_range(0.20..0.40)),
            dip: (0.0, 0.0),
        };
        let velocity = jump.take_off_velocity_m_s();
        if !(1.6..3.4).contains(&velocity) {
            continue;
        }
        let noise_n = random.random_range(0.5..4.0);
        let height_m = velocity * velocity / (2.0 * GRAVITY);
        let truth = vec![
            ("body_mass_kg", jump.mass_kg),
            ("take_off_velocity_m_s", velocity),
            ("height_from_impulse_m", height_m),
            ("height_from_flight_time_m", height_m),
            ("peak_force_n", jump.mass_kg * GRAVITY * (1.0 + jump.drive.0)),
        ];
        return plate(&jump.force_n(PLATE_HZ), noise_n, seed, truth);
    }
}

fn drop_jump(random: &mut ChaCha8Rng, seed: u64) -> RandomTrial {
    let jump = DropJump {
        mass_kg: random.random_range(45.0..120.0),
        drop_m: random.random_range(0.15..0.60),
        height_m: random.random_range(0.12..0.55),
        contact_s: random.random_range(0.14..0.40),
    };
    let noise_n = random.random_range(0.5..4.0);
    let truth = vec![
        ("body_mass_kg", jump.mass_kg),
        ("contact_time_s", jump.contact_s),
        ("flight_time_s", jump.flight_s()),
        ("drop_height_m", jump.drop_m),
        ("height_from_impulse_m", jump.height_m),
        ("height_from_flight_time_m", jump.height_m),
        ("reactive_strength_index", jump.height_m / jump.contact_s),
        ("peak_force_n", jump.contact_peak_n()),
    ];
    plate(&jump.force_n(PLATE_HZ, random.random_range(0.3..0.8)), noise_n, seed, truth)
}

fn repeated_jump(random: &mut ChaCha8Rng, seed: u64) -> RandomTrial {
    let mass_kg = random.random_range(45.0..120.0);
    let (contact_s, flight_s) = (random.random_range(0.15..0.30), random.random_range(0.30..0.55));
    let series: Vec<(f64, f64)> = (0..11)
        .map(|_| {
            (contact_s * random.random_range(0.9..1.1), flight_s * random.random_range(0.9..1.1))
        })
        .collect();
    let noise_n = random.random_range(0.5..4.0);
    let index =
        |&(contact_s, flight_s): &(f64, f64)| GRAVITY * flight_s * flight_s / 8.0 / contact_s;
    // The first contact has no flight before it.
    let mut best = series[1..].to_vec();
    best.sort_by(|a, b| index(b).total_cmp(&index(a)));
    let mean = |hops: &[(f64, f64)], of: &dyn Fn(&(f64, f64)) -> f64| {
        hops.iter().map(of).sum::<f64>() / hops.len() as f64
    };
    let truth = vec![
        ("reactive_strength_index_all_hops", mean(&best, &index)),
        ("reactive_strength_index", mean(&best[..5], &index)),
        ("contact_time_s", mean(&best[..5], &|hop| hop.0)),
        ("flight_time_s", mean(&best[..5], &|hop| hop.1)),
    ];
    plate(&hops::half_sines(mass_kg, &series, PLATE_HZ), noise_n, seed, truth)
}

fn isometric_effort(random: &mut ChaCha8Rng, seed: u64) -> RandomTrial {
    let baseline_n = random.random_range(450.0..1200.0);
    let rise_n = random.random_range(800.0..3000.0);
    let constant_s = random.random_range(0.05..0.25);
    let noise_n = random.random_range(0.5..4.0);
    let over = |time_s: f64| rise_n * (1.0 - (-time_s / constant_s).exp());
    let area = |time_s: f64| rise_n * time_s - constant_s * over(time_s);
    let truth = vec![
        ("onset_s", 2.0),
        ("baseline_force_n", baseline_n),
        ("peak_force_n", baseline_n + over(2.0)),
        ("force_n_at.100", baseline_n + over(0.1)),
        ("force_n_at.200", baseline_n + over(0.2)),
        ("rate_of_force_development_n_s.0_100", over(0.1) / 0.1),
        ("rate_of_force_development_n_s.0_200", over(0.2) / 0.2),
        ("impulse_over_baseline_n_s.0_200", area(0.2)),
    ];
    let shape = isometric::exponential(baseline_n, rise_n, constant_s);
    plate(&shape.sample(PLATE_HZ), noise_n, seed, truth)
}

/// Velocity at which a repetition begins and ends by rule, m/s.
const EDGE_M_S: f64 = 0.02;

fn bar(random: &mut ChaCha8Rng, seed: u64) -> RandomTrial {
    let stroke = Stroke {
        range_m: random.random_range(0.25..0.70),
        duration_s: random.random_range(0.40..1.6),
    };
    let rate_hz = [100.0, 200.0, 500.0, 1000.0][random.random_range(0..4)];
    let noise = random.random_range(0.000_05..0.000_5);
    let edge = stroke.edge(EDGE_M_S);
    let end = stroke.propulsion_end(GRAVITY).unwrap_or(1.0 - edge);
    let truth = vec![
        ("mean_velocity_m_s", stroke.mean_velocity_m_s(edge, 1.0 - edge)),
        ("mean_propulsive_velocity_m_s", stroke.mean_velocity_m_s(edge, end)),
        ("peak_velocity_m_s", stroke.peak_velocity_m_s()),
        ("range_m", stroke.position_m(1.0 - edge) - stroke.position_m(edge)),
    ];
    let samples = noisy(&stroke.set(1).sample(rate_hz), noise, seed);
    RandomTrial { samples, rate_hz, noise, truth }
}
