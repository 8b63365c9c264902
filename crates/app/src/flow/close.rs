//! The close of a session and of a camp: a rating, a note, what comes next; the line to the head
//! coach; and afterwards what was planned, done, and changed.

mod table;

pub use table::{lines, not_rated, not_rated_in_words};

use crate::flow::camp::planned;
use crate::flow::day;
use crate::flow::house::House;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::progress::{self, Methods};
use crate::flow::squad_jumps::SquadJumps;
use crate::flow::{barred, judged};
use cornerwork_core::camp::hand_over::HandOver;
use cornerwork_core::camp::message::{AfterSession, Trained};
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, LoadHistory, SessionKind};
use cornerwork_core::entry::decimal;
use cornerwork_core::profile::change::Change;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::judgement::{Comparable, Verdict};
use cornerwork_core::session::program::{SessionId, SessionPlan};
use cornerwork_core::session::rep::Rep;
use cornerwork_core::session::restriction::{Barred, Restriction};
use cornerwork_core::words::counted;
use jiff::civil::{Date, Time};
use jiff::{Timestamp, ToSpan};
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
        text => day::typed(text, "the session")?,
    };
    let exertion = match typed.exertion.trim() {
        "" => None,
        text => {
            let rating = decimal(text).and_then(Exertion::new);
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

/// One athlete of the session that is being closed.
#[derive(Debug)]
pub struct ToClose<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// Reps done.
    pub reps: usize,
    /// What was closed already.
    pub closed: Option<&'a ClosedSession>,
}

/// The session that is being closed.
#[derive(Debug)]
pub struct CloseView<'a> {
    /// Its date.
    pub date: Date,
    /// A first guess of how long it took: to the last rep, or as planned where it was on paper;
    /// `None` while nothing says.
    pub minutes: Option<u16>,
    /// Everyone who was to come.
    pub people: Vec<ToClose<'a>>,
    /// Whether it is the evening that runs.
    pub runs: bool,
    /// Who trained and is not rated yet, by given name.
    pub not_rated: Vec<String>,
    /// The line to each head coach about their athletes; one without a name for those of nobody.
    pub to_coaches: Vec<(Option<String>, String)>,
}

/// A session as it was held: an evening on the floor, or a planned one that was on paper.
struct Held<'a> {
    date: Date,
    people: Vec<&'a AthleteId>,
    from: Timestamp,
    until: Timestamp,
    minutes: Option<u16>,
}

impl<'a> Held<'a> {
    /// The session asked for where it was on paper, else the evening that is open or was open last.
    fn asked(house: &House, gym: &'a Gym, session: Option<&SessionId>) -> Option<Self> {
        let evening = gym.evening.as_ref();
        let on_paper = session
            .filter(|id| evening.is_none_or(|evening| evening.plan.session.as_ref() != Some(*id)))
            .map(|id| gym.program.session(id).and_then(|plan| Held::on_paper(house, plan)));
        on_paper.unwrap_or_else(|| evening.map(Held::on_the_floor))
    }

    fn on_the_floor(evening: &'a Evening) -> Self {
        let people = evening.plan.groups.iter().flatten().collect();
        let (date, from) = (evening.plan.date, evening.opened_at);
        Self { date, people, from, until: Timestamp::MAX, minutes: None }
    }

    fn on_paper(house: &House, plan: &'a SessionPlan) -> Option<Self> {
        let date = plan.date.filter(|date| *date <= house.clock().today())?;
        // Typed in before it was to begin, a rep is of the day all the same.
        let from = house.clock().moment(date, Time::midnight());
        let until = house.clock().moment(date.tomorrow().ok()?, Time::midnight());
        let people = plan.people.iter().map(|presence| &presence.athlete).collect();
        Some(Self { date, people, from, until, minutes: Some(plan.minutes) })
    }

    fn reps<'g>(&self, gym: &'g Gym, athlete: &AthleteId) -> impl Iterator<Item = &'g Rep> {
        let (from, until) = (self.from, self.until);
        // What was typed in from paper is entered later than it was done.
        gym.reps_of(athlete)
            .filter(move |rep| (from..until).contains(&rep.entry.at))
            .filter(|rep| rep.entry.station.is_some())
    }

    /// How it was closed for an athlete, once it was.
    fn closed<'g>(&self, gym: &'g Gym, athlete: &AthleteId) -> Option<&'g ClosedSession> {
        let mut sessions = gym.safety().sessions(athlete).iter();
        sessions.find(|one| one.date == self.date && one.kind == SessionKind::Strength)
    }

    /// Rounded up to five minutes; not zero where there is no rep to count to.
    fn minutes(&self, gym: &Gym) -> Option<u16> {
        let times = self.people.iter().flat_map(|id| self.reps(gym, id)).map(|rep| rep.entry.at);
        let took = || Some(times.max()?.duration_since(self.from).as_mins());
        let rounded = |took: i64| u16::try_from((took + 4) / 5 * 5).ok().filter(|took| *took > 0);
        self.minutes.or_else(|| took().and_then(rounded))
    }
}

/// The evening that is open or was open last, or a session that was on paper; `None` when there
/// was none.
pub fn view<'a>(house: &House, gym: &'a Gym, session: Option<&SessionId>) -> Option<CloseView<'a>> {
    let held = Held::asked(house, gym, session)?;
    let people = held
        .people
        .iter()
        .filter_map(|id| gym.athlete(id))
        .map(|athlete| ToClose {
            athlete,
            reps: held.reps(gym, &athlete.id).count(),
            closed: held.closed(gym, &athlete.id),
        })
        .collect();
    let (date, minutes) = (held.date, held.minutes(gym));
    let to_coaches = to_coaches(house, gym, &held);
    let not_rated = held.not_rated(gym);
    let runs = gym.open_evening().is_some_and(|evening| evening.opened_at == held.from);
    Some(CloseView { date, minutes, people, runs, not_rated, to_coaches })
}

/// One line a head coach, and one for athletes of whom none is named.
fn to_coaches(house: &House, gym: &Gym, held: &Held<'_>) -> Vec<(Option<String>, String)> {
    let coach = |id: &AthleteId| gym.safety().head_coach(id).map(str::to_owned);
    let mut coaches: Vec<Option<String>> = held.people.iter().map(|id| coach(id)).collect();
    // By name; those of nobody last.
    coaches.sort_unstable_by_key(|name| (name.is_none(), name.clone()));
    coaches.dedup();
    if coaches.is_empty() {
        coaches.push(None);
    }
    let squad = SquadJumps::of_gym(house, gym);
    let line = |name: Option<String>| {
        let theirs = |id: &AthleteId| coach(id) == name;
        let line = after_session(house, gym, held, &squad, theirs).line();
        (name, line)
    };
    coaches.into_iter().map(line).collect()
}

/// What the line to a head coach is made of, about those athletes who are theirs.
fn after_session(
    house: &House,
    gym: &Gym,
    held: &Held<'_>,
    squad: &SquadJumps,
    theirs: impl Fn(&AthleteId) -> bool,
) -> AfterSession {
    let date = held.date;
    let present: BTreeSet<&AthleteId> = held.people.iter().copied().collect();
    let name = |id: &AthleteId| gym.given_name(id);
    let mut after = AfterSession::default();
    for id in present.iter().filter(|id| theirs(id)) {
        let binding: Vec<&Restriction> = gym.restrictions(id, date).collect();
        let stopped = binding.iter().any(|one| one.barred == Barred::Everything);
        let recorded = held.reps(gym, id).next().is_some() || held.closed(gym, id).is_some();
        let how = if stopped {
            Trained::StoppedEarly
        } else if binding.is_empty() {
            Trained::Whole
        } else {
            Trained::Limited
        };
        if stopped || recorded {
            after.trained.push((name(id), how));
        } else {
            after.unrecorded.push(name(id));
        }
        if is_low(house, gym, id, squad, date) {
            after.low.push(name(id));
        }
    }
    let absent = gym.athletes.values().filter(|one| !present.contains(&one.id));
    for athlete in absent.filter(|one| theirs(&one.id)) {
        let everything = |one: &&Restriction| one.barred == Barred::Everything;
        if let Some(bar) = gym.restrictions(&athlete.id, date).find(everything) {
            after.out.push((name(&athlete.id), bar.earliest_end));
        }
    }
    after.bests = bests_of(house, gym, held, theirs);
    after
}

fn is_low(house: &House, gym: &Gym, athlete: &AthleteId, squad: &SquadJumps, date: Date) -> bool {
    progress::usual_day(house, gym, athlete, squad)
        .is_ok_and(|day| day.date == date && day.today.value.readiness.asks_for_a_decision())
}

/// Tonight's bests, the furthest above the best before it first, as a share of it; one each. A best
/// counts over an earlier day only: of a load first jumped tonight there is none.
fn bests_of(
    house: &House,
    gym: &Gym,
    held: &Held<'_>,
    theirs: impl Fn(&AthleteId) -> bool,
) -> Vec<(String, String)> {
    let of_athlete = |athlete: &&AthleteId| {
        held.reps(gym, athlete)
            .filter_map(|rep| {
                let exercise = house.exercise(gym, &rep.entry.exercise)?;
                let view = judged::view(house, gym, exercise, rep);
                let (number, by) = (rep.number()?, view.judgement.difference?);
                let is_best = view.judgement.verdict == Verdict::Best
                    && view.comparable == Comparable::EarlierDay;
                let what = exercise.name.to_lowercase();
                (is_best && number > 0.0).then(|| (by / number, gym.given_name(athlete), what))
            })
            .max_by(|one, other| one.0.total_cmp(&other.0))
    };
    let mut bests: Vec<_> = held
        .people
        .iter()
        .copied()
        .filter(|id| theirs(id))
        .filter_map(|id| of_athlete(&id))
        .collect();
    bests.sort_by(|one, other| other.0.total_cmp(&one.0));
    bests.into_iter().map(|(_, name, what)| (name, what)).collect()
}

/// The last seven days of an athlete and the four weeks before.
pub fn load_history(house: &House, gym: &Gym, athlete: &AthleteId) -> LoadHistory {
    LoadHistory::up_to(house.clock().today(), gym.safety().sessions(athlete))
}

/// Whether the jump changed, as far as anyone can say.
pub fn jump_change(house: &House, gym: &Gym, athlete: &Athlete) -> Option<Change> {
    let squad = SquadJumps::of_gym(house, gym);
    let change = progress::change(house, gym, &athlete.id, &squad, Methods::KeptApart);
    change.ok().map(|change| change.value)
}

/// What was planned, done and changed, for the debrief and for whoever coaches next; `jump` is the
/// [`jump_change`].
pub fn hand_over(house: &House, gym: &Gym, athlete: &Athlete, jump: Option<&Change>) -> HandOver {
    let to = house.clock().today();
    let camp = planned::latest(gym, &athlete.id, to).and_then(|(_, plan)| plan.phases.first());
    let from = camp.map_or(to.saturating_sub(LOOK_BACK_DAYS.days()), |first| first.from);
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
        changed: changed(house, gym, athlete, jump),
        best_loads: best_loads(house, gym, athlete),
        avoid: gym
            .restrictions(&athlete.id, to)
            .map(|one| barred::with_ground(house, gym, one))
            .collect(),
        keep,
    }
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
    let (mut count, mut days) = (0, BTreeSet::new());
    for rep in reps {
        count += 1;
        days.insert(clock.date_of(rep.entry.at));
    }
    let mut sentences = planned::sentences(house, gym, &athlete.id, clock.today());
    if count > 0 {
        sentences.push(format!("{} on {}.", counted(count, "rep"), counted(days.len(), "day")));
    }
    let rated: Vec<f64> = closed.iter().filter_map(|one| one.load()).collect();
    if !closed.is_empty() {
        let rounds: u32 = closed.iter().map(|one| u32::from(one.rounds)).sum();
        let sparred = if rounds > 0 {
            format!("; {} of sparring", counted(rounds, "round"))
        } else {
            String::new()
        };
        let load = match rated.len() {
            0 => "none with rating and minutes, so the load is not known".to_owned(),
            with => {
                let load: f64 = rated.iter().sum();
                format!("{with} with rating and minutes: {load:.0} units of load")
            }
        };
        sentences.push(format!("{} closed, {load}{sparred}.", counted(closed.len(), "session")));
    }
    sentences
}

fn changed(house: &House, gym: &Gym, athlete: &Athlete, jump: Option<&Change>) -> Vec<String> {
    let mass = crate::flow::body_mass::view(house, gym, athlete).trend.ok().map(|trend| {
        let rate = trend.percent_a_week();
        let said = format!(
            "Body mass {:+.1} % a week over the last four weeks ({:+.1} to {:+.1}).",
            rate.value, rate.interval.low, rate.interval.high
        );
        said.replace('-', "−")
    });
    jump.map(|change| change.sentence.clone()).into_iter().chain(mass).collect()
}

fn best_loads(house: &House, gym: &Gym, athlete: &Athlete) -> Vec<(String, String)> {
    let Ok(exercise) = plan::exercise(house, gym, LOADED_JUMP) else { return Vec::new() };
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS);
    let to_use = momentum.ok().map(|one| one.to_use());
    to_use.into_iter().map(|to_use| (exercise.name.clone(), to_use.to_string())).collect()
}
