//! Better than whom? An athlete among people of the same sex, body mass taken out, by what was
//! measured of everyone the same way.

use crate::flow::house::House;
use crate::flow::jump_days;
use crate::flow::kept::Kept;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::PROFILE_DAYS;
use cornerwork_core::estimate::{Estimate, Level};
use cornerwork_core::note::Noted;
use cornerwork_core::prescription::load_to_use::{LoadToUse, best_jumped};
use cornerwork_core::profile::peers::{self, Peer, PeerStanding, Place, Scaling};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Mark, Now, Strip};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Sex};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Rep, Side};
use cornerwork_core::stats::mean::mean;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use jiff::civil::Date;
use std::sync::Arc;

/// Numbers older than this say nothing about now (common practice, no source).
const STALE_DAYS: i32 = 84;
/// Peers of the same level below which all levels are taken.
const FEWEST_OF_LEVEL: usize = 5;

/// What people are compared by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Yardstick {
    /// Height of the jump without load, by the mat.
    UnloadedJump,
    /// Momentum of body and bar at the best load.
    PeakMomentum,
    /// Force of the isometric pull.
    PullForce,
    /// Hand velocity of the rear hand's landmine throw, the bar alone.
    RearThrow,
}

impl Yardstick {
    /// In the order they are shown.
    pub const ALL: [Self; 4] =
        [Self::UnloadedJump, Self::PeakMomentum, Self::PullForce, Self::RearThrow];

    /// Name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::UnloadedJump => "Unloaded jump",
            Self::PeakMomentum => "Momentum at the best load",
            Self::PullForce => "Isometric pull",
            Self::RearThrow => "Rear-hand throw, bar alone",
        }
    }

    /// Name for an address.
    pub const fn code(self) -> &'static str {
        match self {
            Self::UnloadedJump => "jump",
            Self::PeakMomentum => "momentum",
            Self::PullForce => "pull",
            Self::RearThrow => "throw",
        }
    }

    /// What is measured, with its unit.
    pub fn axis(self) -> Axis {
        match self {
            Self::UnloadedJump => Axis::new("jump height", "cm", Decimals::Exactly(1)),
            Self::PeakMomentum => Axis::new("momentum", "kg m/s", Decimals::Exactly(0)),
            Self::PullForce => Axis::new("peak force", "N", Decimals::Exactly(0)),
            Self::RearThrow => Axis::new("peak velocity", "m/s", Decimals::Exactly(2)),
        }
    }

    /// How it grows with body mass.
    pub const fn scaling(self) -> Scaling {
        match self {
            Self::UnloadedJump | Self::RearThrow => Scaling::RAPID_MOVEMENT,
            Self::PeakMomentum => Scaling::MOMENTUM,
            Self::PullForce => Scaling::FORCE,
        }
    }
}

/// One athlete's number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// In the unit of the yardstick.
    pub value: f64,
    /// Mass of the body on that day.
    pub body_mass_kg: f64,
    /// When it was measured last.
    pub date: Date,
    /// The implement, where there is one: only equal ones are compared.
    pub implement: Mass,
}

/// The latest number of an athlete by a yardstick.
///
/// # Errors
/// A few words saying why there is none.
fn measured(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    yardstick: Yardstick,
) -> Result<Measured, String> {
    let measured = match yardstick {
        Yardstick::UnloadedJump => unloaded_jump(house, gym, athlete),
        Yardstick::PeakMomentum => return peak_momentum(house, gym, athlete),
        Yardstick::PullForce => latest_day(house, gym, athlete, |rep| {
            rep.entry.exercise.as_str() == "isometric-mid-thigh-pull"
        }),
        Yardstick::RearThrow => latest_day(house, gym, athlete, |rep| {
            rep.entry.exercise.as_str() == "landmine-punch-throw"
                && rep.entry.side == Some(Side::Rear)
                && rep.entry.load.plates.is_empty()
        }),
    }
    .ok_or("not tested yet")?;
    fresh(house, measured)
}

fn fresh(house: &House, measured: Measured) -> Result<Measured, String> {
    let age = (house.clock().today() - measured.date).get_days();
    if age > STALE_DAYS {
        return Err(format!("last tested {} weeks ago", age / 7));
    }
    Ok(measured)
}

/// Means of a day: a best rises with the number of trials, a mean does not.
fn latest_day(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    belongs: impl Fn(&Rep) -> bool,
) -> Option<Measured> {
    let day = |rep: &Rep| house.clock().date_of(rep.entry.at);
    let mut latest = gym.reps_of(athlete).rev().filter(|rep| belongs(rep) && rep.counts());
    let last = latest.next()?;
    let date = day(last);
    let alike = |rep: &&Rep| day(rep) == date && rep.entry.method == last.entry.method;
    let values: Vec<f64> =
        std::iter::once(last).chain(latest.take_while(alike)).filter_map(Rep::number).collect();
    let body_mass_kg = mass_on(house, gym, athlete, date)?;
    Some(Measured { value: mean(&values), body_mass_kg, date, implement: last.entry.load.total })
}

fn unloaded_jump(house: &House, gym: &Gym, athlete: &AthleteId) -> Option<Measured> {
    let method = house.method_of(plan::exercise(house, gym, plan::UNLOADED_JUMP).ok()?);
    let days = jump_days::of(house, gym, athlete);
    let day = days.iter().rev().find(|day| {
        day.method == method && jump_days::unlike_others(house, gym, athlete, day.date).is_none()
    })?;
    let body_mass_kg = mass_on(house, gym, athlete, day.date)?;
    let value = day.mean_cm();
    Some(Measured { value, body_mass_kg, date: day.date, implement: Mass::ZERO })
}

fn peak_momentum(house: &House, gym: &Gym, athlete: &AthleteId) -> Result<Measured, String> {
    let exercise = plan::exercise(house, gym, LOADED_JUMP)?;
    let momentum = house.profiles.momentum(house, gym, athlete, exercise, PROFILE_DAYS)?;
    // Nobody is placed by a load nobody lifted.
    let to_use = momentum.to_use();
    let (LoadToUse::Band(_), Some((_, best))) = (to_use, best_jumped(&momentum.profile.value))
    else {
        return Err(to_use.to_string());
    };
    fresh(
        house,
        Measured {
            value: best.in_kilogram_metres_per_second(),
            body_mass_kg: momentum.set.body_mass.in_kilograms(),
            date: momentum.set.to,
            implement: Mass::ZERO,
        },
    )
}

/// Body mass as last weighed up to a day, else as first weighed after it.
fn mass_on(house: &House, gym: &Gym, athlete: &AthleteId, date: Date) -> Option<f64> {
    let masses = gym.body_masses(athlete);
    let before = masses.iter().rev().find(|(at, _)| house.clock().date_of(*at) <= date);
    before.or(masses.first()).map(|(_, mass)| mass.in_kilograms())
}

/// Where an athlete stands.
#[derive(Debug)]
pub struct Standing {
    /// The number.
    pub own: Measured,
    /// The place.
    pub place: Noted<PeerStanding>,
    /// Who the peers are: "5 women of all levels (1 amateur)".
    pub among: String,
}

/// Standings kept while the numbers behind them stay the same: an interval of a percentile is
/// found by many integrals.
pub type Standings =
    Kept<(AthleteId, Yardstick), (Peer<Sex>, Vec<Peer<Sex>>), Result<Arc<Standing>, String>>;

/// Everyone's number by one yardstick, or why there is none: gathered once a page.
pub struct Field<'a> {
    /// By which.
    pub yardstick: Yardstick,
    /// In the order of codes.
    pub people: Vec<(&'a Athlete, Result<Measured, String>)>,
}

impl<'a> Field<'a> {
    /// Everyone of the gym by every yardstick, in the order they are shown.
    pub fn all(house: &House, gym: &'a Gym) -> [Self; 4] {
        Yardstick::ALL.map(|yardstick| Self::of(house, gym, yardstick))
    }

    /// Everyone of the gym.
    fn of(house: &House, gym: &'a Gym, yardstick: Yardstick) -> Self {
        let number = |athlete: &Athlete| measured(house, gym, &athlete.id, yardstick);
        let people = gym.athletes.values().map(|athlete| (athlete, number(athlete))).collect();
        Self { yardstick, people }
    }

    fn number(&self, athlete: &Athlete) -> Result<Measured, String> {
        let found = self.people.iter().find(|(other, _)| other.id == athlete.id);
        found.map_or_else(|| Err("not tested yet".to_owned()), |(_, number)| number.clone())
    }
}

/// Where an athlete stands in a field.
///
/// # Errors
/// A sentence when the athlete has no number or there is nobody to compare with.
pub fn standing(
    house: &House,
    athlete: &Athlete,
    field: &Field<'_>,
) -> Result<Arc<Standing>, String> {
    let yardstick = field.yardstick;
    let own = field.number(athlete)?;
    let person = peer(athlete, own);
    let (squad, among) = squad(athlete, own, field);
    let key = (athlete.id.clone(), yardstick);
    house.profiles.standings.get(key, (person, squad), |(person, squad)| {
        peers::standing(person, squad, &yardstick.scaling(), Level::USUAL)
            .map(|place| Arc::new(Standing { own, place, among }))
            .map_err(|error| error.to_string())
    })
}

fn peer(athlete: &Athlete, measured: Measured) -> Peer<Sex> {
    Peer { kind: athlete.sex, body_mass_kg: measured.body_mass_kg, value: measured.value }
}

/// Everyone else measured the same way: of the same sex those of the same level where there are
/// enough, and those of the other sex to be counted as not ranked.
fn squad(athlete: &Athlete, own: Measured, field: &Field<'_>) -> (Vec<Peer<Sex>>, String) {
    let others: Vec<(&Athlete, Measured)> = field
        .people
        .iter()
        .filter(|(other, _)| other.id != athlete.id)
        .filter_map(|(other, number)| Some((*other, *number.as_ref().ok()?)))
        .filter(|(other, measured)| other.sex != athlete.sex || same_implement(&own, measured))
        .collect();
    let level = level(athlete);
    let of_level = |other: &Athlete| other.sex == athlete.sex && self::level(other) == level;
    let alike = others.iter().filter(|(other, _)| of_level(other)).count();
    let narrow = alike >= FEWEST_OF_LEVEL;
    let kept = |other: &Athlete| !narrow || other.sex != athlete.sex || of_level(other);
    let people: Vec<Peer<Sex>> = others
        .iter()
        .filter(|(other, _)| kept(other))
        .map(|(other, measured)| peer(other, *measured))
        .collect();
    let same_sex = people.iter().filter(|one| one.kind == athlete.sex).count();
    let who = match (athlete.sex, same_sex) {
        (Sex::Female, 1) => "woman",
        (Sex::Female, _) => "women",
        (Sex::Male, 1) => "man",
        (Sex::Male, _) => "men",
    };
    let among = if narrow {
        format!("{same_sex} {who} of this level ({level})")
    } else {
        format!("{same_sex} {who} of all levels ({alike} {level})")
    };
    (people, among)
}

pub(super) fn same_implement(one: &Measured, other: &Measured) -> bool {
    (one.implement - other.implement).abs() < Mass::kilograms(0.5)
}

/// The first word of the level: "amateur", "professional".
fn level(athlete: &Athlete) -> &str {
    athlete.level.split_whitespace().next().unwrap_or("not stated")
}

/// The place in a few words: "upper third (anywhere from the 45th to the 88th percentile)".
pub fn place_in_short(place: &Place, peers: usize) -> String {
    match place {
        Place::Rank { place, of } => format!("number {place} of {of}"),
        Place::Percentile(Estimate { value, interval, .. }) => {
            let about = if peers < 10 {
                match *value {
                    p if p < 100.0 / 3.0 => "lower third".to_owned(),
                    p if p < 200.0 / 3.0 => "middle third".to_owned(),
                    _ => "upper third".to_owned(),
                }
            } else {
                format!("higher than about {value:.0} %")
            };
            format!("{about} ({})", words::anywhere_between(interval.low, interval.high))
        }
    }
}

/// The picture: the athlete among the peers, all as they would be at one body mass.
pub fn strip(yardstick: Yardstick, standing: &Standing) -> Strip {
    let place = &standing.place.value;
    let axis = yardstick.axis();
    let usual = place.usual.map(|over| Band { over, name: "nine peers in ten".to_owned() });
    Strip {
        title: yardstick.name().to_owned(),
        description: place.sentence.clone(),
        axis: Axis {
            quantity: at_mass(&axis, place.exponent.value, place.reference_mass_kg),
            ..axis
        },
        bands: usual.into_iter().collect(),
        earlier: place.scaled_peers.clone(),
        earlier_name: "peers".to_owned(),
        now: Some(Now {
            at: place.scaled_value,
            interval: None,
            word: "this athlete".to_owned(),
            asks_for_act: false,
        }),
        marks: Vec::new(),
    }
}

/// "peak force at 62 kg", or the plain name where body mass does not matter.
pub fn at_mass(axis: &Axis, exponent: f64, reference_mass_kg: f64) -> String {
    if exponent == 0.0 {
        axis.quantity.clone()
    } else {
        format!("{} at {reference_mass_kg:.0} kg", axis.quantity)
    }
}

/// Everyone of one sex on one scale.
pub(super) fn squad_strip(yardstick: Yardstick, scaled: &peers::Scaled, who: &str) -> Strip {
    let axis = yardstick.axis();
    let count = scaled.values.len();
    let description = match scaled.usual {
        Some(usual) => format!(
            "{count} {who}: mean {}, nine in ten expected from {} to {}.",
            axis.value(scaled.mean),
            axis.number(usual.low),
            axis.value(usual.high)
        ),
        None => format!("{count} {who}: mean {}, too few for a band.", axis.value(scaled.mean)),
    };
    Strip {
        title: who.to_owned(),
        description,
        axis: Axis {
            quantity: at_mass(&axis, scaled.exponent.value, scaled.reference_mass_kg),
            ..axis
        },
        bands: scaled
            .usual
            .map(|over| Band { over, name: "nine in ten".to_owned() })
            .into_iter()
            .collect(),
        earlier: scaled.values.clone(),
        earlier_name: who.to_owned(),
        now: None,
        marks: vec![Mark { at: scaled.mean, name: "mean".to_owned() }],
    }
}
