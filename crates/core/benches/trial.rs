//! Trials of some seconds at 1000 Hz, from capture to numbers, one kind each; what is counted are
//! the bytes of the samples, force or position, as doubles.
//!
//! `cargo bench -p cornerwork-core --bench trial`

use cornerwork_core::capture::{BarCapture, ForceCapture, Sampling};
use cornerwork_core::metrics::trials;
use cornerwork_core::trial::{
    Conditions, bar_reps, countermovement_jump, drop_jump, isometric, repeated_jumps, squat_jump,
};
use cornerwork_core::units::Mass;
use cornerwork_testkit::synthetic::bar_stroke::Stroke;
use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use cornerwork_testkit::synthetic::drop::DropJump;
use cornerwork_testkit::synthetic::squat::SquatJump;
use cornerwork_testkit::synthetic::{hops, isometric as efforts, noisy};
use divan::Bencher;
use divan::counter::BytesCount;

const RATE_HZ: f64 = 1000.0;
const NOISE_N: f64 = 2.0;

fn main() {
    divan::main();
}

fn single(force_n: &[f64]) -> ForceCapture {
    ForceCapture::single(Sampling::Rate(RATE_HZ), noisy(force_n, NOISE_N, 1))
}

/// Five seconds of a countermovement jump.
fn jump() -> ForceCapture {
    let mut capture = single(&SmoothJump::default().force_n(RATE_HZ));
    capture.plates[0].vertical_force_n.truncate(5000);
    capture
}

fn bench<T, E>(
    bencher: Bencher,
    capture: &ForceCapture,
    of: impl Fn(&ForceCapture) -> Result<T, E> + Sync,
) {
    let samples: usize = capture.plates.iter().map(|plate| plate.vertical_force_n.len()).sum();
    assert!(of(capture).is_ok(), "a trial that cannot be read would be timed up to its error");
    bencher.counter(BytesCount::new(samples * size_of::<f64>())).bench(|| of(capture).is_ok());
}

#[divan::bench]
fn countermovement_jump_events_only(bencher: Bencher) {
    let rules = countermovement_jump::Rules::default();
    bench(bencher, &jump(), |capture| {
        countermovement_jump::read(capture, &Conditions::default(), &rules)
    });
}

#[divan::bench]
fn countermovement_jump(bencher: Bencher) {
    bench_countermovement_jump(bencher, &jump());
}

/// As recorded with a time for every sample.
#[divan::bench]
fn countermovement_jump_with_times(bencher: Bencher) {
    let times_s = (0..5000).map(|i| f64::from(i) / RATE_HZ).collect();
    bench_countermovement_jump(
        bencher,
        &ForceCapture { time: Sampling::stamps(times_s), ..jump() },
    );
}

#[divan::bench]
fn countermovement_jump_on_two_plates(bencher: Bencher) {
    let (left, right) = SmoothJump::default().sides_n(RATE_HZ, 0.5, 0.5);
    let (left, right) = (noisy(&left, NOISE_N, 1), noisy(&right, NOISE_N, 2));
    let capture = ForceCapture::sides(Sampling::Rate(RATE_HZ), left, right);
    bench_countermovement_jump(bencher, &capture);
}

fn bench_countermovement_jump(bencher: Bencher, capture: &ForceCapture) {
    let rules = countermovement_jump::Rules::default();
    bench(bencher, capture, |capture| {
        countermovement_jump::read(capture, &Conditions::default(), &rules)
            .map(|jump| trials::countermovement_jump(&jump))
    });
}

#[divan::bench]
fn squat_jump(bencher: Bencher) {
    let rules = squat_jump::Rules::default();
    bench(bencher, &single(&SquatJump::default().force_n(RATE_HZ)), |capture| {
        squat_jump::read(capture, &Conditions::default(), &rules)
            .map(|jump| trials::squat_jump(&jump))
    });
}

#[divan::bench]
fn drop_jump(bencher: Bencher) {
    let rules = drop_jump::Rules::default();
    bench(bencher, &single(&DropJump::default().force_n(RATE_HZ, 1.0)), |capture| {
        drop_jump::read(capture, &Conditions::default(), &rules)
            .map(|jump| trials::drop_jump(&jump))
    });
}

#[divan::bench]
fn repeated_jumps(bencher: Bencher) {
    let rules = repeated_jumps::Rules::default();
    let force_n = hops::half_sines(80.0, &[(0.18, 0.45); 7], RATE_HZ);
    bench(bencher, &single(&force_n), |capture| {
        repeated_jumps::read(capture, &Conditions::default(), &rules)
            .map(|series| trials::repeated_jumps(&series))
    });
}

#[divan::bench]
fn isometric(bencher: Bencher) {
    let rules = isometric::Rules::default();
    let force_n = efforts::half_cosine(800.0, 1500.0, 0.3).sample(RATE_HZ);
    bench(bencher, &single(&force_n), |capture| {
        isometric::read(capture, &Conditions::default(), &rules)
            .map(|effort| trials::isometric(&effort))
    });
}

#[divan::bench]
fn bar_repetitions(bencher: Bencher) {
    let rules = bar_reps::Rules::default();
    let position_m = Stroke { range_m: 0.5, duration_s: 0.6 }.set(3).sample(RATE_HZ);
    let bytes = BytesCount::of_slice(&position_m);
    let capture = BarCapture { time: Sampling::Rate(RATE_HZ), position_m, notes: Vec::new() };
    let conditions = Conditions { load: Mass::kilograms(100.0), ..Conditions::default() };
    let of = || bar_reps::read(&capture, &conditions, &rules).map(|reps| trials::bar_reps(&reps));
    assert!(of().is_ok(), "a set that cannot be read would be timed up to its error");
    bencher.counter(bytes).bench(|| of().is_ok());
}
