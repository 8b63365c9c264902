//! The single bouts of a fight night or a tournament: who boxed whom on which day, and how it went.

use super::stand_down::Stoppage;
use crate::session::athlete::AthleteId;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// How a bout ended for an athlete.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Won, whichever way.
    Won,
    /// Lost by the judges' word or by a foul.
    Lost,
    /// Drawn.
    Drawn,
    /// Ended without a result that counts.
    NoContest,
    /// Won without boxing: the other did not come.
    Walkover,
    /// Did not box, or gave up.
    Withdrew,
    /// Lost by being stopped: the stand-down begins.
    Stopped(Stoppage),
}

impl Outcome {
    /// Those that begin no stand-down.
    pub const HARMLESS: [Self; 6] =
        [Self::Won, Self::Lost, Self::Drawn, Self::NoContest, Self::Walkover, Self::Withdrew];

    /// Every one that a bout can have; a knock in sparring is none.
    pub fn all() -> impl Iterator<Item = Self> {
        let stopped = Stoppage::ALL.into_iter().filter(|kind| *kind != Stoppage::HurtInTraining);
        Self::HARMLESS.into_iter().chain(stopped.map(Self::Stopped))
    }

    /// Short stable name.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Won => "won",
            Self::Lost => "lost",
            Self::Drawn => "drawn",
            Self::NoContest => "no-contest",
            Self::Walkover => "walkover",
            Self::Withdrew => "withdrew",
            Self::Stopped(kind) => kind.code(),
        }
    }

    /// The outcome of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::all().find(|outcome| outcome.code() == code)
    }

    /// As said to everyone. How an athlete was stopped is for those who may know of injuries.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Won => "won",
            Self::Lost => "lost",
            Self::Drawn => "drawn",
            Self::NoContest => "no contest",
            Self::Walkover => "won without boxing",
            Self::Withdrew => "withdrew",
            Self::Stopped(_) => "stopped",
        }
    }

    /// Whether a tournament is over with it, unless another bout is agreed.
    pub const fn ends_tournament(self) -> bool {
        matches!(self, Self::Lost | Self::Withdrew | Self::Stopped(_))
    }

    /// Whether the athlete was in the ring.
    pub const fn was_boxed(self) -> bool {
        !matches!(self, Self::Walkover | Self::Withdrew)
    }
}

/// One bout of one athlete.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contest {
    /// Who.
    pub athlete: AthleteId,
    /// On which day at the venue.
    pub day: Date,
    /// Against whom; empty while nobody knows.
    pub opponent: String,
    /// How it ended; `None` until it has.
    pub outcome: Option<Outcome>,
}

/// All single bouts on record, by the id of their fight night or tournament.
#[derive(Clone, Debug, Default)]
pub struct Contests(BTreeMap<String, BTreeMap<(AthleteId, Date), Contest>>);

impl Contests {
    /// Those of a tournament, by athlete and day.
    pub fn of(&self, bout: &str) -> impl Iterator<Item = &Contest> {
        self.0.get(bout).into_iter().flat_map(BTreeMap::values)
    }
    /// Those of one athlete there, in order.
    pub fn of_athlete(&self, bout: &str, athlete: &AthleteId) -> impl Iterator<Item = &Contest> {
        self.of(bout).filter(move |one| one.athlete == *athlete)
    }
    /// The one of a day.
    pub fn on(&self, bout: &str, athlete: &AthleteId, day: Date) -> Option<&Contest> {
        self.0.get(bout)?.get(&(athlete.clone(), day))
    }
    /// The first that has ended, of any of these athletes.
    pub fn ended(&self, bout: &str, athletes: &[AthleteId]) -> Option<&Contest> {
        self.of(bout).find(|one| one.outcome.is_some() && athletes.contains(&one.athlete))
    }

    /// Which days of a tournament are an athlete's: all up to the one that ended it for them, and
    /// any later one on which another bout is agreed.
    pub(super) fn days_left_to<'a>(
        &'a self,
        bout: &'a str,
        athlete: &'a AthleteId,
        days: impl Iterator<Item = Date> + 'a,
    ) -> impl Iterator<Item = Date> + 'a {
        let ends = |one: &&Contest| one.outcome.is_some_and(Outcome::ends_tournament);
        let over = self.of_athlete(bout, athlete).filter(ends).map(|one| one.day).min();
        days.filter(move |day| {
            over.is_none_or(|over| *day <= over) || self.on(bout, athlete, *day).is_some()
        })
    }

    /// Takes one; the same athlete and day again corrects it.
    pub(super) fn enter(&mut self, bout: &str, contest: Contest) {
        let of_bout = self.0.entry(bout.to_owned()).or_default();
        of_bout.insert((contest.athlete.clone(), contest.day), contest);
    }

    /// What is not boxed yet goes along when a bout moves by some days.
    pub(super) fn follow(
        &mut self,
        bout: &str,
        athletes: &[AthleteId],
        into: &str,
        shift: jiff::Span,
    ) {
        let Some(of_bout) = self.0.get_mut(bout) else { return };
        let goes = |one: &Contest| one.outcome.is_none() && athletes.contains(&one.athlete);
        let moved: Vec<Contest> = of_bout.values().filter(|one| goes(one)).cloned().collect();
        of_bout.retain(|_, one| !goes(one));
        for contest in moved {
            self.enter(into, Contest { day: contest.day.saturating_add(shift), ..contest });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn id(code: &str) -> AthleteId {
        AthleteId::new(code).unwrap()
    }

    /// The four days of the tournament in October.
    fn days() -> [Date; 4] {
        [17, 18, 24, 25].map(|day| date(2026, 10, day))
    }

    fn with(outcomes: &[(i8, Option<Outcome>)]) -> Contests {
        let mut contests = Contests::default();
        for (day, outcome) in outcomes {
            contests.enter(
                "open",
                Contest {
                    athlete: id("A04"),
                    day: date(2026, 10, *day),
                    opponent: String::new(),
                    outcome: *outcome,
                },
            );
        }
        contests
    }

    fn left(contests: &Contests, athlete: &str) -> Vec<i8> {
        let athlete = id(athlete);
        contests.days_left_to("open", &athlete, days().into_iter()).map(Date::day).collect()
    }

    #[test]
    fn who_wins_boxes_again_and_who_loses_does_not() {
        let contests = with(&[(17, Some(Outcome::Won)), (18, Some(Outcome::Lost))]);
        assert_eq!(left(&contests, "A04"), [17, 18]);
        assert_eq!(left(&contests, "A03"), [17, 18, 24, 25], "nothing is known of the other");
        let stopped = with(&[(17, Some(Outcome::Stopped(Stoppage::Stopped)))]);
        assert_eq!(left(&stopped, "A04"), [17]);
    }

    #[test]
    fn a_bout_for_third_place_brings_a_loser_back() {
        let contests = with(&[(18, Some(Outcome::Lost)), (25, None)]);
        assert_eq!(left(&contests, "A04"), [17, 18, 25]);
    }

    #[test]
    fn the_same_day_again_corrects_and_what_is_boxed_stays_behind_in_a_move() {
        let mut contests = with(&[(17, Some(Outcome::Lost)), (17, Some(Outcome::Won)), (18, None)]);
        assert_eq!(left(&contests, "A04"), [17, 18, 24, 25]);
        contests.follow("open", &[id("A04")], "later", jiff::Span::new().days(7));
        let boxed: Vec<Date> = contests.of("open").map(|one| one.day).collect();
        assert_eq!(boxed, [date(2026, 10, 17)]);
        let ahead: Vec<Date> = contests.of("later").map(|one| one.day).collect();
        assert_eq!(ahead, [date(2026, 10, 25)]);
    }

    #[test]
    fn every_outcome_has_a_name_of_its_own() {
        for outcome in Outcome::all() {
            assert_eq!(Outcome::from_code(outcome.code()), Some(outcome));
        }
        assert_eq!(Outcome::from_code(Stoppage::HurtInTraining.code()), None);
    }
}
