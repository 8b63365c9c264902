//! The close of a session and of a camp: a rating, a note, what comes next; the line to the head
//! coach; and afterwards what was planned, done, and changed.

use crate::flow::house::House;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::progress::{self, Methods};
use crate::flow::squad_jumps::SquadJumps;
use crate::flow::{floor, picture};
use cornerwork_core::camp::hand_over::HandOver;
use cornerwork_core::camp::message::AfterSession;
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, LoadHistory, SessionKind};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::judgement::Verdict;
use cornerwork_core::session::restriction::{Barred, Restriction};
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// A camp is looked back on over this many days where nothing says when it began.
const LOOK_BACK_DAYS: i64 = 56;
/// Longest note and what comes next.
const LONGEST_NOTE: usize = 200;

/// A session as typed.
#[derive(Clone, Debug)]
pub struct TypedSession {
    /// Who.
    pub athlete: AthleteId,
    /// Short name of its kind.
    pub kind: String,
    /// The day; empty for today.
    pub date: String,
    /// 0 to 10, empty when nobody asked.
    pub exertion: String,
    /// Minutes, empty when not known.
    pub minutes: String,
    /// Rounds, empty for none.
    pub rounds: String,
    /// A note.
    pub note: String,
    /// What comes next.
    pub next: String,
}

/// The session that was typed, or a sentence why it cannot be.
///
/// # Errors
/// Which field, and how to type it.
pub fn session(house: &House, typed: &TypedSession) -> Result<ClosedSession, String> {
    let today = house.clock().today();
    let date = match typed.date.trim() {
        "" => today,
        text => {
            text.parse().map_err(|_| format!("\"{text}\" is no date. Type it like 2026-09-23."))?
        }
    };
    let exertion = match typed.exertion.trim() {
        "" => None,
        text => {
            let rating = text.replace(',', ".").parse().ok().and_then(Exertion::new);
            Some(rating.ok_or_else(|| {
                format!("\"{text}\" is no rating. How hard was it, from 0 to 10?")
            })?)
        }
    };
    let whole = |text: &str, what: &str| match text.trim() {
        "" => Ok(None),
        text => text
            .parse::<u16>()
            .map(Some)
            .map_err(|_| format!("\"{text}\" is no number of {what}. Type a whole number.")),
    };
    let kind = SessionKind::from_code(&typed.kind).ok_or("Choose what kind of session it was.")?;
    let rounds = whole(&typed.rounds, "rounds")?.unwrap_or(0);
    if rounds > 0 && !kind.has_head_contact() {
        return Err("Rounds are counted for sparring and bouts only. Choose one of them, or leave the rounds out.".to_owned());
    }
    Ok(ClosedSession {
        athlete: typed.athlete.clone(),
        date,
        kind,
        exertion,
        minutes: whole(&typed.minutes, "minutes")?,
        rounds,
        note: short(&typed.note),
        next: short(&typed.next),
    })
}

fn short(text: &str) -> String {
    text.trim().chars().take(LONGEST_NOTE).collect()
}

/// One athlete of the evening that is being closed.
#[derive(Debug)]
pub struct ToClose<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// Reps done tonight.
    pub reps: usize,
    /// What was closed already.
    pub closed: Option<&'a ClosedSession>,
}

/// The evening that is being closed.
#[derive(Debug)]
pub struct CloseView<'a> {
    /// Its date.
    pub date: Date,
    /// Minutes from its opening to the last rep, a first guess of how long it took.
    pub minutes: u16,
    /// Everyone of its groups.
    pub people: Vec<ToClose<'a>>,
    /// The line to the head coach.
    pub line: String,
}

/// The evening that is open or was open last; `None` when there was none.
pub fn view<'a>(house: &House, gym: &'a Gym) -> Option<CloseView<'a>> {
    let evening = gym.evening.as_ref()?;
    let people = evening
        .plan
        .groups
        .iter()
        .flatten()
        .filter_map(|id| gym.athlete(id))
        .map(|athlete| ToClose {
            athlete,
            reps: reps_of_evening(gym, evening, &athlete.id).count(),
            closed: gym
                .safety()
                .sessions(&athlete.id)
                .iter()
                .find(|one| one.date == evening.plan.date && one.kind == SessionKind::Strength),
        })
        .collect();
    Some(CloseView {
        date: evening.plan.date,
        minutes: minutes(gym, evening),
        people,
        line: after_session(house, gym, evening).line(),
    })
}

fn reps_of_evening<'a>(
    gym: &'a Gym,
    evening: &'a Evening,
    athlete: &AthleteId,
) -> impl Iterator<Item = &'a cornerwork_core::session::rep::Rep> {
    gym.reps_of(athlete)
        .rev()
        .take_while(|rep| rep.entry.at >= evening.opened_at)
        .filter(|rep| rep.entry.station.is_some())
}

/// Rounded up to five minutes.
fn minutes(gym: &Gym, evening: &Evening) -> u16 {
    let last = gym.reps.iter().rev().map(|rep| rep.entry.at).find(|at| *at >= evening.opened_at);
    let took = last.map_or(0, |last| last.duration_since(evening.opened_at).as_mins());
    u16::try_from((took + 4) / 5 * 5).unwrap_or(0)
}

/// What the line to the head coach is made of.
pub fn after_session(house: &House, gym: &Gym, evening: &Evening) -> AfterSession {
    let date = evening.plan.date;
    let present: BTreeSet<&AthleteId> = evening.plan.groups.iter().flatten().collect();
    let name = |id: &AthleteId| {
        gym.athlete(id).map_or_else(|| id.to_string(), |one| one.given_name().to_owned())
    };
    let mut after = AfterSession::default();
    let squad = SquadJumps::of_gym(house, gym);
    for id in &present {
        after.trained.push(name(id));
        let binding: Vec<&Restriction> = gym.restrictions(id, date).collect();
        if binding.iter().any(|one| one.barred == Barred::Everything) {
            after.stopped.push(name(id));
        } else if !binding.is_empty() {
            after.limited.push(name(id));
        }
        if is_low(house, gym, id, &squad, date) {
            after.low.push(name(id));
        }
    }
    for athlete in gym.athletes.values().filter(|one| !present.contains(&one.id)) {
        let everything = |one: &&Restriction| one.barred == Barred::Everything;
        if let Some(bar) = gym.restrictions(&athlete.id, date).find(everything) {
            after.out.push((name(&athlete.id), bar.earliest_end));
        }
    }
    after.best = best_of(house, gym, evening);
    after
}

fn is_low(house: &House, gym: &Gym, athlete: &AthleteId, squad: &SquadJumps, date: Date) -> bool {
    progress::usual_day(house, gym, athlete, squad)
        .is_ok_and(|day| day.date == date && day.today.value.readiness.asks_for_a_decision())
}

/// Of tonight's bests the one furthest above the best before it, as a share of it.
fn best_of(house: &House, gym: &Gym, evening: &Evening) -> Option<(String, String)> {
    let bests = evening.plan.groups.iter().flatten().flat_map(|athlete| {
        reps_of_evening(gym, evening, athlete).filter_map(|rep| {
            let exercise = house.exercise(gym, &rep.entry.exercise)?;
            let judgement = floor::judged(house, gym, exercise, rep);
            let (number, by) = (rep.number()?, judgement.difference?);
            (judgement.verdict == Verdict::Best && number > 0.0)
                .then(|| (by / number, rep.entry.athlete.clone(), exercise.name.to_lowercase()))
        })
    });
    let (_, athlete, what) = bests.max_by(|one, other| one.0.total_cmp(&other.0))?;
    Some((gym.athlete(&athlete)?.given_name().to_owned(), what))
}

/// The last seven days of an athlete and the four weeks before.
pub fn load_history(house: &House, gym: &Gym, athlete: &AthleteId) -> LoadHistory {
    LoadHistory::up_to(house.clock().today(), gym.safety().sessions(athlete))
}

/// What was planned, done and changed, for the debrief and for whoever coaches next.
pub fn hand_over(house: &House, gym: &Gym, athlete: &Athlete) -> HandOver {
    let to = house.clock().today();
    let from = to.saturating_sub(LOOK_BACK_DAYS.days());
    let sessions = gym.safety().sessions(&athlete.id);
    let recent: Vec<&ClosedSession> = sessions.iter().filter(|one| one.date >= from).collect();
    let mut keep: Vec<(Date, String)> = recent
        .iter()
        .filter(|one| !one.note.is_empty())
        .map(|one| (one.date, one.note.clone()))
        .collect();
    keep.reverse();
    HandOver {
        athlete: athlete.id.clone(),
        name: athlete.name.clone(),
        from,
        to,
        done: done(house, gym, athlete, from, &recent),
        changed: changed(house, gym, athlete),
        best_loads: best_loads(house, gym, athlete),
        avoid: gym.restrictions(&athlete.id, to).map(in_words).collect(),
        keep,
    }
}

/// A restriction in words fit for everyone.
pub fn in_words(one: &Restriction) -> String {
    let what = match &one.barred {
        Barred::Everything => "all training".to_owned(),
        Barred::Exercises(exercises) => list(exercises),
        Barred::OneSide { exercises, side } => format!("{}, {}", list(exercises), side.word()),
    };
    let end = match (one.earliest_end, one.needs_clearance) {
        (Some(end), true) => format!("earliest {}, needs clearance", end.strftime("%-d %B")),
        (Some(end), false) => format!("until {}", end.strftime("%-d %B")),
        (None, _) => "until cleared".to_owned(),
    };
    let instead = one.instead.as_ref().map_or_else(String::new, |it| format!(" Instead: {it}."));
    format!("No {what}: {}, {end}.{instead}", one.ground)
}

fn list(exercises: &[cornerwork_core::exercise::ExerciseId]) -> String {
    let words: Vec<String> = exercises.iter().map(|one| one.as_str().replace('-', " ")).collect();
    words.join(", ")
}

fn done(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    from: Date,
    closed: &[&ClosedSession],
) -> Vec<String> {
    let clock = house.clock();
    let reps = gym.reps_of(&athlete.id).filter(|rep| clock.date_of(rep.entry.at) >= from);
    let (mut count, mut days) = (0_u32, BTreeSet::new());
    for rep in reps {
        count += 1;
        days.insert(clock.date_of(rep.entry.at));
    }
    let mut sentences = Vec::new();
    if count > 0 {
        sentences.push(format!("{count} reps on {} days.", days.len()));
    }
    let rated: Vec<f64> = closed.iter().filter_map(|one| one.load()).collect();
    if !closed.is_empty() {
        let rounds: u32 = closed.iter().map(|one| u32::from(one.rounds)).sum();
        sentences.push(format!(
            "{} sessions closed, {} with a rating: {:.0} units of load; {rounds} rounds of sparring.",
            closed.len(),
            rated.len(),
            rated.iter().sum::<f64>()
        ));
    }
    sentences
}

fn changed(house: &House, gym: &Gym, athlete: &Athlete) -> Vec<String> {
    let squad = SquadJumps::of_gym(house, gym);
    let jump = progress::change(house, gym, &athlete.id, &squad, Methods::KeptApart)
        .map(|change| change.value.sentence);
    let mass = crate::flow::body_mass::view(house, gym, athlete).trend.ok().map(|trend| {
        let rate = trend.percent_a_week();
        format!(
            "Body mass {:+.1} % a week over the last four weeks ({:+.1} to {:+.1}).",
            rate.value, rate.interval.low, rate.interval.high
        )
    });
    jump.ok().into_iter().chain(mass).collect()
}

fn best_loads(house: &House, gym: &Gym, athlete: &Athlete) -> Vec<(String, String)> {
    let Ok(exercise) = plan::exercise(house, gym, LOADED_JUMP) else { return Vec::new() };
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS);
    let band = momentum.ok().and_then(|one| one.profile.value.band(picture::FLAT_TOP_LOSS));
    let words = band
        .map(|band| format!("{:.0} to {:.0} kg", band.from.in_kilograms(), band.to.in_kilograms()));
    words.into_iter().map(|words| (exercise.name.clone(), words)).collect()
}
