//! Among whom, and where: a like-for-like place among the squad, body mass taken out.

use crate::estimate::{Estimate, Interval, Level};
use crate::note::{Note, Noted};
use crate::stats::control_chart::prediction_limits;
use crate::stats::line::{Line, LineError};
use crate::stats::median::median;
use crate::stats::shrinkage::{Shrunk, towards};
use crate::stats::single_case::{self, StandingError};
use crate::words;
use crate::working::{Input, Working};

/// One person's value. `K` tells apart kinds of people who are not ranked together: sex.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peer<K> {
    /// Kind: only the same kind is compared.
    pub kind: K,
    /// Body mass on the day of the test, above zero.
    pub body_mass_kg: f64,
    /// What was measured, above zero.
    pub value: f64,
}

/// How a measure grows with body mass: value proportional to mass to this power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scaling {
    /// Expected exponent.
    pub exponent: f64,
    /// Doubt about it, as a standard deviation.
    pub doubt: f64,
    /// Where it is from.
    pub source: &'static str,
}

impl Scaling {
    /// External force and lifted load.
    pub const FORCE: Self = Self {
        exponent: 0.67,
        doubt: 0.15,
        source: "Markovic and Jaric 2004, Eur J Appl Physiol 92:139 (0.67 predicted and found for external force); doubt ours, as fits in single teams range from 0.2 to 1.2",
    };
    /// Jump height, velocity, time of rapid movements.
    pub const RAPID_MOVEMENT: Self = Self {
        exponent: 0.0,
        doubt: 0.10,
        source: "Markovic and Jaric 2004, Eur J Appl Physiol 92:139 (0 predicted, near 0 found for jumping)",
    };
    /// Momentum of a rapid movement: mass times a velocity that does not grow with mass.
    pub const MOMENTUM: Self = Self {
        exponent: 1.0,
        doubt: 0.10,
        source: "mass times velocity; velocity does not grow with mass (Markovic and Jaric 2004, Eur J Appl Physiol 92:139)",
    };
}

/// A place among peers.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// Share of the population behind the peers that lies below, in per cent.
    Percentile(Estimate<f64>),
    /// Too few for a percentile: the rank from the top, the person counted.
    Rank {
        /// Place from the top, from one.
        place: usize,
        /// People ranked.
        of: usize,
    },
}

/// Where a person stands.
#[derive(Clone, Debug, PartialEq)]
pub struct PeerStanding {
    /// The place.
    pub place: Place,
    /// Peers of the same kind, the person left out.
    pub peers: usize,
    /// Exponent used and its doubt, the squad's own fit weighed in where it says anything.
    pub exponent: Shrunk,
    /// The person's value as it would be at the reference mass.
    pub scaled_value: f64,
    /// Those of the peers, in the order given.
    pub scaled_peers: Vec<f64>,
    /// Where nine people in ten of the population behind the peers are expected, at the reference
    /// mass; `None` for too few or equal peers.
    pub usual: Option<Interval<f64>>,
    /// The reference: middle body mass of the peers.
    pub reference_mass_kg: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// Why there is no place.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PeersError {
    /// Nobody to compare with.
    #[error("No peer of the same sex was tested the same way: there is nobody to compare with.")]
    Nobody,
    /// A value or mass that is not above zero.
    #[error("A peer's value or body mass is not above zero.")]
    NotPositive,
    /// The peers do not differ.
    #[error("{0}")]
    Standing(#[from] StandingError),
}

/// Peers below which only a rank is given.
const FEWEST_FOR_PERCENTILE: usize = 5;
/// Peers below which the percentile is said in thirds.
const FEW: usize = 10;
/// Peers and range of mass from which the squad's own exponent is weighed in.
const FIT_FROM_PEERS: usize = 12;
const FIT_FROM_MASS_RATIO: f64 = 1.5;

/// A person among peers tested the same way; the person is not in the list.
///
/// Value over mass to the power b, in logarithms, as a single case against the peers of the same
/// kind (Crawford and Howell 1998; interval Crawford and Garthwaite 2002). The interval is the
/// widest over exponents within one doubt of the expected. Other kinds are counted, never ranked.
pub fn standing<K: Copy + PartialEq>(
    person: &Peer<K>,
    squad: &[Peer<K>],
    scaling: &Scaling,
    level: Level,
) -> Result<Noted<PeerStanding>, PeersError> {
    let positive = |peer: &Peer<K>| {
        let usable = |x: f64| x.is_finite() && x > 0.0;
        usable(peer.value) && usable(peer.body_mass_kg)
    };
    let peers: Vec<Peer<K>> = squad.iter().copied().filter(|p| p.kind == person.kind).collect();
    if peers.is_empty() {
        return Err(PeersError::Nobody);
    }
    if !positive(person) || !peers.iter().all(positive) {
        return Err(PeersError::NotPositive);
    }
    let reference_mass_kg = middle_mass(&peers);
    let exponent = exponent(&peers, scaling);
    let scaled = |peer: &Peer<K>, b: f64| at_mass(peer, reference_mass_kg, b);
    let place = place(person, &peers, exponent, level, &scaled)?;
    let scaled_value = scaled(person, exponent.value);
    let scaled_peers: Vec<f64> = peers.iter().map(|peer| scaled(peer, exponent.value)).collect();
    let usual = usual(&scaled_peers);
    let sentence = sentence(&place, peers.len());
    let working = working(person, &peers, scaling, exponent, scaled_value, reference_mass_kg);
    let notes = notes(&peers, squad.len() - peers.len());
    let peers = peers.len();
    let value = PeerStanding {
        place,
        peers,
        exponent,
        scaled_value,
        scaled_peers,
        usual,
        reference_mass_kg,
        sentence,
        working,
    };
    Ok(Noted { value, notes })
}

/// People of one kind on one scale: what each would show at the middle body mass among them.
#[derive(Clone, Debug, PartialEq)]
pub struct Scaled {
    /// Exponent used, their own fit weighed in where it says anything.
    pub exponent: Shrunk,
    /// The middle body mass.
    pub reference_mass_kg: f64,
    /// Their values at that mass, in the order given.
    pub values: Vec<f64>,
    /// Middle of the logarithms, back on the scale: the mean of what is proportional.
    pub mean: f64,
    /// Where nine in ten like them are expected; `None` for too few or equal people.
    pub usual: Option<Interval<f64>>,
}

/// Everyone of one kind, body mass taken out; `None` for nobody or a value not above zero.
pub fn scaled<K>(people: &[Peer<K>], scaling: &Scaling) -> Option<Scaled> {
    let usable = |x: f64| x.is_finite() && x > 0.0;
    if people.is_empty() || !people.iter().all(|one| usable(one.value) && usable(one.body_mass_kg))
    {
        return None;
    }
    let reference_mass_kg = middle_mass(people);
    let exponent = exponent(people, scaling);
    let values: Vec<f64> =
        people.iter().map(|one| at_mass(one, reference_mass_kg, exponent.value)).collect();
    let mean = values.iter().map(|value| value.ln()).sum::<f64>() / values.len() as f64;
    let usual = usual(&values);
    Some(Scaled { exponent, reference_mass_kg, values, mean: mean.exp(), usual })
}

/// The value as it would be at another mass.
fn at_mass<K>(person: &Peer<K>, mass_kg: f64, exponent: f64) -> f64 {
    person.value * (mass_kg / person.body_mass_kg).powf(exponent)
}

/// Where one more of the same people is expected, nine times in ten: Student's t about the mean of
/// the logarithms.
fn usual(scaled: &[f64]) -> Option<Interval<f64>> {
    let logs: Vec<f64> = scaled.iter().map(|value| value.ln()).collect();
    let limits = (logs.len() >= FEWEST_FOR_PERCENTILE)
        .then(|| prediction_limits(&logs, Level::USUAL).ok())
        .flatten()?;
    Some(limits.limits.map(f64::exp))
}

fn place<K>(
    person: &Peer<K>,
    peers: &[Peer<K>],
    exponent: Shrunk,
    level: Level,
    scaled: &impl Fn(&Peer<K>, f64) -> f64,
) -> Result<Place, PeersError> {
    if peers.len() < FEWEST_FOR_PERCENTILE {
        let own = scaled(person, exponent.value);
        let above = peers.iter().filter(|peer| scaled(peer, exponent.value) > own).count();
        return Ok(Place::Rank { place: above + 1, of: peers.len() + 1 });
    }
    let at = |b: f64| {
        let others: Vec<f64> = peers.iter().map(|peer| scaled(peer, b).ln()).collect();
        single_case::among(scaled(person, b).ln(), &others, level).map(|found| found.percentile)
    };
    let middle = at(exponent.value)?;
    let doubt = exponent.standard_deviation;
    let (less, more) = (at(exponent.value - doubt)?, at(exponent.value + doubt)?);
    let all = [less.interval, middle.interval, more.interval];
    let low = all.iter().map(|interval| interval.low).fold(f64::INFINITY, f64::min);
    let high = all.iter().map(|interval| interval.high).fold(f64::NEG_INFINITY, f64::max);
    Ok(Place::Percentile(Estimate { interval: Interval { low, high }, ..middle }))
}

/// The expected exponent, weighed with the squad's own fit where the squad is wide enough.
fn exponent<K>(peers: &[Peer<K>], scaling: &Scaling) -> Shrunk {
    let prior = (scaling.exponent, scaling.doubt);
    let masses = || peers.iter().map(|peer| peer.body_mass_kg);
    let (lightest, heaviest) =
        (masses().fold(f64::INFINITY, f64::min), masses().fold(0.0, f64::max));
    let wide = heaviest >= FIT_FROM_MASS_RATIO * lightest;
    let unfitted = Shrunk { value: prior.0, standard_deviation: prior.1, own_weight: 0.0 };
    if peers.len() < FIT_FROM_PEERS || !wide {
        return unfitted;
    }
    fitted_exponent(peers).map_or(unfitted, |own| towards(prior, own))
}

/// Slope of log value on log mass with its standard error.
fn fitted_exponent<K>(peers: &[Peer<K>]) -> Result<(f64, f64), LineError> {
    let logs: Vec<(f64, f64)> =
        peers.iter().map(|peer| (peer.body_mass_kg.ln(), peer.value.ln())).collect();
    let line = Line::through(&logs)?;
    let error = line.noise().map_or(f64::INFINITY, |noise| line.slope_standard_error(noise));
    Ok((line.slope, error))
}

/// Not a number for nobody.
fn middle_mass<K>(peers: &[Peer<K>]) -> f64 {
    let masses: Vec<f64> = peers.iter().map(|peer| peer.body_mass_kg).collect();
    median(&masses).unwrap_or(f64::NAN)
}

fn sentence(place: &Place, peers: usize) -> String {
    match place {
        Place::Rank { place, of } => {
            format!(
                "Number {place} of {of}, adjusted for body mass: too few of the same sex for a percentile."
            )
        }
        Place::Percentile(Estimate { value, interval, .. }) => {
            let about = if peers < FEW {
                third(*value).to_owned()
            } else {
                format!("higher than about {value:.0} %")
            };
            format!(
                "Among {peers} of the same sex, adjusted for body mass: {about} ({}).",
                words::anywhere_between(interval.low, interval.high)
            )
        }
    }
}

fn third(percentile: f64) -> &'static str {
    match percentile {
        p if p < 100.0 / 3.0 => "in the lower third",
        p if p < 200.0 / 3.0 => "in the middle third",
        _ => "in the upper third",
    }
}

fn notes<K>(peers: &[Peer<K>], other_kind: usize) -> Vec<Note> {
    let mut notes = Vec::new();
    if other_kind > 0 {
        notes.push(Note::new(
            "other-sex-not-ranked",
            format!("{other_kind} of the other sex are not ranked with these."),
        ));
    }
    if peers.len() < FEW {
        notes.push(Note::new(
            "few-peers",
            format!("Only {} peers of the same sex: the place is rough.", peers.len()),
        ));
    }
    notes.push(Note::new(
        "no-published-reference",
        "No published reference for boxers was confirmed for this measure: the place is among these peers only.",
    ));
    notes
}

fn working<K>(
    person: &Peer<K>,
    peers: &[Peer<K>],
    scaling: &Scaling,
    exponent: Shrunk,
    scaled: f64,
    reference: f64,
) -> Working {
    Working {
        title: "place among peers".into(),
        method: "peers-allometric-single-case",
        version: 1,
        inputs: vec![
            Input::new("value", format!("{} at {} kg", person.value, person.body_mass_kg)),
            Input::new("peers of the same sex", peers.len().to_string()),
            Input::new(
                "exponent of body mass",
                format!(
                    "{:.2} ± {:.2}, {:.0} % from this squad",
                    exponent.value,
                    exponent.standard_deviation,
                    100.0 * exponent.own_weight
                ),
            ),
            Input::new("exponent expected from", scaling.source),
        ],
        steps: vec![format!(
            "{} × ({reference:.1} / {})^{:.2} = {scaled:.1}",
            person.value, person.body_mass_kg, exponent.value
        )],
        source: "Crawford and Howell 1998, Clin Neuropsychol 12:482; Crawford and Garthwaite 2002, Neuropsychologia 40:1196",
        doubt: "the band is the widest over exponents within one doubt of the one used".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Clone, Copy, Debug, PartialEq)]
    enum Sex {
        Female,
        Male,
    }

    fn peer(kind: Sex, body_mass_kg: f64, value: f64) -> Peer<Sex> {
        Peer { kind, body_mass_kg, value }
    }

    /// Mid-thigh pulls of fourteen invented boxers, in N.
    fn squad() -> Vec<Peer<Sex>> {
        let women =
            [(63.4, 2305.0), (57.3, 1838.0), (59.1, 2153.0), (64.8, 2143.0), (66.0, 2335.0)];
        let men = [
            (58.1, 2555.0),
            (68.9, 3000.0),
            (77.6, 3046.0),
            (108.5, 3928.0),
            (64.0, 2790.0),
            (80.2, 3284.0),
            (71.5, 3110.0),
            (82.3, 3072.0),
        ];
        let women = women.map(|(mass, force)| peer(Sex::Female, mass, force));
        let men = men.map(|(mass, force)| peer(Sex::Male, mass, force));
        women.into_iter().chain(men).collect()
    }

    #[test]
    fn a_woman_is_ranked_among_the_five_women_with_a_wide_band() {
        let found =
            standing(&peer(Sex::Female, 54.2, 1988.0), &squad(), &Scaling::FORCE, Level::USUAL)
                .unwrap();
        assert_eq!(found.value.peers, 5);
        assert_eq!(found.value.exponent.value, 0.67);
        assert!(found.has("other-sex-not-ranked") && found.has("few-peers"));
        assert!(found.has("no-published-reference"));
        let Place::Percentile(place) = found.value.place else { panic!("a percentile") };
        assert!(place.interval.high - place.interval.low > 40.0, "{place:?}");
        assert!(found.value.sentence.contains("third"), "{}", found.value.sentence);
    }

    #[test]
    fn a_squad_on_one_scale_has_its_mean_and_its_band() {
        // By hand: 100 (60/54)^1 = 111.111..., 110 (60/60) = 110, 120 (60/66) = 109.0909...; the
        // geometric mean is the third root of their product.
        let three = [(54.0, 100.0), (60.0, 110.0), (66.0, 120.0)];
        let three = three.map(|(mass, momentum)| peer(Sex::Female, mass, momentum));
        let found = scaled(&three, &Scaling::MOMENTUM).unwrap();
        assert_eq!((found.reference_mass_kg, found.exponent.value), (60.0, 1.0));
        let product: f64 = 100.0 / 0.9 * 110.0 * (120.0 / 1.1);
        assert!((found.mean - product.cbrt()).abs() < 1e-9);
        assert_eq!(found.usual, None);
        // Five logarithms with mean 5 and standard deviation 0.1581139: t at 95 % on 4 degrees is
        // 2.131847 (tables), times root(1 + 1/5): 5 ± 0.369247.
        let five = [-0.2_f64, -0.1, 0.0, 0.1, 0.2].map(|x| peer(Sex::Male, 70.0, (5.0 + x).exp()));
        let usual = scaled(&five, &Scaling::FORCE).unwrap().usual.unwrap();
        assert!((usual.high.ln() - 5.369_247).abs() < 1e-5, "{usual:?}");
        assert_eq!(scaled(&five[..0], &Scaling::FORCE), None);
    }

    #[test]
    fn mass_is_taken_out_by_the_power() {
        // By hand: 2210 N at 66 kg is 2298.87 N at 70 kg with exponent 0.67.
        let peers: Vec<_> =
            [68.0, 69.0, 70.0, 71.0, 72.0].map(|mass| peer(Sex::Male, mass, 30.0 * mass)).into();
        let found = standing(&peer(Sex::Male, 66.0, 2210.0), &peers, &Scaling::FORCE, Level::USUAL);
        assert!((found.unwrap().value.scaled_value - 2298.87).abs() < 0.01);
    }

    #[test]
    fn a_wide_squad_of_many_moves_the_exponent_and_a_narrow_one_does_not() {
        // ln force on ln mass by scipy linregress: seven people doubled give 0.754873 exactly as one
        // set does; its standard error is root(5/12) of 0.066172. The prior 0.67 ± 0.15 is weighed in.
        let forces = [
            (52.0, 1750.0),
            (57.0, 1980.0),
            (60.0, 1900.0),
            (66.0, 2210.0),
            (75.0, 2300.0),
            (81.0, 2450.0),
            (92.0, 2760.0),
        ];
        let peers: Vec<_> = forces
            .iter()
            .chain(&forces)
            .map(|&(mass, force)| peer(Sex::Male, mass, force))
            .collect();
        let found =
            standing(&peers[0], &peers, &Scaling::FORCE, Level::USUAL).unwrap().value.exponent;
        let error = 0.066_172_f64 * (5.0_f64 / 12.0).sqrt();
        let weight = 0.15_f64.powi(2) / (0.15_f64.powi(2) + error.powi(2));
        assert!((found.value - (weight * 0.754_873 + (1.0 - weight) * 0.67)).abs() < 1e-5);
        let few = standing(&peers[0], &peers[..7], &Scaling::FORCE, Level::USUAL).unwrap();
        assert_eq!(few.value.exponent.value, 0.67);
    }

    #[test]
    fn three_peers_give_a_rank_and_none_gives_nothing() {
        let squad = squad();
        let person = peer(Sex::Female, 54.2, 1988.0);
        let found = standing(&person, &squad[..3], &Scaling::FORCE, Level::USUAL).unwrap().value;
        assert!(matches!(found.place, Place::Rank { of: 4, .. }));
        let alone = standing(&person, &squad[5..], &Scaling::FORCE, Level::USUAL);
        assert_eq!(alone.unwrap_err(), PeersError::Nobody);
    }
}
