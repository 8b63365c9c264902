//! Load-velocity lines of a squad: someone with few reps borrows from the others, and says so.

use super::likeness::{Likeness, Shifts};
use crate::estimate::{Estimate, Level};
use crate::note::{Note, Noted};
use crate::profile::load_velocity::VelocityRep;
use crate::stats::mixed_line::{
    Group, LineBelief, LinePopulation, MixedLineError, NoisePrior, SlopeInDoubt,
};
use crate::units::{Mass, Quantity, Velocity};
use crate::working::{Input, Working};

/// The lines of a squad in one lift.
#[derive(Clone, Debug)]
pub struct SquadVelocity {
    population: LinePopulation,
    shifts: Option<Shifts>,
}

/// Reps of one athlete in one lift, and who it is as far as likeness goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Lifter {
    /// Kind and body mass.
    pub likeness: Likeness,
    /// The reps.
    pub reps: Vec<VelocityRep>,
}

/// One athlete's line, own reps and squad weighed.
#[derive(Clone, Debug)]
pub struct PooledVelocity {
    before: LineBelief,
    line: LineBelief,
    reps: usize,
    squad: usize,
}

/// A load with the share that own reps have in it.
#[derive(Clone, Debug, PartialEq)]
pub struct PooledLoad {
    /// The load.
    pub load: Estimate<Mass>,
    /// Share of what is known there that comes from own reps, 0 to 1.
    pub own_share: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

impl SquadVelocity {
    /// From each athlete's reps in one lift, one sex or exponents taken out beforehand.
    ///
    /// Velocity falls along a line of each athlete's own; the lines are drawn from one population
    /// (see [`LinePopulation`]). Give the noise of one rep where athletes have one rep at each load.
    ///
    /// # Errors
    /// [`MixedLineError`]: fewer than four athletes with two loads, or noise that is not known.
    pub fn of(
        athletes: &[Vec<VelocityRep>],
        noise: Option<NoisePrior>,
    ) -> Result<Noted<Self>, MixedLineError> {
        let groups: Vec<Group> = athletes.iter().map(|reps| Group::of(points(reps))).collect();
        Ok(LinePopulation::fit(&groups, noise)?.map(|population| Self { population, shifts: None }))
    }
    /// The same from athletes who differ in kind and mass: the line is shifted by kind where both
    /// kinds have three people or more, and by the logarithm of body mass in a squad of twenty or
    /// more whose heaviest is half as heavy again as the lightest.
    ///
    /// # Errors
    /// [`MixedLineError`], as for athletes who are alike, and for one or two people of one kind.
    pub fn of_lifters(
        squad: &[Lifter],
        noise: Option<NoisePrior>,
    ) -> Result<Noted<Self>, MixedLineError> {
        let alike: Vec<Likeness> = squad.iter().map(|lifter| lifter.likeness).collect();
        let shifts = Shifts::of(&alike)?;
        let group = |lifter: &Lifter| Group {
            points: points(&lifter.reps),
            covariates: shifts.covariates(&lifter.likeness),
        };
        let groups: Vec<Group> = squad.iter().map(group).collect();
        Ok(LinePopulation::fit(&groups, noise)?
            .map(|population| Self { population, shifts: Some(shifts) }))
    }
    /// Someone who is not in a fit of lifters, with no rep or some.
    pub fn new_lifter(&self, lifter: &Lifter) -> PooledVelocity {
        let covariates = self.shifts.map(|shifts| shifts.covariates(&lifter.likeness));
        self.with_covariates(&covariates.unwrap_or_default(), &lifter.reps)
    }
    /// Someone who is not in the squad's fit, with no rep or some; of a squad of lifters, someone
    /// of its middle mass and no stated kind.
    pub fn newcomer(&self, reps: &[VelocityRep]) -> PooledVelocity {
        let covariates = self.shifts.map(|shifts| shifts.of_the_middle());
        self.with_covariates(&covariates.unwrap_or_default(), reps)
    }

    fn with_covariates(&self, covariates: &[f64], reps: &[VelocityRep]) -> PooledVelocity {
        let before = self.population.newcomer(covariates);
        let line = before.updated_with(&points(reps));
        PooledVelocity { before, line, reps: reps.len(), squad: self.population.groups() }
    }
}

impl PooledVelocity {
    /// After one more rep: under a millisecond whatever came before.
    #[must_use]
    pub fn after(&self, rep: VelocityRep) -> Self {
        let line = self.line.updated(rep.load.si(), rep.velocity.si());
        Self { line, reps: self.reps + 1, ..self.clone() }
    }
    /// Mean velocity at a load.
    pub fn velocity_at(&self, load: Mass, level: Level) -> Estimate<Velocity> {
        in_units(self.line.at(load.si()).estimate(level))
    }
    /// The load at which velocity falls to a target.
    ///
    /// # Errors
    /// [`SlopeInDoubt`] when the line may as well not fall.
    pub fn load_at(
        &self,
        target: Velocity,
        level: Level,
    ) -> Result<Noted<PooledLoad>, SlopeInDoubt> {
        let load: Estimate<Mass> = in_units(self.line.falls_to(target.si(), level)?);
        let own_share = self.line.own_share(&self.before, load.value.si());
        let sentence = format!(
            "{:.1} kg for {:.2} m/s ({:.1} to {:.1}). {:.0} % of that is known from own reps ({}), the rest from {} squad members.",
            load.value.si(),
            target.si(),
            load.interval.low.si(),
            load.interval.high.si(),
            100.0 * own_share,
            self.reps,
            self.squad,
        );
        let working = self.working(target, &load);
        let value = PooledLoad { load, own_share, sentence, working };
        Ok(Noted { value, notes: borrowed_note(self.reps, own_share) })
    }

    fn working(&self, target: Velocity, load: &Estimate<Mass>) -> Working {
        let [intercept, slope] = self.line.line();
        let [squad_intercept, squad_slope] = self.before.line();
        Working {
            title: format!("load at {:.2} m/s", target.si()),
            method: "pooled-load-velocity",
            version: 1,
            inputs: vec![
                Input::new("own reps", self.reps.to_string()),
                Input::new("squad members", self.squad.to_string()),
                Input::new(
                    "squad's line",
                    format!("{squad_intercept:.3} {squad_slope:+.5} m/s each kg"),
                ),
            ],
            steps: vec![
                format!(
                    "own line, drawn towards the squad's: {intercept:.3} {slope:+.5} m/s each kg"
                ),
                format!("reaches {:.2} m/s at {:.1} kg", target.si(), load.value.si()),
            ],
            source: "hierarchical line: Gelman and Hill 2007, Data Analysis Using Regression, ch. 13; Bates and others 2015, J Stat Softw 67",
            doubt: "interval over the doubt of own line, squad's spread and noise together".into(),
        }
    }
}

/// Said when most of an answer is borrowed.
pub(super) fn borrowed_note(own: usize, own_share: f64) -> Vec<Note> {
    if own_share >= 0.5 {
        return Vec::new();
    }
    vec![Note::new(
        "mostly-borrowed",
        format!(
            "With {own} of the athlete's own, most of this answer is the squad's: test a light and a heavy load to make it the athlete's."
        ),
    )]
}

fn points(reps: &[VelocityRep]) -> Vec<(f64, f64)> {
    reps.iter().map(|rep| (rep.load.si(), rep.velocity.si())).collect()
}

fn in_units<Q: Quantity>(estimate: Estimate<f64>) -> Estimate<Q> {
    Estimate {
        value: Q::from_si(estimate.value),
        interval: estimate.interval.map(Q::from_si),
        level: estimate.level,
    }
}
