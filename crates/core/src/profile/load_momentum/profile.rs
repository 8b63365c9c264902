//! The profile itself: what the jumps say about the peak, the band and the curve.

use std::fmt;
use std::sync::Arc;

use super::fall::FallFamily;
use super::jump::{HeightMethod, LoadMomentumError, LoadedJump, checked_heights};
use super::mixture::bisect;
use super::notes::notes;
use super::posterior::{Before, Evidence, Posterior};
use super::priors::LoadMomentumPriors;
use super::shape::{height_from_velocity, take_off_velocity};
use crate::estimate::{Estimate, Interval, Level};
use crate::note::Noted;
use crate::units::{Acceleration, Length, Mass, Momentum, STANDARD_GRAVITY, Velocity};

/// What a profile is made with beside the jumps.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadMomentumSettings {
    /// Starting knowledge, by implement.
    pub priors: LoadMomentumPriors,
    /// Gravity that heights and velocities are converted with.
    pub gravity: Acceleration,
    /// Level of the intervals.
    pub level: Level,
    /// Lightest implement at hand, when known: a peak below it cannot be trained with it.
    pub lightest_bar: Option<Mass>,
}

impl Default for LoadMomentumSettings {
    fn default() -> Self {
        Self {
            priors: LoadMomentumPriors::default(),
            gravity: STANDARD_GRAVITY,
            level: Level::USUAL,
            lightest_bar: None,
        }
    }
}

/// One jump as it stands on the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProfilePoint {
    /// Load.
    pub load: Mass,
    /// Height, measured or from the take-off velocity.
    pub height: Length,
    /// Take-off velocity, measured or from the height.
    pub take_off_velocity: Velocity,
    /// Momentum of athlete and load at take-off.
    pub momentum: Momentum,
}

/// Where momentum peaks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MomentumPeak {
    /// Load of the peak: posterior mean and interval, within 0 to 1.25 body masses.
    pub load: Estimate<Mass>,
    /// Momentum at the peak itself, wherever that is.
    pub momentum: Estimate<Momentum>,
    /// Mean height at that load.
    pub height: Length,
    /// That height as a fraction of the unloaded height.
    pub height_fraction_of_unloaded: f64,
    /// Whether that load lies between the lightest and the heaviest load jumped with.
    pub inside_tested_range: bool,
    /// Probability that the true peak lies between those.
    pub probability_inside_tested: f64,
}

impl MomentumPeak {
    /// Where the athlete lies beside the rule of thumb.
    pub fn rule_of_thumb(&self) -> RuleOfThumb {
        match self.height_fraction_of_unloaded {
            fraction if fraction < 0.40 => RuleOfThumb::Below,
            fraction if fraction > 0.50 => RuleOfThumb::Above,
            _ => RuleOfThumb::Within,
        }
    }
}

/// Loads that cost less than a fraction of the peak momentum, in expectation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadBand {
    /// Lightest.
    pub from: Mass,
    /// Heaviest.
    pub to: Mass,
    /// The fraction.
    pub loss_fraction: f64,
}

impl LoadBand {
    /// Whether a load lies in the band, ends included.
    pub fn contains(&self, load: Mass) -> bool {
        self.from <= load && load <= self.to
    }
}

impl fmt::Display for LoadBand {
    /// "30 to 50 kg".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} to {:.0} kg", self.from.in_kilograms(), self.to.in_kilograms())
    }
}

/// Where the athlete lies beside the rule that momentum peaks where the loaded jump is 40 to 50 %
/// of the unloaded one (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RuleOfThumb {
    /// Peak at less than 40 % of the unloaded height: heavier than the rule says.
    Below,
    /// Peak where the rule says.
    Within,
    /// Peak at more than 50 % of the unloaded height: lighter than the rule says.
    Above,
}

/// One place on the curve, for drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Load.
    pub load: Mass,
    /// Momentum there.
    pub momentum: Momentum,
    /// Lower end of its interval.
    pub low: Momentum,
    /// Upper end of its interval.
    pub high: Momentum,
}

/// Jumps at several loads and what they say about the load of most momentum.
#[derive(Clone, Debug)]
pub struct LoadMomentumProfile {
    pub(super) body_mass: Mass,
    pub(super) settings: LoadMomentumSettings,
    pub(super) method: HeightMethod,
    pub(super) points: Vec<ProfilePoint>,
    before: Arc<Before>,
    evidence: Evidence,
    pub(super) posterior: Posterior,
}

impl LoadMomentumProfile {
    /// Fits every valid jump given (all of them, not the best), in the order they were made.
    ///
    /// Weighs straight, curved, force-velocity-like, domed and sigmoid falls in height, and falls
    /// with a knee, by how well they explain the jumps; exact, no sampling. One jump is enough for an answer, which then is mostly the
    /// starting knowledge and says so in its notes.
    ///
    /// # Errors
    /// When body mass, a load, a height, gravity or the priors are unusable, when there is no
    /// jump, or when methods of measurement are mixed: [`LoadMomentumError`].
    pub fn fit(
        body_mass: Mass,
        jumps: &[LoadedJump],
        settings: &LoadMomentumSettings,
    ) -> Result<Noted<Self>, LoadMomentumError> {
        settings.priors.check()?;
        let heights = checked_heights(body_mass, jumps, settings.gravity)?;
        let before = Arc::new(Before::new(body_mass, &settings.priors, settings.gravity));
        Ok(Self::weighed(before, jumps, heights, settings))
    }

    /// The same athlete at the same body mass with other jumps, such as one more: what is known
    /// beforehand is there, and only the jumps are weighed anew.
    ///
    /// # Errors
    /// As [`Self::fit`].
    pub fn with_jumps(&self, jumps: &[LoadedJump]) -> Result<Noted<Self>, LoadMomentumError> {
        let heights = checked_heights(self.body_mass, jumps, self.settings.gravity)?;
        Ok(Self::weighed(Arc::clone(&self.before), jumps, heights, &self.settings))
    }

    fn weighed(
        before: Arc<Before>,
        jumps: &[LoadedJump],
        heights: Vec<Length>,
        settings: &LoadMomentumSettings,
    ) -> Noted<Self> {
        let body_mass = before.body_mass;
        let points: Vec<ProfilePoint> = (jumps.iter().zip(heights))
            .map(|(jump, height)| point(body_mass, jump.load, height, settings.gravity))
            .collect();
        let evidence = (points.iter()).fold(Evidence::none(), |known, point| {
            known.with(point.load / body_mass, point.take_off_velocity)
        });
        let posterior = before.posterior(&evidence);
        let settings = settings.clone();
        let profile = Self {
            body_mass,
            settings,
            method: jumps[0].method,
            points,
            before,
            evidence,
            posterior,
        };
        let notes = notes(&profile);
        Noted { value: profile, notes }
    }

    /// Body mass the momentum is reckoned with.
    pub const fn body_mass(&self) -> Mass {
        self.body_mass
    }

    /// How all the jumps were measured.
    pub const fn method(&self) -> HeightMethod {
        self.method
    }

    /// The jumps, in the order given.
    pub fn points(&self) -> &[ProfilePoint] {
        &self.points
    }

    /// The fall that explains the jumps best, with its probability.
    pub fn model(&self) -> (FallFamily, f64) {
        let weigh = |family| (family, self.posterior.family_weight(family));
        let heavier = |best: (FallFamily, f64), next: (FallFamily, f64)| {
            if next.1 > best.1 { next } else { best }
        };
        FallFamily::ALL.into_iter().map(weigh).fold((FallFamily::StraightLine, 0.0), heavier)
    }

    /// Probability of each family of falls, in the order of [`FallFamily::ALL`].
    pub fn family_probabilities(&self) -> [f64; 7] {
        FallFamily::ALL.map(|family| self.posterior.family_weight(family))
    }

    /// Noise of one unloaded jump (SD), as learnt from these jumps.
    pub fn noise_sd(&self) -> Length {
        let noise = Velocity::metres_per_second(self.posterior.noise_sd());
        let unloaded = Velocity::metres_per_second(self.posterior.unloaded_velocity());
        // dh = 2 h dv / v.
        self.unloaded_height() * (2.0 * (noise / unloaded))
    }

    /// Mean unloaded height.
    pub fn unloaded_height(&self) -> Length {
        self.height_of(self.posterior.unloaded_velocity())
    }

    /// Mean share of the unloaded height left at half body mass: how steeply height falls.
    pub fn mean_share_at_half_body_mass(&self) -> f64 {
        self.posterior.expectation(|node| node.share_at_half)
    }

    /// SD of the peak load's posterior.
    pub fn peak_load_sd(&self) -> Mass {
        let mean = self.posterior.expectation(|node| node.peak);
        let variance = self.posterior.expectation(|node| (node.peak - mean).powi(2));
        self.body_mass * variance.sqrt()
    }

    /// Heaviest load the peak is looked for at: 1.25 body masses.
    pub fn search_limit(&self) -> Mass {
        self.before.limit()
    }

    /// Lightest and heaviest load jumped with.
    pub fn tested_range(&self) -> Interval<Mass> {
        let loads = self.points.iter().map(|point| point.load);
        let low = loads.clone().fold(self.points[0].load, Mass::min);
        let high = loads.fold(self.points[0].load, Mass::max);
        Interval { low, high }
    }

    /// Expected share of the peak momentum lost by jumping with this load, 0 to 1.
    pub fn expected_loss(&self, load: Mass) -> f64 {
        self.posterior.expected_loss(load / self.body_mass)
    }

    /// Probability that this load loses more than a fraction of the peak momentum.
    pub fn chance_of_losing(&self, fraction: f64, load: Mass) -> f64 {
        self.posterior.chance_of_losing(fraction, load / self.body_mass)
    }

    /// The load that in expectation loses least.
    pub fn load_of_least_loss(&self) -> Mass {
        let whole = Interval { low: Mass::ZERO, high: self.search_limit() };
        self.load_of_least_loss_within(whole)
    }

    /// The load that in expectation loses least of those from the lightest to the heaviest jumped
    /// with: nothing beyond them is advised for use.
    pub fn best_tested_load(&self) -> Mass {
        self.load_of_least_loss_within(self.tested_range())
    }

    fn load_of_least_loss_within(&self, loads: Interval<Mass>) -> Mass {
        let Interval { low, high } = loads.map(|load| load / self.body_mass);
        self.body_mass * self.posterior.load_of_least_loss(low, high)
    }

    /// The one of these loads that in expectation loses least; the lighter of equals.
    pub fn least_loss_among(&self, loads: impl IntoIterator<Item = Mass>) -> Option<Mass> {
        let with_loss = loads.into_iter().map(|load| (load, self.expected_loss(load)));
        let least = with_loss.reduce(|best, next| if next.1 < best.1 { next } else { best });
        least.map(|(load, _)| load)
    }

    /// Loads that in expectation cost less than this fraction of the peak; `None` while even the
    /// best load may cost more, that is while too little is known.
    pub fn band(&self, loss_fraction: f64) -> Option<LoadBand> {
        let fits = |kg: f64| self.expected_loss(Mass::kilograms(kg)) < loss_fraction;
        let best_kg = self.load_of_least_loss().in_kilograms();
        if !fits(best_kg) {
            return None;
        }
        let limit_kg = self.search_limit().in_kilograms();
        let from = if fits(0.0) { 0.0 } else { bisect(0.0, best_kg, |kg| !fits(kg)) };
        let to = if fits(limit_kg) { limit_kg } else { bisect(best_kg, limit_kg, fits) };
        Some(LoadBand { from: Mass::kilograms(from), to: Mass::kilograms(to), loss_fraction })
    }

    /// Height that the mean take-off velocity at a load carries to, without its interval.
    pub fn expected_height(&self, load: Mass) -> Length {
        self.height_of(self.posterior.expected_velocity(load / self.body_mass))
    }

    /// Probability that the mean height at a load is lower than this.
    pub fn chance_of_jumping_below(&self, height: Length, load: Mass) -> f64 {
        let velocity = take_off_velocity(height, self.settings.gravity).in_metres_per_second();
        self.posterior.mean_velocity(load / self.body_mass).cdf(velocity)
    }

    /// Mean height at a load: where the curve runs.
    pub fn mean_height(&self, load: Mass) -> Estimate<Length> {
        self.heights(&self.mean_velocity(load))
    }

    /// Height of the next jump at a load: the curve's doubt and the noise of one jump.
    pub fn predicted_height(&self, load: Mass) -> Estimate<Length> {
        let next = self.posterior.next_velocity(load / self.body_mass);
        self.heights(&next.estimate(self.settings.level))
    }

    /// How far a new jump lies from its prediction, in predictive standard deviations.
    pub fn surprise(&self, load: Mass, height: Length) -> f64 {
        let velocity = take_off_velocity(height, self.settings.gravity);
        surprise(&self.posterior, load / self.body_mass, velocity)
    }

    /// Momentum at a load.
    pub fn momentum(&self, load: Mass) -> Estimate<Momentum> {
        self.momenta(self.body_mass + load, &self.mean_velocity(load))
    }

    fn mean_velocity(&self, load: Mass) -> Estimate<f64> {
        self.posterior.mean_velocity(load / self.body_mass).estimate(self.settings.level)
    }

    /// Momenta of a mass from velocities in m/s; a doubt that reaches below nothing ends there.
    fn momenta(&self, mass: Mass, velocity: &Estimate<f64>) -> Estimate<Momentum> {
        let momentum = |m_s: f64| mass * Velocity::metres_per_second(m_s.max(0.0));
        let interval = velocity.interval.map(momentum);
        Estimate { value: momentum(velocity.value), interval, level: velocity.level }
    }

    fn heights(&self, velocity: &Estimate<f64>) -> Estimate<Length> {
        let interval = velocity.interval.map(|m_s| self.height_of(m_s));
        Estimate { value: self.height_of(velocity.value), interval, level: velocity.level }
    }

    fn height_of(&self, m_s: f64) -> Length {
        height_from_velocity(Velocity::metres_per_second(m_s.max(0.0)), self.settings.gravity)
    }

    /// The curve of momentum against load, in even steps from unloaded to `heaviest`.
    pub fn curve(&self, heaviest: Mass, points: usize) -> Vec<CurvePoint> {
        let steps = points.saturating_sub(1).max(1);
        let at = |step: usize| {
            let load = heaviest * (step as f64 / steps as f64);
            let momentum = self.momentum(load);
            let Interval { low, high } = momentum.interval;
            CurvePoint { load, momentum: momentum.value, low, high }
        };
        (0..points).map(at).collect()
    }

    /// How far each jump lies from what the other jumps predict, in predictive standard deviations.
    pub fn surprises(&self) -> Vec<f64> {
        let left_out = |point: &ProfilePoint| {
            let load = point.load / self.body_mass;
            let others = self.evidence.clone().without(load, point.take_off_velocity);
            surprise(&self.before.posterior(&others), load, point.take_off_velocity)
        };
        self.points.iter().map(left_out).collect()
    }

    /// How far each jump lay from what the jumps before it predicted, in predictive standard
    /// deviations: a run below zero is fatigue or lost will.
    pub fn surprises_in_order(&self) -> Vec<f64> {
        let mut known = Evidence::none();
        let mut surprises = Vec::with_capacity(self.points.len());
        for point in &self.points {
            let load = point.load / self.body_mass;
            let before = self.before.posterior(&known);
            surprises.push(surprise(&before, load, point.take_off_velocity));
            known = known.with(load, point.take_off_velocity);
        }
        surprises
    }

    /// Where momentum peaks.
    pub fn peak(&self) -> MomentumPeak {
        let value = self.body_mass * self.posterior.expectation(|node| node.peak);
        let level = self.settings.level;
        let quantile = |p: f64| self.body_mass * self.posterior.peak_quantile(p);
        let central = Interval { low: quantile(level.tail()), high: quantile(1.0 - level.tail()) };
        let load = Estimate { value, interval: central.reaching(value), level };
        let height = self.expected_height(load.value);
        let tested = self.tested_range();
        let below = |load: Mass| self.posterior.peak_cdf(load / self.body_mass);
        let below_lightest = if tested.low > Mass::ZERO { below(tested.low) } else { 0.0 };
        let momentum = self.posterior.peak_momentum().estimate(level);
        MomentumPeak {
            load,
            momentum: self.momenta(self.body_mass, &momentum),
            height,
            height_fraction_of_unloaded: height / self.unloaded_height(),
            inside_tested_range: tested.contains(load.value),
            probability_inside_tested: below(tested.high) - below_lightest,
        }
    }
}

fn point(body_mass: Mass, load: Mass, height: Length, gravity: Acceleration) -> ProfilePoint {
    let take_off_velocity = take_off_velocity(height, gravity);
    let momentum = (body_mass + load) * take_off_velocity;
    ProfilePoint { load, height, take_off_velocity, momentum }
}

fn surprise(posterior: &Posterior, load: f64, velocity: Velocity) -> f64 {
    let prediction = posterior.next_velocity(load);
    (velocity.in_metres_per_second() - prediction.mean()) / prediction.sd()
}
