//! Profiles of the gym's athletes, from the reps on record.
//!
//! A profile is derived state: computed when asked for, kept while its reps stay the same, and
//! forgotten at shut-down.

use crate::flow::house::House;
use crate::flow::peers::Standings;
use crate::flow::picture::{self, FLAT_TOP_LOSS};
use crate::flow::program::kept::Kept;
use crate::flow::squad_curve::{SquadLines, Squads};
use crate::flow::trials::Trials;
use crate::flow::{jumps_by_method, reps_by_method};
use cornerwork_core::exercise::{Exercise, ExerciseId, LoadModel};
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, next_load};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumError, LoadMomentumPriors, LoadMomentumProfile, LoadMomentumSettings,
    LoadedJump,
};
use cornerwork_core::profile::load_velocity::{
    LoadVelocityError, LoadVelocityProfile, LoadVelocitySettings,
};
use cornerwork_core::report::figure::Hill;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::words;
use jiff::civil::Date;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Jumps and reps of this many days make one profile. Only the shape of the fall with load decides
/// where momentum peaks, and it moves slowly; good and bad days, which would bend it, even out over
/// several of them (common practice, no source).
pub const PROFILE_DAYS: i32 = 28;

/// The jumps of one profile.
#[derive(Clone, Debug, PartialEq)]
pub struct JumpSet {
    /// From this day.
    pub from: Date,
    /// To this day, the last with a loaded jump.
    pub to: Date,
    /// Body mass the momentum is reckoned with.
    pub body_mass: Mass,
    /// How much the mat reads high; taken off every height by flight time.
    pub mat_offset: Length,
    /// How all of the jumps were measured.
    pub method: HeightMethod,
    /// Jumps of the same weeks by another method, left out: methods are never mixed.
    pub left_out: Option<(HeightMethod, usize)>,
    /// How many of the jumps were made before the last day.
    pub jumps_before_last_day: usize,
    /// The jumps, in order, with that taken off.
    pub jumps: Vec<LoadedJump>,
}

impl JumpSet {
    /// How many of the jumps were made before a day.
    pub fn before(&self, today: Date) -> usize {
        if self.to < today { self.jumps.len() } else { self.jumps_before_last_day }
    }
}

/// A momentum profile with the jumps behind it.
#[derive(Debug)]
pub struct Momentum {
    /// The jumps.
    pub set: JumpSet,
    /// The profile.
    pub profile: Noted<LoadMomentumProfile>,
    hill: OnceLock<Hill>,
    to_use: OnceLock<LoadToUse>,
    next: Mutex<Option<(NextAsked, NextLoad)>>,
}

impl Momentum {
    /// The picture without posts: it costs some ten milliseconds and is the same for every page,
    /// so it is computed once.
    pub fn hill(&self) -> &Hill {
        self.hill.get_or_init(|| picture::hill_of(&self.profile.value, None, None))
    }

    /// The loads that cost next to nothing of the peak, as far as they were jumped with; kept like
    /// the picture.
    pub fn to_use(&self) -> LoadToUse {
        *self.to_use.get_or_init(|| LoadToUse::of(&self.profile.value, FLAT_TOP_LOSS))
    }

    /// The next load among those that can be hung, kept like the picture.
    pub fn next(&self, asked: NextAsked) -> NextLoad {
        let mut kept = self.next.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, next)) = kept.as_ref().filter(|(before, _)| *before == asked) {
            return next.clone();
        }
        let NextAsked { loads, heaviest_next, rules } = &asked;
        let fresh = next_load(Some(&self.profile.value), loads, *heaviest_next, rules);
        *kept = Some((asked, fresh.clone()));
        fresh
    }
}

/// What the next load is chosen by.
#[derive(Clone, Debug, PartialEq)]
pub struct NextAsked {
    /// What can be hung.
    pub loads: Vec<Mass>,
    /// The heaviest of it that may be hung next, by the ramp.
    pub heaviest_next: Mass,
    /// Limits of the test.
    pub rules: NextLoadRules,
}

/// Whose profile, in what, as it stood when, and from how many days.
type MomentumKey = (AthleteId, ExerciseId, Date, i32);

/// Profiles kept while their jumps stay the same, and what is made from them.
#[derive(Debug, Default)]
pub struct Profiles {
    /// Numbers of the recordings on file.
    pub trials: Trials,
    momentum: Mutex<HashMap<MomentumKey, Arc<Momentum>>>,
    /// What sessions worked out from them.
    pub program: Kept,
    /// Places among peers.
    pub standings: Standings,
    /// Lines of the squad behind each athlete.
    pub squads: Squads,
    /// The same for lifts by velocity.
    pub squad_lines: SquadLines,
}

/// Why there is no momentum profile, in words.
pub type Absent = String;

impl Profiles {
    /// Forgets everything computed so far: whoever was deleted is in none of it any more.
    pub fn forget_all(&self) {
        self.trials.clear();
        self.momentum.lock().unwrap_or_else(PoisonError::into_inner).clear();
        self.program.clear();
        self.standings.clear();
        self.squads.clear();
        self.squad_lines.clear();
    }

    /// The momentum profile of an athlete in a loaded jump, from the days up to the last jump.
    pub fn momentum(
        &self,
        house: &House,
        gym: &Gym,
        athlete: &AthleteId,
        exercise: &Exercise,
        days: i32,
    ) -> Result<Arc<Momentum>, Absent> {
        self.momentum_until(house, gym, athlete, exercise, Date::MAX, days)
    }

    /// The same as it stood at the end of a day: from the days up to the last jump not after it.
    pub fn momentum_until(
        &self,
        house: &House,
        gym: &Gym,
        athlete: &AthleteId,
        exercise: &Exercise,
        until: Date,
        days: i32,
    ) -> Result<Arc<Momentum>, Absent> {
        let set = jumps_up_to(house, gym, athlete, exercise, until, days)?;
        let key = (athlete.clone(), exercise.id.clone(), until, days);
        let mut kept = self.momentum.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(same) = kept.get(&key).filter(|kept| kept.set == set) {
            return Ok(Arc::clone(same));
        }
        let before = kept.get(&key).map(|before| &before.profile.value);
        let fresh = fit(set, exercise, before).map_err(|error| error.to_string())?;
        let fresh = Arc::new(fresh);
        kept.insert(key, Arc::clone(&fresh));
        Ok(fresh)
    }
}

/// A jump more is weighed in by what was laid out for the profile before it.
fn fit(
    set: JumpSet,
    exercise: &Exercise,
    before: Option<&LoadMomentumProfile>,
) -> Result<Momentum, LoadMomentumError> {
    let settings = LoadMomentumSettings { priors: priors(exercise), ..Default::default() };
    let mut profile = match before.filter(|before| before.body_mass() == set.body_mass) {
        Some(before) => before.with_jumps(&set.jumps)?,
        None => LoadMomentumProfile::fit(set.body_mass, &set.jumps, &settings)?,
    };
    if set.mat_offset != Length::ZERO && set.method == HeightMethod::FlightTime {
        let text = format!(
            "The mat reads {:.1} cm high; that is taken off every height here.",
            set.mat_offset.in_centimetres()
        );
        profile.notes.push(Note::new("mat-offset-taken-off", text));
    }
    profile.notes.extend(jumps_by_method::kept_apart(&set));
    if set.from != set.to {
        let text = format!(
            "Jumps of several days ({} to {}) stand together: how an athlete differs from day to \
             day counts here as noise of a jump.",
            words::day(set.from),
            words::day(set.to)
        );
        profile.notes.push(Note::new("several-days", text));
    }
    Ok(Momentum {
        set,
        profile,
        hill: OnceLock::new(),
        to_use: OnceLock::new(),
        next: Mutex::new(None),
    })
}

fn priors(exercise: &Exercise) -> LoadMomentumPriors {
    let on_hex_bar = exercise.id.as_str().contains("trap-bar");
    if on_hex_bar { LoadMomentumPriors::HEX_BAR } else { LoadMomentumPriors::STRAIGHT_BAR }
}

/// The jumps of the days up to the last one not after a day.
///
/// # Errors
/// A sentence when there are none or nobody was weighed.
pub fn jumps_up_to(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    until: Date,
    days: i32,
) -> Result<JumpSet, Absent> {
    if exercise.load_model != LoadModel::SystemMass {
        return Err(format!("{} is not a loaded jump.", exercise.name));
    }
    let Some((_, body_mass)) = gym.body_mass(athlete) else {
        return Err("No body mass on record: weigh in first.".to_owned());
    };
    let own = jumps_by_method::chosen(house, gym, athlete, exercise, until, days)?;
    let inside = &own.jumps;
    let from = inside.iter().map(|(date, _)| *date).min().unwrap_or(own.to);
    Ok(JumpSet {
        from,
        to: own.to,
        body_mass,
        mat_offset: gym.mat_reads_high_by,
        method: own.method,
        left_out: own.left_out,
        jumps_before_last_day: inside.iter().filter(|(date, _)| *date < own.to).count(),
        jumps: inside.iter().map(|(_, jump)| *jump).collect(),
    })
}

/// The load-velocity line of an athlete in a lift, one side, from the days up to the last rep.
pub fn velocity(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    side: Option<Side>,
    days: i32,
) -> Result<Noted<LoadVelocityProfile>, LoadVelocityError> {
    let (reps, apart) = reps_by_method::chosen(house, gym, athlete, exercise, side, days);
    let mut profile = LoadVelocityProfile::from_reps(&reps, LoadVelocitySettings::default())?;
    profile.notes.extend(apart);
    Ok(profile)
}
