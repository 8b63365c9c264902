//! What is said of a change: the sentence, its caveats and its working.

use super::SCEPTICAL_WIDTH;
use super::fit::Fit;
use super::question::{Prior, Question};
use super::series::Point;
use crate::estimate::Estimate;
use crate::note::Note;
use crate::profile::verdict::{Odds, Verdict};
use crate::stats::posterior::Posterior;
use crate::words::capitalised;
use crate::working::{Input, Working};

pub(super) fn prior_note(
    question: &Question,
    verdict: Verdict,
    sceptical: Option<Odds>,
) -> Option<Note> {
    let sceptical = sceptical?.verdict();
    (question.prior.is_flat() && sceptical != verdict).then(|| {
        Note::new(
            "depends-on-prior",
            format!("Nothing was assumed beforehand about how far such a block moves anyone. Someone sceptical would say: {sceptical}."),
        )
    })
}

pub(super) fn sentence(
    question: &Question,
    observed: f64,
    change: &Estimate<f64>,
    odds: &Odds,
    verdict: Verdict,
) -> String {
    let percent = |p: f64| format!("{:.0} %", 100.0 * p);
    let Question { smallest_worthwhile, .. } = question;
    let unit = if question.unit.is_empty() { "" } else { &format!(" {}", question.unit) };
    let d = decimals(question.noise.of_mean(1));
    let word = capitalised(&verdict.to_string());
    let real = if *smallest_worthwhile > 0.0 {
        format!("a real gain over {smallest_worthwhile}{unit}")
    } else {
        "any gain".to_owned()
    };
    format!(
        "{word}. Last day against before: {observed:+.d$}{unit}. Best estimate using every day: \
         {:+.d$}{unit} ({} range {:+.d$} to {:+.d$}). Chance of {real}: {}, of a loss: {}.",
        change.value,
        change.level,
        change.interval.low,
        change.interval.high,
        percent(odds.rise),
        percent(odds.fall),
    )
}

/// Decimals that a number with this noise is worth.
fn decimals(noise: f64) -> usize {
    (1..=6).find(|digits| noise * 10_f64.powi(*digits) >= 3.0).map_or(6, |digits| digits as usize)
}

pub(super) fn working(
    question: &Question,
    points: &[Point],
    posterior: &Posterior,
    odds: &Odds,
    sceptical: Option<Odds>,
) -> Working {
    let unit = question.unit;
    let alone = Fit::of(points, 1.0, &Prior::Flat, &question.level_prior);
    let noise = &question.noise;
    let mut inputs: Vec<Input> = points
        .iter()
        .map(|p| {
            let name = if p.share == 0.0 {
                "baseline".to_owned()
            } else if p.share == 1.0 {
                "today".to_owned()
            } else {
                format!("on the way, {:.0} %", 100.0 * p.share)
            };
            Input::new(name, format!("{:.2} {unit} ± {:.2}", p.value, p.variance.sqrt()))
        })
        .collect();
    inputs.push(Input::new("typical error from", noise.source.clone()));
    inputs.push(Input::new(
        "smallest change that matters",
        format!("{} {unit}", question.smallest_worthwhile),
    ));
    inputs.push(Input::new("change thought of before", described(&question.prior, unit)));
    if !question.level_prior.is_flat() {
        inputs.push(Input::new("level thought of before", described(&question.level_prior, unit)));
    }
    Working {
        title: format!("true change of {}", question.measure),
        method: "change-posterior",
        version: 1,
        inputs,
        steps: vec![
            "value of a day = level + change × share of the block gone + noise".into(),
            format!("tests alone: {:+.3} {unit}, standard error {:.3} {unit}", alone.change, alone.variance.sqrt()),
            format!("with what was thought before: {:+.3} {unit}, standard deviation {:.3} {unit}", posterior.mean(), posterior.standard_deviation()),
            format!("rise {:.3}, no matter {:.3}, fall {:.3}", odds.rise, odds.no_matter, odds.fall),
        ],
        source: "Swinton and others 2018, Front Nutr 5:41 (framework); linear regression with a normal prior (Gelman and others, Bayesian Data Analysis, ch. 14)",
        doubt: sceptical.map_or_else(
            || format!("no smallest worthwhile change given: only the direction is judged; {NO_CAUSE}"),
            |o| format!("a sceptic (change around zero, spread {:.2} {unit}) would say rise {:.0} %, no matter {:.0} %, fall {:.0} %; {NO_CAUSE}", SCEPTICAL_WIDTH * question.smallest_worthwhile, 100.0 * o.rise, 100.0 * o.no_matter, 100.0 * o.fall),
        ),
    }
}

/// What no number of tests can say.
const NO_CAUSE: &str = "a change does not prove that the training caused it";

fn described(prior: &Prior, unit: &str) -> String {
    match prior {
        Prior::Flat => "nothing: any is as believable as any other".into(),
        Prior::Normal { mean, standard_deviation, source } => {
            format!("{mean:.2} {unit} ± {standard_deviation:.2}, from {source}")
        }
    }
}
