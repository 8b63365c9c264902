//! One trial of 5 s at 1000 Hz, from capture to metrics.

use cornerwork_core::capture::{ForceCapture, Sampling};
use cornerwork_core::metrics::trials;
use cornerwork_core::trial::Conditions;
use cornerwork_core::trial::countermovement_jump::{Rules, read};
use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use cornerwork_testkit::synthetic::noisy;
use divan::Bencher;
use divan::counter::BytesCount;

fn main() {
    divan::main();
}

fn capture() -> ForceCapture {
    let mut force_n = noisy(&SmoothJump::default().force_n(1000.0), 2.0, 1);
    force_n.truncate(5000);
    ForceCapture::single(Sampling::Rate(1000.0), force_n)
}

#[divan::bench]
fn events(bencher: Bencher) {
    let capture = capture();
    bencher
        .counter(BytesCount::of_slice(&capture.plates[0].vertical_force_n))
        .bench(|| read(&capture, &Conditions::default(), &Rules::default()));
}

#[divan::bench]
fn events_and_metrics(bencher: Bencher) {
    let capture = capture();
    bencher.counter(BytesCount::of_slice(&capture.plates[0].vertical_force_n)).bench(|| {
        read(&capture, &Conditions::default(), &Rules::default())
            .map(|jump| trials::countermovement_jump(&jump))
    });
}
