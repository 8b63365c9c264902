//! The single bouts of a fight night or a tournament: as typed, and as the plan shows them.

use super::typed;
use crate::flow::house::House;
use crate::flow::safety;
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::contest::{Contest, Outcome};
use cornerwork_core::camp::permission::Signed;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
use jiff::civil::Date;

/// Longest name of an opponent.
const LONGEST_NAME: usize = 60;

/// A bout as typed.
#[derive(Clone, Debug, Default)]
pub struct TypedContest {
    /// Whose.
    pub athlete: Option<AthleteId>,
    /// On which day.
    pub day: String,
    /// Against whom; may be empty.
    pub opponent: String,
    /// Code of how it ended; empty until it has.
    pub outcome: String,
    /// Whose rules bind after a stoppage.
    pub body: String,
}

/// The change that enters or corrects a bout.
///
/// # Errors
/// A sentence: what was wrong and what to do.
pub fn change(
    house: &House,
    gym: &Gym,
    bout: String,
    typed: &TypedContest,
    by: Signed,
) -> Result<CampChange, String> {
    let athlete = typed.athlete.clone().ok_or("Choose who boxes.")?;
    let day = typed::day(&typed.day)?;
    let opponent = typed.opponent.trim().chars().take(LONGEST_NAME).collect();
    let outcome = match typed.outcome.as_str() {
        "" => None,
        code => Some(Outcome::from_code(code).ok_or("Choose the result from the list.")?),
    };
    let contest = Contest { athlete, day, opponent, outcome };
    let stoppage = match outcome {
        Some(Outcome::Stopped(kind)) if !gym.stood_down_on(&contest) => {
            let athlete = contest.athlete.clone();
            Some(safety::stood_down(house, gym, athlete, (kind, day), &typed.body, by)?)
        }
        _ => None,
    };
    Ok(CampChange::ContestEntered { bout, contest, stoppage })
}

/// One bout of one athlete, for the plan.
#[derive(Debug)]
pub struct ContestLine<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// When.
    pub day: Date,
    /// Against whom; empty while nobody knows.
    pub opponent: &'a str,
    /// How it ended, or what is awaited.
    pub result: &'static str,
    /// What keeps the athlete out of it.
    pub barred: Option<String>,
}

impl ContestLine<'_> {
    /// Whether there is nothing to say of it but that it is to come.
    pub fn is_open(&self) -> bool {
        self.opponent.is_empty() && self.barred.is_none() && self.result == TO_COME
    }
}

const TO_COME: &str = "to come";

/// Bouts on record, each athlete's next one, and the first that a hard stop keeps an athlete out of.
pub fn lines<'a>(gym: &'a Gym, bout: &'a Bout, today: Date) -> Vec<ContestLine<'a>> {
    let athletes = bout.athletes.iter().filter_map(|id| gym.athlete(id));
    let mut lines: Vec<ContestLine<'a>> =
        athletes.flat_map(|athlete| lines_of(gym, bout, athlete, today)).collect();
    lines.sort_by_key(|line| line.day);
    lines
}

fn lines_of<'a>(
    gym: &'a Gym,
    bout: &'a Bout,
    athlete: &'a Athlete,
    today: Date,
) -> Vec<ContestLine<'a>> {
    let next = gym.camps.next_day_of(bout, &athlete.id, today);
    let mut days: Vec<Date> = gym.camps.days(bout).collect();
    days.sort_unstable();
    let open = |day: Date| {
        let contest = gym.camps.contests().on(&bout.id, &athlete.id, day);
        contest.and_then(|one| one.outcome).is_none()
    };
    let barred = |day: Date| gym.may_box(&athlete.id, day).err().map(|why| why.to_string());
    let first_barred = days.iter().copied().find(|day| open(*day) && barred(*day).is_some());
    let line = |day: Date| {
        let contest = gym.camps.contests().on(&bout.id, &athlete.id, day);
        let shown = contest.is_some() || next == Some(day) || first_barred == Some(day);
        let outcome = contest.and_then(|one| one.outcome);
        let awaited = if day < today { "result not entered" } else { TO_COME };
        shown.then(|| ContestLine {
            athlete,
            day,
            opponent: contest.map_or("", |one| &one.opponent),
            result: outcome.map_or(awaited, Outcome::word),
            barred: if outcome.is_none() { barred(day) } else { None },
        })
    };
    days.into_iter().filter_map(line).collect()
}

/// "Bouts: 17 October against Odo Fennick, won; 18 October, lost.": those of an athlete that ended.
pub fn in_words(gym: &Gym, bout: &Bout, athlete: &AthleteId) -> Option<String> {
    let ended = gym.camps.contests().of_athlete(&bout.id, athlete);
    let said: Vec<String> = ended
        .filter_map(|one| {
            let against = match one.opponent.as_str() {
                "" => String::new(),
                opponent => format!(" against {opponent}"),
            };
            let day = words::day(one.day);
            Some(format!("{day}{against}, {}", one.outcome?.word()))
        })
        .collect();
    (!said.is_empty()).then(|| format!("Bouts: {}.", said.join("; ")))
}
