//! The caveats a load-momentum profile stands under.

use super::jump::HeightMethod;
use super::profile::{LoadMomentumProfile, MomentumPeak, RuleOfThumb};
use crate::note::Note;
use crate::units::Mass;

/// More expected loss than this at the best load, and the peak counts as not yet known.
const UNKNOWN_LOSS: f64 = 0.01;
/// A jump lower than this is measured badly and leaves no room for a heavier bar.
const VERY_LOW_HEIGHT_M: f64 = 0.10;
/// A jump further from its prediction than this many standard deviations is asked about.
const OUTLIER_SDS: f64 = 3.0;
/// A peak this close to the search limit, in kg, is at or beyond it.
const AT_LIMIT_KG: f64 = 1.0;

/// All caveats of a profile, most important first.
pub(super) fn notes(profile: &LoadMomentumProfile) -> Vec<Note> {
    let peak = profile.peak();
    let about_peak = [
        one_load_only(profile),
        knee_not_seen(profile),
        not_yet_known(profile),
        beyond_tested(profile, &peak),
        at_search_limit(profile, &peak),
        below_lightest_bar(profile, &peak),
    ];
    let about_jumps = height_outliers(profile).into_iter().chain(very_low_heights(profile));
    let about_meaning =
        [no_unloaded_jump(profile), heel_rise(profile), outside_rule_of_thumb(&peak)];
    about_peak
        .into_iter()
        .flatten()
        .chain(about_jumps)
        .chain(about_meaning.into_iter().flatten())
        .collect()
}

fn one_load_only(profile: &LoadMomentumProfile) -> Option<Note> {
    let tested = profile.tested_range();
    (tested.low == tested.high).then(|| {
        let kg = tested.low.in_kilograms();
        let text = format!(
            "All jumps are at {kg:.1} kg, so nothing is known yet of how height falls with load: \
             the peak shown is that of other athletes. Jump with at least two more loads."
        );
        Note::new("one-load-only", text)
    })
}

fn knee_not_seen(profile: &LoadMomentumProfile) -> Option<Note> {
    let mut loads: Vec<f64> = profile.points.iter().map(|one| one.load.in_kilograms()).collect();
    loads.sort_by(f64::total_cmp);
    loads.dedup();
    let count = match loads.len() {
        2 => "Two",
        3 => "Three",
        _ => return None,
    };
    let text = format!(
        "{count} loads cannot see a sudden bend in how height falls: with one, the true peak may \
         lie outside the range. Four loads or more would show it."
    );
    Some(Note::new("knee-not-seen", text))
}

fn not_yet_known(profile: &LoadMomentumProfile) -> Option<Note> {
    let loss = profile.expected_loss(profile.load_of_least_loss());
    (loss > UNKNOWN_LOSS).then(|| {
        let text = format!(
            "The peak is not yet known: even the best guess is expected to lose {:.1} % of the \
             peak momentum. Test another load.",
            loss * 100.0
        );
        Note::new("peak-not-yet-known", text)
    })
}

fn beyond_tested(profile: &LoadMomentumProfile, peak: &MomentumPeak) -> Option<Note> {
    let tested = profile.tested_range();
    let load = peak.load.value.in_kilograms();
    if tested.low == tested.high || peak.inside_tested_range {
        return None;
    }
    let (side, edge, advice) = if peak.load.value > tested.high {
        ("above the heaviest", tested.high, "Test a heavier load if it is safe.")
    } else {
        ("below the lightest", tested.low, "Test a lighter load.")
    };
    let text = format!(
        "The peak, about {load:.0} kg, lies {side} load jumped with ({:.1} kg), so it is a guess \
         beyond the jumps. {advice}",
        edge.in_kilograms()
    );
    Some(Note::new("peak-beyond-tested-loads", text))
}

fn at_search_limit(profile: &LoadMomentumProfile, peak: &MomentumPeak) -> Option<Note> {
    let limit = profile.search_limit();
    let margin = Mass::kilograms(AT_LIMIT_KG);
    let end = if peak.load.interval.high >= limit - margin {
        format!("1.25 body masses ({:.0} kg), the heaviest load looked at", limit.in_kilograms())
    } else if peak.load.value <= margin {
        "no load at all".to_owned()
    } else {
        return None;
    };
    let text = format!("The peak may be at or beyond {end}.");
    Some(Note::new("at-search-limit", text))
}

fn below_lightest_bar(profile: &LoadMomentumProfile, peak: &MomentumPeak) -> Option<Note> {
    let bar = profile.settings.lightest_bar.filter(|bar| peak.load.value < *bar)?;
    let text = format!(
        "The peak, about {:.0} kg, is lighter than the lightest bar ({:.1} kg): use dumbbells, a \
         lighter bar or no load.",
        peak.load.value.in_kilograms(),
        bar.in_kilograms()
    );
    Some(Note::new("peak-below-lightest-bar", text))
}

fn height_outliers(profile: &LoadMomentumProfile) -> Vec<Note> {
    let surprises = profile.surprises();
    let numbered = profile.points.iter().zip(surprises).enumerate();
    let outliers = numbered.filter(|(_, (_, surprise))| surprise.abs() > OUTLIER_SDS);
    let note = |(index, (point, surprise)): (usize, (&super::profile::ProfilePoint, f64))| {
        let side = if surprise > 0.0 { "higher" } else { "lower" };
        let text = format!(
            "Jump {} ({:.1} cm with {:.1} kg) is {:.1} standard deviations {side} than the other \
             jumps predict: repeat it, and leave it out if it was not valid.",
            index + 1,
            point.height.in_centimetres(),
            point.load.in_kilograms(),
            surprise.abs()
        );
        Note::new("height-outlier", text)
    };
    outliers.map(note).collect()
}

fn very_low_heights(profile: &LoadMomentumProfile) -> Option<Note> {
    let low = |point: &&super::profile::ProfilePoint| point.height.in_metres() < VERY_LOW_HEIGHT_M;
    let lowest =
        profile.points.iter().filter(low).map(|point| point.height).reduce(|a, b| a.min(b))?;
    let text = format!(
        "A jump of {:.1} cm is too low to be measured well, and no heavier load is safe: do not \
         go heavier.",
        lowest.in_centimetres()
    );
    Some(Note::new("height-very-low", text))
}

fn no_unloaded_jump(profile: &LoadMomentumProfile) -> Option<Note> {
    (profile.tested_range().low > Mass::ZERO).then(|| {
        Note::new(
            "no-unloaded-jump",
            "There is no jump without load, so the unloaded height and every fraction of it are \
             reckoned from the loaded jumps.",
        )
    })
}

fn heel_rise(profile: &LoadMomentumProfile) -> Option<Note> {
    (profile.method == HeightMethod::BarPeakAboveStanding).then(|| {
        Note::new(
            "heel-rise-included",
            "Heights from standing contain the rise onto the toes, which moves the peak to a \
             heavier load: subtract the bar's height on tiptoe less its height standing.",
        )
    })
}

fn outside_rule_of_thumb(peak: &MomentumPeak) -> Option<Note> {
    let side = match peak.rule_of_thumb() {
        RuleOfThumb::Within => return None,
        RuleOfThumb::Below => "heavier",
        RuleOfThumb::Above => "lighter",
    };
    let text = format!(
        "At the peak the jump is {:.0} % of the unloaded one; the rule of thumb (common practice, \
         no source) says 40 to 50 %. This athlete's own jumps put the peak {side} than the rule.",
        peak.height_fraction_of_unloaded * 100.0
    );
    Some(Note::new("outside-rule-of-thumb", text))
}
