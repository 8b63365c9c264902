//! Figures of the gym's profiles: from numbers with doubt to the models that are drawn.

use crate::flow::floor::UpView;
use crate::flow::profiles::Momentum;
use cornerwork_core::estimate::{Estimate, Interval};
use cornerwork_core::exercise::MeasureKind;
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::profile::force_velocity::ForceVelocityProfile;
use cornerwork_core::profile::load_momentum::LoadMomentumProfile;
use cornerwork_core::profile::load_velocity::LoadVelocityProfile;
use cornerwork_core::report::figure::{
    Axis, CurvePoint, Decimals, FlatTop, Hill, LoadedBar, Point, Post, PostKind, Slope, Target,
};
use cornerwork_core::units::{Mass, Quantity, Velocity};

/// Share of the peak the flat top may cost.
pub const FLAT_TOP_LOSS: f64 = 0.01;
/// Points of a drawn curve: enough for a smooth line at the width of a laptop.
const CURVE_POINTS: usize = 61;
/// A hill spans at least this much (ours: some typical errors of one jump), so that a single point
/// is not set between numbers a thousandth apart.
const LEAST_SPAN_KG_M_S: f64 = 10.0;

/// The momentum curve with its doubt, the band of loads, today's load and the next to test.
pub fn hill(momentum: &Momentum, today: Option<Mass>, next: Option<Mass>) -> Hill {
    Hill { posts: posts(today, next), ..momentum.hill().clone() }
}

/// The same from the profile alone.
pub fn hill_of(profile: &LoadMomentumProfile, today: Option<Mass>, next: Option<Mass>) -> Hill {
    let peak = profile.peak();
    let band = LoadToUse::of(profile, FLAT_TOP_LOSS).band();
    let tested = profile.tested_range();
    let shown = [peak.load.value, tested.high, next.unwrap_or(Mass::ZERO)]
        .into_iter()
        .chain(band.map(|band| band.to))
        .fold(Mass::ZERO, Mass::max);
    let heaviest = (shown * 1.15 + Mass::kilograms(5.0)).min(profile.search_limit());
    let description = match band {
        Some(band) => format!(
            "Momentum peaks near {:.0} kg, between {:.0} and {:.0} kg with {} probability. Loads \
             from {:.0} to {:.0} kg cost under 1 % of it.",
            peak.load.value.si(),
            peak.load.interval.low.si(),
            peak.load.interval.high.si(),
            peak.load.level,
            band.from.si(),
            band.to.si(),
        ),
        None => "Where momentum peaks is not known yet.".to_owned(),
    };
    Hill {
        title: "Momentum at take-off".to_owned(),
        description,
        across: Axis::load(),
        up: Axis::new("momentum", "kg m/s", Decimals::Exactly(0)).spanning(LEAST_SPAN_KG_M_S),
        points: profile
            .points()
            .iter()
            .map(|point| Point::new(point.load.si(), point.momentum.si()))
            .collect(),
        curve: profile
            .curve(heaviest, CURVE_POINTS)
            .iter()
            .map(|at| CurvePoint::new(at.load.si(), at.momentum.si(), at.low.si(), at.high.si()))
            .collect(),
        level: peak.load.level,
        // Whole kilograms: nobody loads a tenth of one, and the band is not known to one.
        peak: Some(peak.load.value.si().round()),
        flat_top: band.map(|band| FlatTop {
            loads: Interval::between(band.from.si().round(), band.to.si().round()),
            loss_fraction: band.loss_fraction,
        }),
        posts: posts(today, next),
        behind: None,
    }
}

fn posts(today: Option<Mass>, next: Option<Mass>) -> Vec<Post> {
    let post = |at: Mass, name: &str, kind| Post { at: at.si(), name: name.to_owned(), kind };
    today
        .filter(|today| *today > Mass::ZERO)
        .map(|today| post(today, "today", PostKind::Today))
        .into_iter()
        .chain(next.map(|next| post(next, "next", PostKind::Next)))
        .collect()
}

/// The load-velocity line with the target and the load it gives.
pub fn slope(profile: &LoadVelocityProfile, kind: MeasureKind, target: Option<Velocity>) -> Slope {
    let loads = profile.tested_loads();
    let load_at = target.and_then(|target| profile.load_at(target).ok());
    let from = loads.low.si().min(load_at.map_or(f64::INFINITY, |load| load.value.si()));
    let to = loads.high.si().max(load_at.map_or(0.0, |load| load.value.si()));
    let margin = (to - from) * 0.1 + 1.0;
    let at = |step: u32| {
        let load = (from - margin).max(0.0)
            + (to - from + 2.0 * margin) * f64::from(step) / f64::from(LINE_STEPS);
        let line = profile.average_at(Mass::kilograms(load));
        CurvePoint::new(load, line.value.si(), line.interval.low.si(), line.interval.high.si())
    };
    let description = match (target, load_at) {
        (Some(target), Some(load)) => format!(
            "{:.2} m/s is reached with {:.1} kg, between {:.1} and {:.1} kg with {} probability.",
            target.si(),
            load.value.si(),
            load.interval.low.si(),
            load.interval.high.si(),
            load.level,
        ),
        _ => "Velocity falls as the load grows.".to_owned(),
    };
    Slope {
        title: "Velocity against load".to_owned(),
        description,
        across: Axis::load(),
        up: Axis::new(kind.words(), "m/s", Decimals::Exactly(2)),
        points: profile
            .points()
            .iter()
            .map(|rep| Point::new(rep.load.si(), rep.velocity.si()))
            .collect(),
        line: (0..=LINE_STEPS).map(at).collect(),
        level: profile.level(),
        target: target.map(|target| Target {
            at: target.si(),
            name: "target".to_owned(),
            load: load_at.map(|load| Estimate {
                value: load.value.si(),
                interval: load.interval.map(Quantity::si),
                level: load.level,
            }),
        }),
        last: None,
        behind: None,
    }
}

const LINE_STEPS: u32 = 24;

/// The line of mean force on mean velocity of the push-off, from no velocity to no force.
pub fn force_velocity(profile: &ForceVelocityProfile) -> Slope {
    let (force, velocity) = (profile.force.value.si(), profile.velocity.value.si());
    Slope {
        title: "Force against velocity of the push-off".to_owned(),
        description: format!(
            "The line runs from {force:.0} N at no velocity to {velocity:.2} m/s at no force: a \
             hypothesis, not a prescription."
        ),
        across: Axis::new("mean velocity", "m/s", Decimals::Exactly(2)),
        up: Axis::new("mean force", "N", Decimals::Exactly(0)),
        points: (profile.points.iter())
            .map(|point| Point::new(point.velocity.si(), point.force.si()))
            .collect(),
        line: vec![CurvePoint::bare(0.0, force), CurvePoint::bare(velocity, 0.0)],
        level: profile.force.level,
        target: None,
        last: None,
        behind: None,
    }
}

/// The plates to hang for the athlete who is up; `None` without a bar.
pub fn loaded_bar(up: &UpView<'_>) -> Option<LoadedBar> {
    let bar = up.bar?;
    let plates: Vec<&str> = up.load.plates.iter().map(|plate| plate.label()).collect();
    let hung = if plates.is_empty() { "nothing".to_owned() } else { plates.join(", ") };
    Some(LoadedBar {
        title: bar.name.clone(),
        description: format!(
            "{} of {:.1} kg with {hung} on each loaded end: {:.1} kg.",
            bar.name,
            bar.mass().in_kilograms(),
            up.load.total.in_kilograms()
        ),
        bar: bar.kind,
        bar_mass: bar.mass(),
        plates: up.load.plates.clone(),
    })
}
