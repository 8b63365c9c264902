//! Training load: how hard a session felt times the minutes it took.
//!
//! Load of a session: rating of exertion from 0 to 10 times its minutes, in arbitrary units
//! (Foster and others 2001, J Strength Cond Res 15:109-115); asked ten minutes after the end in
//! boxers (Uchida and others 2014, J Sports Sci Med 13:59-65). Monotony and strain: Foster 1998,
//! Med Sci Sports Exerc 30:1164-1168. They describe what was done. They foretell no injury
//! (Impellizzeri and others 2020, Int J Sports Physiol Perform 15:907), and no ratio of recent to
//! older load is offered.

use crate::estimate::Interval;
use crate::session::athlete::AthleteId;
use crate::words::{self, counted};
use crate::working::{Input, Working};
use jiff::ToSpan;
use jiff::civil::Date;
use thiserror::Error;

/// How hard a whole session felt, from 0 (rest) to 10 (the hardest ever).
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Exertion(f64);

impl Exertion {
    /// A rating; `None` outside 0 to 10.
    pub fn new(rating: f64) -> Option<Self> {
        (0.0..=10.0).contains(&rating).then_some(Self(rating))
    }
    /// The rating.
    pub const fn rating(self) -> f64 {
        self.0
    }
}

/// What a session was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SessionKind {
    /// Strength and power: what this program runs.
    Strength,
    /// Boxing without an opponent who hits back: technique, bags, pads.
    Boxing,
    /// Sparring.
    Sparring,
    /// Running and other conditioning.
    Conditioning,
    /// A bout.
    Bout,
}

impl SessionKind {
    /// Every kind.
    pub const ALL: [Self; 5] =
        [Self::Strength, Self::Boxing, Self::Sparring, Self::Conditioning, Self::Bout];

    /// Short stable name.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Strength => "strength",
            Self::Boxing => "boxing",
            Self::Sparring => "sparring",
            Self::Conditioning => "conditioning",
            Self::Bout => "bout",
        }
    }
    /// The kind of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.code() == code)
    }
    /// Whether the head may be hit.
    pub const fn has_head_contact(self) -> bool {
        matches!(self, Self::Sparring | Self::Bout)
    }
}

/// One session of one athlete as it was closed.
#[derive(Clone, Debug, PartialEq)]
pub struct ClosedSession {
    /// Who.
    pub athlete: AthleteId,
    /// The day at the gym.
    pub date: Date,
    /// What it was.
    pub kind: SessionKind,
    /// How hard it felt; absent when nobody asked.
    pub exertion: Option<Exertion>,
    /// How long it took; absent when not known.
    pub minutes: Option<u16>,
    /// Rounds sparred or boxed; zero for sessions without an opponent.
    pub rounds: u16,
    /// What is worth remembering, in a few words; may be empty.
    pub note: String,
    /// What comes next time, in a few words; may be empty.
    pub next: String,
}

impl ClosedSession {
    /// Load in arbitrary units; absent while rating or minutes are.
    pub fn load(&self) -> Option<f64> {
        Some(self.exertion?.rating() * f64::from(self.minutes?))
    }
}

/// Seven days of one athlete.
#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// First day.
    pub first: Date,
    /// Sum of the loads that are known, in arbitrary units.
    pub load: f64,
    /// Sessions that count in it.
    pub rated: usize,
    /// Sessions without a rating or minutes: the true load is higher.
    pub unrated: usize,
    /// Rounds sparred and boxed.
    pub rounds: u32,
    /// Load of each of the seven days.
    days: [f64; DAYS],
    days_with_entry: usize,
}

/// Days of a week.
const DAYS: usize = 7;
/// Days of a week that must hold a session before its monotony says anything.
const FEWEST_DAYS: usize = 4;
/// Spread of the daily loads under which monotony grows beyond all meaning, in arbitrary units.
const LEAST_SPREAD: f64 = 1.0;
/// Earlier weeks that make an athlete's own range.
pub const RANGE_WEEKS: usize = 4;

/// Why a number about load is not given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoNumber {
    /// A session without rating or minutes.
    #[error(
        "{} without a rating or minutes, so the week's load is not known",
        counted(*.unrated, "session")
    )]
    Unrated {
        /// How many.
        unrated: usize,
    },
    /// Too few days with a session.
    #[error("sessions on {} only; {FEWEST_DAYS} are needed", counted(*.days, "day"))]
    TooFewDays {
        /// How many.
        days: usize,
    },
    /// All days alike.
    #[error("the days are all alike, so their spread is nothing to divide by")]
    AllAlike,
    /// Too few weeks before this one.
    #[error("{weeks} of the four weeks before are fully rated; all four are needed")]
    TooFewWeeks {
        /// How many.
        weeks: usize,
    },
}

impl Week {
    /// The seven days from `first`, of these sessions of one athlete.
    pub fn from(first: Date, sessions: &[ClosedSession]) -> Self {
        let mut week = Self {
            first,
            load: 0.0,
            rated: 0,
            unrated: 0,
            rounds: 0,
            days: [0.0; DAYS],
            days_with_entry: 0,
        };
        let mut seen = [false; DAYS];
        for session in sessions {
            let day = usize::try_from((session.date - first).get_days()).unwrap_or(DAYS);
            if day >= DAYS {
                continue;
            }
            seen[day] = true;
            week.rounds += u32::from(session.rounds);
            match session.load() {
                Some(load) => {
                    week.rated += 1;
                    week.load += load;
                    week.days[day] += load;
                }
                None => week.unrated += 1,
            }
        }
        week.days_with_entry = seen.into_iter().filter(|seen| *seen).count();
        week
    }

    /// The last of the seven days.
    pub fn last(&self) -> Date {
        self.first.saturating_add(6.days())
    }

    /// Whether anything was entered.
    pub const fn is_empty(&self) -> bool {
        self.rated + self.unrated == 0
    }

    /// The load, when every session of the week is rated and there is one.
    ///
    /// # Errors
    /// [`NoNumber::Unrated`], [`NoNumber::TooFewDays`].
    pub const fn known_load(&self) -> Result<f64, NoNumber> {
        if self.unrated > 0 {
            return Err(NoNumber::Unrated { unrated: self.unrated });
        }
        if self.rated == 0 { Err(NoNumber::TooFewDays { days: 0 }) } else { Ok(self.load) }
    }

    /// Mean of the daily loads over their standard deviation (n - 1), a day without an entry
    /// taken as rest. Foster 1998.
    ///
    /// # Errors
    /// Why there is none.
    pub fn monotony(&self) -> Result<f64, NoNumber> {
        self.known_load()?;
        if self.days_with_entry < FEWEST_DAYS {
            return Err(NoNumber::TooFewDays { days: self.days_with_entry });
        }
        let deviation = self.daily_deviation();
        if deviation < LEAST_SPREAD {
            return Err(NoNumber::AllAlike);
        }
        Ok(self.load / DAYS as f64 / deviation)
    }

    /// Load of the week times its monotony, in arbitrary units. Foster 1998.
    ///
    /// # Errors
    /// Why there is none.
    pub fn strain(&self) -> Result<f64, NoNumber> {
        Ok(self.load * self.monotony()?)
    }

    fn daily_deviation(&self) -> f64 {
        let mean = self.load / DAYS as f64;
        let squares: f64 = self.days.iter().map(|load| (load - mean).powi(2)).sum();
        (squares / (DAYS - 1) as f64).sqrt()
    }

    /// How load, monotony and strain came about.
    pub fn working(&self) -> Working {
        let mut steps = vec![format!(
            "load = sum of rating × minutes over {} sessions = {:.0}",
            self.rated, self.load
        )];
        match (self.monotony(), self.strain()) {
            (Ok(monotony), Ok(strain)) => steps.extend([
                format!(
                    "monotony = mean of the seven days / their standard deviation (n − 1) = {:.0} / {:.0} = {monotony:.2}",
                    self.load / DAYS as f64,
                    self.daily_deviation()
                ),
                format!("strain = {:.0} × {monotony:.2} = {strain:.0}", self.load),
            ]),
            (Err(reason), _) | (_, Err(reason)) => {
                steps.push(format!("no monotony, no strain: {reason}"));
            }
        }
        Working {
            title: format!("load of the seven days to {}", words::day(self.last())),
            method: "session-rating-load",
            version: 1,
            inputs: vec![
                Input::new("sessions with rating and minutes", self.rated.to_string()),
                Input::new("sessions without", self.unrated.to_string()),
                Input::new("rounds sparred", self.rounds.to_string()),
            ],
            steps,
            source: "Foster and others 2001, J Strength Cond Res 15:109; Foster 1998, Med Sci Sports Exerc 30:1164",
            doubt: "A day without an entry counts as rest, so a session nobody entered makes the week look lighter and less even. The rating is the athlete's own word. These numbers describe what was done; research does not show that they predict or prevent injury.".to_owned(),
        }
    }
}

/// Where a week lies in an athlete's own range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Under the lowest of the four weeks before.
    Below,
    /// Among them.
    Inside,
    /// Over the highest.
    Above,
}

impl Place {
    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Below => "below the own four weeks",
            Self::Inside => "as in the own four weeks",
            Self::Above => "above the own four weeks",
        }
    }
}

/// An athlete's last seven days and the four weeks before them.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadHistory {
    /// The seven days that end today.
    pub now: Week,
    /// The weeks before, the latest first.
    pub before: Vec<Week>,
}

impl LoadHistory {
    /// From the sessions of one athlete, the last day being `today`.
    pub fn up_to(today: Date, sessions: &[ClosedSession]) -> Self {
        let week = |back: i64| Week::from(today.saturating_sub((6 + 7 * back).days()), sessions);
        Self { now: week(0), before: (1..=RANGE_WEEKS as i64).map(week).collect() }
    }

    /// Lowest and highest load of the four weeks before, in arbitrary units.
    ///
    /// # Errors
    /// [`NoNumber::TooFewWeeks`] unless all four are fully rated.
    pub fn range(&self) -> Result<Interval<f64>, NoNumber> {
        let known: Vec<f64> =
            self.before.iter().filter_map(|week| week.known_load().ok()).collect();
        if known.len() < RANGE_WEEKS {
            return Err(NoNumber::TooFewWeeks { weeks: known.len() });
        }
        let low = known.iter().copied().fold(f64::INFINITY, f64::min);
        let high = known.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Ok(Interval { low, high })
    }

    /// Where the last seven days lie.
    ///
    /// # Errors
    /// Why nobody can say.
    pub fn place(&self) -> Result<Place, NoNumber> {
        let load = self.now.known_load()?;
        let range = self.range()?;
        Ok(if load < range.low {
            Place::Below
        } else if load > range.high {
            Place::Above
        } else {
            Place::Inside
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn session(day: i8, rating: f64, minutes: u16) -> ClosedSession {
        ClosedSession {
            athlete: AthleteId::new("A04").unwrap(),
            date: date(2026, 9, day),
            kind: SessionKind::Strength,
            exertion: Exertion::new(rating),
            minutes: Some(minutes),
            rounds: 0,
            note: String::new(),
            next: String::new(),
        }
    }

    #[test]
    fn what_is_missing_is_not_nothing() {
        let mut unasked = session(9, 5.0, 60);
        unasked.exertion = None;
        let week = Week::from(date(2026, 9, 7), &[session(7, 8.0, 50), unasked]);
        assert_eq!((week.load, week.unrated), (400.0, 1));
        assert_eq!(week.known_load(), Err(NoNumber::Unrated { unrated: 1 }));
        assert_eq!(week.monotony(), Err(NoNumber::Unrated { unrated: 1 }));
        assert_eq!(
            Week::from(date(2026, 9, 7), &[]).known_load(),
            Err(NoNumber::TooFewDays { days: 0 })
        );
    }

    #[test]
    fn seven_even_days_have_no_monotony() {
        let even: Vec<_> = (7..14).map(|day| session(day, 5.0, 60)).collect();
        assert_eq!(Week::from(date(2026, 9, 7), &even).monotony(), Err(NoNumber::AllAlike));
        let two = &even[..2];
        assert_eq!(
            Week::from(date(2026, 9, 7), two).monotony(),
            Err(NoNumber::TooFewDays { days: 2 })
        );
    }

    #[test]
    fn the_own_range_needs_four_whole_weeks() {
        let on = |day: Date, minutes| ClosedSession { date: day, ..session(1, 5.0, minutes) };
        let today = date(2026, 9, 23);
        let mut sessions: Vec<_> = [60, 80, 100, 120]
            .into_iter()
            .zip(1..)
            .map(|(minutes, week)| on(today.saturating_sub((7 * week).days()), minutes))
            .collect();
        sessions.push(on(today, 130));
        let history = LoadHistory::up_to(today, &sessions);
        assert_eq!(history.range(), Ok(Interval { low: 300.0, high: 600.0 }));
        assert_eq!(history.place(), Ok(Place::Above));
        sessions.remove(2);
        let shorter = LoadHistory::up_to(today, &sessions);
        assert_eq!(shorter.place(), Err(NoNumber::TooFewWeeks { weeks: 3 }));
    }

    #[test]
    fn a_rating_is_from_nought_to_ten() {
        for wrong in [-0.5, 10.5, f64::NAN, f64::INFINITY] {
            assert_eq!(Exertion::new(wrong), None);
        }
        assert_eq!(Exertion::new(10.0).map(Exertion::rating), Some(10.0));
    }
}
