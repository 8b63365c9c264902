//! Limits of weight and check-weights in the plan of a bout: what is agreed, and what a move of the
//! bout does to it.

use crate::flow::body_mass::{self, in_both};
use crate::flow::house::House;
use cornerwork_core::camp::body_mass::{CheckWeight, MassLimit};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::short_day as short;
use jiff::civil::Date;

/// What one athlete may weigh, and when.
#[derive(Clone, Debug)]
pub struct LimitLine<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// The limit with its weigh-in.
    pub limit: MassLimit,
    /// Check-weights, earliest first.
    pub checks: Vec<CheckWeight>,
}

impl LimitLine<'_> {
    /// "7 Nov at most 76.20 kg (168 lb)", one a check-weight.
    pub fn checks_in_words(&self) -> Vec<String> {
        let said =
            |check: &CheckWeight| format!("{} at most {}", short(check.date), in_both(check.most));
        self.checks.iter().map(said).collect()
    }
}

/// The limits agreed for a bout, in the order of its athletes; never a minor's.
pub fn of_bout<'a>(house: &House, gym: &'a Gym, bout: &Bout) -> Vec<LimitLine<'a>> {
    let today = house.clock().today();
    let line = |id: &AthleteId| {
        let athlete = gym.athlete(id).filter(|athlete| !athlete.is_junior(today))?;
        let limit = gym.limit_for(id, bout)?.clone();
        let checks = body_mass::checks_of(house, &limit);
        Some(LimitLine { athlete, limit, checks })
    };
    bout.athletes.iter().filter_map(line).collect()
}

/// The days of check-weights and of weigh-ins of these athletes, in order.
pub fn days(lines: &[LimitLine<'_>]) -> (Vec<Date>, Vec<Date>) {
    let in_order = |mut days: Vec<Date>| {
        days.sort_unstable();
        days.dedup();
        days
    };
    let checks = lines.iter().flat_map(|line| line.checks.iter().map(|check| check.date));
    let weigh_ins = lines.iter().map(|line| line.limit.weigh_in);
    (in_order(checks.collect()), in_order(weigh_ins.collect()))
}

/// The limits of those whose bout moves, as they would be.
pub fn moved<'a>(
    house: &House,
    gym: &'a Gym,
    bout: &Bout,
    athletes: &[AthleteId],
    to: Date,
) -> Vec<LimitLine<'a>> {
    let theirs = of_bout(house, gym, bout).into_iter();
    let theirs = theirs.filter(|line| athletes.contains(&line.athlete.id));
    let moved = theirs.map(|line| {
        let limit = line.limit.moved(bout.date, to);
        let checks = body_mass::checks_of(house, &limit);
        LimitLine { limit, checks, ..line }
    });
    moved.collect()
}

/// What a move does to each limit: days, and whether the way to it would ask for a word.
pub fn differences(
    house: &House,
    gym: &Gym,
    bout: &Bout,
    athletes: &[AthleteId],
    to: Date,
) -> Vec<String> {
    let was = of_bout(house, gym, bout);
    let said = moved(house, gym, bout, athletes, to).into_iter().filter_map(|is| {
        let was = was.iter().find(|was| was.athlete.id == is.athlete.id)?;
        let weigh_in = format!(
            "{}, {}: weigh-in on {} instead of {}",
            is.athlete.name,
            in_both(is.limit.limit),
            short(is.limit.weigh_in),
            short(was.limit.weigh_in)
        );
        let checks = match is.checks.as_slice() {
            [] => String::new(),
            checks => {
                format!("; check-weights on {} instead of {}", listed(checks), listed(&was.checks))
            }
        };
        let way = body_mass::view_of(house, gym, is.athlete, Some(is.limit)).way;
        let notes = way.map(|way| way.notes).unwrap_or_default();
        // That a line far ahead is a wish holds before the move as after it.
        let notes = notes.iter().filter(|note| note.id != "far-ahead");
        let notes: String = notes.map(|note| format!(" {}", note.text)).collect();
        Some(format!("{weigh_in}{checks}.{notes}"))
    });
    said.collect()
}

fn listed(checks: &[CheckWeight]) -> String {
    checks.iter().map(|check| short(check.date)).collect::<Vec<_>>().join(", ")
}
