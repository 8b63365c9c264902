//! What is in the way of an exercise for one athlete, and what could be done instead.

use crate::flow::house::House;
use cornerwork_core::exercise::{Exercise, MeasureKind, Sides};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{Block, Exceptional, Objection, OfferedSwap, SessionPlan};
use cornerwork_core::session::rep::Side;
use jiff::civil::Date;

/// Swaps shown: more than three are no help in a hurry.
const MOST_SWAPS: usize = 3;

/// Everything in the way, hard stops first.
pub fn of(
    house: &House,
    gym: &Gym,
    plan: &SessionPlan,
    block: &Block,
    athlete: &Athlete,
    exercise: &Exercise,
    only: Option<Side>,
) -> Vec<Objection> {
    let day = plan.date.unwrap_or_else(|| house.clock().today());
    let asked = Asked { house, gym, day, athlete, exercise };
    let confirmed = plan.confirmed(&athlete.id, block.station).is_some();
    let restricted = asked.restricted(only);
    let rules = asked.rules().into_iter().filter(|one| one.hard || !confirmed);
    restricted.into_iter().chain(rules).collect()
}

struct Asked<'a> {
    house: &'a House,
    gym: &'a Gym,
    day: Date,
    athlete: &'a Athlete,
    exercise: &'a Exercise,
}

impl Asked<'_> {
    /// What a restriction bars; one side of two leaves the other.
    fn restricted(&self, only: Option<Side>) -> Option<Objection> {
        let sides = match (only, self.exercise.sides) {
            (Some(side), _) => vec![Some(side)],
            (None, Sides::None) => vec![None],
            (None, Sides::EachSide) => vec![Some(Side::Left), Some(Side::Right)],
            (None, Sides::LeadRear) => vec![Some(Side::Rear), Some(Side::Lead)],
        };
        let allows = |side: Option<Side>| {
            self.gym.allows(&self.athlete.id, &self.exercise.id, side, self.day)
        };
        let refusal = sides.iter().find_map(|&side| allows(side).err())?;
        let open = sides.iter().copied().find(|&side| side.is_some() && allows(side).is_ok());
        let other_side = open.flatten().map(|side| OfferedSwap {
            words: format!("{} only", side.word()),
            what: Exceptional::Swap { to: self.exercise.id.clone(), only: Some(side) },
        });
        let swaps = other_side.into_iter().chain(self.swaps()).take(MOST_SWAPS).collect();
        Some(Objection { sentence: refusal.to_string(), hard: true, swaps })
    }

    /// What the exercise's own rules say about age and nearness of a bout.
    fn rules(&self) -> Vec<Objection> {
        let permissions = &self.exercise.permissions;
        let age = self.athlete.age_years(self.day);
        let name = self.athlete.given_name();
        let what = &self.exercise.name;
        // Where a box is free of age rules, the box chooser keeps to it by itself.
        let boxed = permissions.box_free_of_age_rules.is_some()
            && self.exercise.measure_of(MeasureKind::BoxHeight).is_some();
        let too_young = permissions.barred_under_years.filter(|least| age < *least && !boxed);
        let young = permissions.confirm_under_years.filter(|least| age < *least && !boxed);
        let barred = too_young.map(|least| {
            let sentence = format!("{name} is {age}: {what} is not done under {least}.");
            self.objection(sentence, true)
        });
        let to_confirm = young.filter(|_| barred.is_none()).map(|least| {
            let sentence = format!(
                "{name} is {age}: {what} under {least} needs the coach's word and a reason."
            );
            self.objection(sentence, false)
        });
        let near = self.gym.too_near(&self.athlete.id, self.exercise, self.day);
        let close = near.map(|sentence| self.objection(sentence, false));
        barred.into_iter().chain(to_confirm).chain(close).collect()
    }

    fn objection(&self, sentence: String, hard: bool) -> Objection {
        Objection { sentence, hard, swaps: self.swaps().take(MOST_SWAPS).collect() }
    }

    /// The library's swaps that are open to this athlete, each once.
    fn swaps(&self) -> impl Iterator<Item = OfferedSwap> {
        let mut seen = Vec::new();
        let open = move |to: &&Exercise| {
            let fresh = !seen.contains(&to.id);
            seen.push(to.id.clone());
            fresh && self.is_open(to)
        };
        let other = self.exercise.swaps.iter().filter(|swap| !swap.other_side);
        other.filter_map(|swap| self.house.exercise(self.gym, &swap.to)).filter(open).map(|to| {
            OfferedSwap {
                words: to.name.clone(),
                what: Exceptional::Swap { to: to.id.clone(), only: None },
            }
        })
    }

    fn is_open(&self, to: &Exercise) -> bool {
        let old_enough = [to.permissions.barred_under_years, to.permissions.confirm_under_years]
            .into_iter()
            .flatten()
            .all(|least| self.athlete.age_years(self.day) >= least);
        let sides = match to.sides {
            Sides::None => vec![None],
            Sides::EachSide => vec![Some(Side::Left), Some(Side::Right)],
            Sides::LeadRear => vec![Some(Side::Rear), Some(Side::Lead)],
        };
        let allowed = |side| self.gym.allows(&self.athlete.id, &to.id, side, self.day).is_ok();
        old_enough && sides.into_iter().all(allowed)
    }
}
