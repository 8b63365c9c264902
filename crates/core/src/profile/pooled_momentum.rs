//! Load-momentum of a squad: where momentum peaks for someone with one to three jumps.
//!
//! Take-off velocity against load over body mass is nearly a straight line, so it is that line
//! which is drawn from the squad. Momentum (mass + load) x velocity then peaks half-way between
//! minus one body mass and the load at which velocity would vanish.

use super::likeness::{Likeness, Shifts};
use super::load_momentum::shape::take_off_velocity;
use super::load_momentum::{JumpMeasure, LoadedJump};
use super::pooled_velocity::borrowed_note;
use crate::estimate::{Estimate, Level};
use crate::note::{Note, Noted};
use crate::stats::mixed_line::{
    Group, LineBelief, LinePopulation, MixedLineError, NoisePrior, SlopeInDoubt,
};
use crate::units::{Mass, Quantity, STANDARD_GRAVITY, Velocity};
use crate::words::counted;
use crate::working::{Input, Working};

/// Jumps of one athlete, all measured the same way.
#[derive(Clone, Debug, PartialEq)]
pub struct Jumper {
    /// Mass of the body on the day.
    pub body_mass: Mass,
    /// The jumps.
    pub jumps: Vec<LoadedJump>,
    /// Kind of person, where two kinds are fitted together: -1/2 or +1/2. None where all are alike.
    pub kind: Option<f64>,
}

/// The lines of a squad.
#[derive(Clone, Debug)]
pub struct SquadMomentum {
    population: LinePopulation,
    shifts: Shifts,
}

/// One athlete's line, own jumps and squad weighed.
#[derive(Clone, Debug)]
pub struct PooledMomentum {
    before: LineBelief,
    line: LineBelief,
    body_mass: Mass,
    jumps: usize,
    heaviest: f64,
    squad: usize,
    shifts: Shifts,
}

/// The load of most momentum with the share that own jumps have in it.
#[derive(Clone, Debug, PartialEq)]
pub struct PooledPeak {
    /// The load; zero where the peak lies below body weight.
    pub load: Estimate<Mass>,
    /// Share of what is known there that comes from own jumps, 0 to 1.
    pub own_share: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

impl Jumper {
    fn likeness(&self) -> Likeness {
        Likeness { kind: self.kind, body_mass: self.body_mass }
    }
}

impl SquadMomentum {
    /// From each athlete's jumps with one implement, all measured the same way.
    ///
    /// The line is shifted by kind of person where both kinds have three people or more, and by the
    /// logarithm of body mass in a squad of twenty or more whose heaviest is half as heavy again as
    /// the lightest.
    ///
    /// # Errors
    /// [`MixedLineError`]: fewer than four athletes with two loads, noise that is not known, or one
    /// or two people of one kind.
    pub fn of(squad: &[Jumper], noise: Option<NoisePrior>) -> Result<Noted<Self>, MixedLineError> {
        let alike: Vec<Likeness> = squad.iter().map(Jumper::likeness).collect();
        let shifts = Shifts::of(&alike)?;
        let groups: Vec<Group> = squad
            .iter()
            .map(|jumper| Group {
                points: points(jumper.body_mass, &jumper.jumps),
                covariates: shifts.covariates(&jumper.likeness()),
            })
            .collect();
        Ok(LinePopulation::fit(&groups, noise)?.map(|population| Self { population, shifts }))
    }
    /// Someone who is not in the squad's fit, with no jump or some.
    pub fn newcomer(&self, jumper: &Jumper) -> PooledMomentum {
        let before = self.population.newcomer(&self.shifts.covariates(&jumper.likeness()));
        let points = points(jumper.body_mass, &jumper.jumps);
        PooledMomentum {
            line: before.updated_with(&points),
            before,
            body_mass: jumper.body_mass,
            jumps: points.len(),
            heaviest: points.iter().map(|(load, _)| *load).fold(0.0, f64::max),
            squad: self.population.groups(),
            shifts: self.shifts,
        }
    }
}

impl PooledMomentum {
    /// After one more jump: under a millisecond whatever came before.
    #[must_use]
    pub fn after(&self, jump: &LoadedJump) -> Self {
        let (load, velocity) = point(self.body_mass, jump);
        Self {
            line: self.line.updated(load, velocity),
            jumps: self.jumps + 1,
            heaviest: self.heaviest.max(load),
            ..self.clone()
        }
    }
    /// Take-off velocity at a load.
    pub fn velocity_at(&self, load: Mass, level: Level) -> Estimate<Velocity> {
        let found = self.line.at(load / self.body_mass).estimate(level);
        Estimate {
            value: Velocity::from_si(found.value),
            interval: found.interval.map(Velocity::from_si),
            level,
        }
    }
    /// The load of most momentum.
    ///
    /// # Errors
    /// [`SlopeInDoubt`] when the line may as well not fall.
    pub fn peak(&self, level: Level) -> Result<Noted<PooledPeak>, SlopeInDoubt> {
        let vanishing = self.line.falls_to(0.0, level)?;
        let of_vanishing = |x: f64| self.body_mass * (0.5 * (x - 1.0)).max(0.0);
        let load = Estimate {
            value: of_vanishing(vanishing.value),
            interval: vanishing.interval.map(of_vanishing),
            level,
        };
        let own_share = self.line.own_share(&self.before, load.value / self.body_mass);
        let sentence = format!(
            "Most momentum at {:.0} kg ({:.0} to {:.0}). {:.0} % of that is known from {}, the rest from {} squad members.",
            load.value.si(),
            load.interval.low.si(),
            load.interval.high.si(),
            100.0 * own_share,
            counted(self.jumps, "own jump"),
            self.squad,
        );
        let working = self.working(&vanishing, &load);
        let mut notes = borrowed_note(self.jumps, own_share);
        if load.interval.high / self.body_mass > self.heaviest {
            notes.push(Note::new(
                "peak-beyond-tested-loads",
                "The band reaches beyond the heaviest load jumped with: it rests on the straight line going on.",
            ));
        }
        Ok(Noted { value: PooledPeak { load, own_share, sentence, working }, notes })
    }

    fn working(&self, vanishing: &Estimate<f64>, load: &Estimate<Mass>) -> Working {
        let [velocity, fall] = self.line.line();
        let [squad_velocity, squad_fall] = self.before.line();
        let mass = self.body_mass.si();
        Working {
            title: "load of most momentum".into(),
            method: "pooled-load-momentum",
            version: 1,
            inputs: vec![
                Input::new("body mass", format!("{mass:.1} kg")),
                Input::new("own jumps", self.jumps.to_string()),
                Input::new("squad members", self.squad.to_string()),
                Input::new("squad's line shifted by", self.shifts.in_words()),
                Input::new("squad's line", format!("{squad_velocity:.3} {squad_fall:+.3} m/s each body mass")),
            ],
            steps: vec![
                format!("own line, drawn towards the squad's: {velocity:.3} {fall:+.3} m/s each body mass"),
                format!("velocity vanishes at {:.2} body masses", vanishing.value),
                format!("peak at ({:.2} - 1) / 2 × {mass:.1} kg = {:.1} kg", vanishing.value, load.value.si()),
            ],
            source: "momentum of a falling line, by its derivative; hierarchical line: Gelman and Hill 2007, ch. 13",
            doubt: "interval over the doubt of own line, squad's spread and noise together; a curved fall is not in it".into(),
        }
    }
}

fn points(body_mass: Mass, jumps: &[LoadedJump]) -> Vec<(f64, f64)> {
    jumps.iter().map(|jump| point(body_mass, jump)).collect()
}

fn point(body_mass: Mass, jump: &LoadedJump) -> (f64, f64) {
    let velocity = match jump.measure {
        JumpMeasure::TakeOffVelocity(velocity) => velocity,
        JumpMeasure::Height(height) => take_off_velocity(height, STANDARD_GRAVITY),
    };
    (jump.load / body_mass, velocity.si())
}
