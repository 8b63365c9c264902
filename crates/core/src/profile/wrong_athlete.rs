//! Whose reps were these? The likelihood of a set under each athlete who could have done it.

use crate::working::{Input, Working};

/// One athlete of the rotation and what was expected of them at this load and hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Short code, as shown.
    pub code: String,
    /// Expected value of a rep.
    pub expected: f64,
    /// Doubt about that expectation today, common to all reps of the set, as a standard deviation.
    pub doubt: f64,
    /// Standard deviation of one rep about the day's level, above zero.
    pub rep_noise: f64,
}

/// The answer for one set.
#[derive(Clone, Debug, PartialEq)]
pub struct Whose {
    /// Probability of each candidate, in the order given.
    pub probabilities: Vec<f64>,
    /// Places of the two likeliest others, or of the only other; none when it may well have been the
    /// selected one.
    pub ask: Vec<usize>,
    /// The question, when there is one to ask.
    pub question: Option<String>,
    /// What 'why?' shows.
    pub working: Working,
}

/// Why the set cannot be attributed.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum WhoseError {
    /// No rep, or the selected athlete is not among the candidates.
    #[error("There is no rep, or the selected athlete is not in the rotation.")]
    Nothing,
    /// A number that cannot be used.
    #[error("A rep, an expectation or a noise is not a usable number.")]
    NotANumber,
}

/// Probability that the person at the screen is not the one selected, before any rep is seen.
/// Common practice, no source; one set in fifty.
const SLIP: f64 = 0.02;
/// Probability of all others together at which the question is put. Common practice, no source.
const ASK_FROM: f64 = 0.80;
/// So many are named: far from what anyone does the odds between two are not to be trusted, and a
/// second name costs a glance.
const NAMED: usize = 2;

/// Probability of each candidate given the reps of one set.
///
/// Reps are normal about the day's level and the level normal about what was expected, so reps of
/// one set do not count as independent surprises. Bayes' rule with one set in fifty keyed to the
/// wrong name, the others equally likely. Nothing is changed: the question is asked.
pub fn of_set(
    reps: &[f64],
    candidates: &[Candidate],
    selected: usize,
) -> Result<Whose, WhoseError> {
    if reps.is_empty() || selected >= candidates.len() {
        return Err(WhoseError::Nothing);
    }
    let usable = |c: &Candidate| {
        c.expected.is_finite()
            && c.doubt.is_finite()
            && c.rep_noise.is_finite()
            && c.rep_noise > 0.0
    };
    if !(reps.iter().all(|rep| rep.is_finite()) && candidates.iter().all(usable)) {
        return Err(WhoseError::NotANumber);
    }
    let others = (candidates.len() - 1).max(1) as f64;
    let prior = |place: usize| if place == selected { 1.0 - SLIP } else { SLIP / others };
    let logs: Vec<f64> = candidates
        .iter()
        .enumerate()
        .map(|(place, candidate)| prior(place).ln() + log_likelihood(reps, candidate))
        .collect();
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = logs.iter().map(|log| (log - best).exp()).sum();
    let probabilities: Vec<f64> = logs.iter().map(|log| (log - best).exp() / total).collect();
    let ask = to_ask_about(&probabilities, selected);
    let named: Vec<&str> = ask.iter().map(|place| candidates[*place].code.as_str()).collect();
    let question = (!named.is_empty()).then(|| format!("Was this {}?", named.join(" or ")));
    let working = working(reps, candidates, &probabilities);
    Ok(Whose { probabilities, ask, question, working })
}

/// The likeliest others, the likeliest first.
fn to_ask_about(probabilities: &[f64], selected: usize) -> Vec<usize> {
    if 1.0 - probabilities[selected] < ASK_FROM {
        return Vec::new();
    }
    let mut others: Vec<usize> = (0..probabilities.len()).filter(|one| *one != selected).collect();
    others.sort_by(|one, other| probabilities[*other].total_cmp(&probabilities[*one]));
    others.truncate(NAMED);
    others
}

/// Logarithm of the joint density of reps that share one day's level, up to a common constant.
fn log_likelihood(reps: &[f64], candidate: &Candidate) -> f64 {
    let n = reps.len() as f64;
    let (noise, doubt) = (candidate.rep_noise.powi(2), candidate.doubt.powi(2));
    let mean = reps.iter().sum::<f64>() / n;
    let within: f64 = reps.iter().map(|rep| (rep - mean).powi(2)).sum();
    let of_mean = doubt + noise / n;
    -0.5 * ((n - 1.0) * noise.ln()
        + within / noise
        + of_mean.ln()
        + (mean - candidate.expected).powi(2) / of_mean)
}

fn working(reps: &[f64], candidates: &[Candidate], probabilities: &[f64]) -> Working {
    let said: Vec<String> = reps.iter().map(|rep| format!("{rep:.2}")).collect();
    Working {
        title: "whose set was this".into(),
        method: "wrong-athlete-likelihood",
        version: 1,
        inputs: candidates
            .iter()
            .map(|c| Input::new(c.code.clone(), format!("expected {:.2} ± {:.2}", c.expected, c.doubt.hypot(c.rep_noise))))
            .chain([Input::new("reps", said.join(", "))])
            .collect(),
        steps: candidates
            .iter()
            .zip(probabilities)
            .map(|(candidate, p)| format!("{}: {p:.3}", candidate.code))
            .collect(),
        source: "Bayes' rule with normal reps about a day's level",
        doubt: "one set in fifty is taken to be keyed to the wrong name; the answer is a question, never a change".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(code: &str, expected: f64) -> Candidate {
        Candidate {
            code: code.into(),
            expected,
            doubt: 0.03 * expected,
            rep_noise: 0.04 * expected,
        }
    }

    fn rotation() -> Vec<Candidate> {
        vec![
            candidate("A01", 2.62),
            candidate("A04", 3.38),
            candidate("A06", 2.35),
            candidate("A07", 3.52),
        ]
    }

    #[test]
    fn three_reps_of_three_and_a_half_are_asked_about() {
        let two = &rotation()[..2];
        let found = of_set(&[3.5, 3.48, 3.52], two, 0).unwrap();
        assert_eq!(found.question.as_deref(), Some("Was this A04?"));
        // The own set is not asked about.
        let own = of_set(&[2.6, 2.7, 2.55], &rotation(), 0).unwrap();
        assert!(own.ask.is_empty() && own.probabilities[0] > 0.99);
    }

    #[test]
    fn two_alike_candidates_are_both_named() {
        let found = of_set(&[3.45, 3.47, 3.44], &rotation(), 0).unwrap();
        assert!(found.probabilities[0] < 1e-6, "{:?}", found.probabilities);
        assert_eq!(
            (found.ask.as_slice(), found.question.as_deref()),
            (&[1, 3][..], Some("Was this A04 or A07?"))
        );
    }

    #[test]
    fn one_rep_is_the_product_of_prior_and_density() {
        // By hand: N(3.0; 2.62, 0.131) x 0.98 against N(3.0; 3.38, 0.169) x 0.02.
        let found = of_set(&[3.0], &rotation()[..2], 0).unwrap();
        let density = |mean: f64| {
            let sd = 0.05 * mean;
            (-0.5 * ((3.0 - mean) / sd).powi(2)).exp() / sd
        };
        let (own, other) = (0.98 * density(2.62), 0.02 * density(3.38));
        assert!((found.probabilities[0] - own / (own + other)).abs() < 1e-12);
        assert_eq!(of_set(&[], &rotation(), 0), Err(WhoseError::Nothing));
        assert_eq!(of_set(&[f64::NAN], &rotation(), 0), Err(WhoseError::NotANumber));
    }
}
