//! Everything of one athlete to take away, as plain tables one can read. The table in SI units
//! beside it is for a computer.

use super::foot;
use crate::flow::barred;
use crate::flow::enter_athlete::born_in_words;
use crate::flow::house::House;
use cornerwork_core::exercise::{Exercise, Measure};
use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::session::athlete::{Athlete, Sex, Stance};
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::rep::{Rep, Side};
use cornerwork_core::stats::mean::mean;
use cornerwork_core::units::Mass;
use cornerwork_core::words::capitalised;
use cornerwork_core::words::short_day_and_year as written;
use jiff::civil::Date;

/// What goes along only where it was asked for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Along {
    /// Body mass and the limit.
    pub body_mass: bool,
    /// Medical notes, for those who may read them.
    pub medical_notes: bool,
}

/// Everything of an athlete.
pub fn everything(house: &House, gym: &Gym, athlete: &Athlete, along: Along) -> Document {
    let all = Everything { house, gym, athlete };
    let mut blocks = all.bouts();
    blocks.extend(all.bests());
    blocks.extend(all.tests());
    if along.body_mass {
        blocks.extend(all.body_mass());
    }
    blocks.extend(all.safety());
    if along.medical_notes {
        blocks.extend(all.medical_notes());
    }
    blocks.extend(all.sessions());
    blocks.extend(all.reps());
    blocks.extend(all.recordings());
    let left_out =
        if along.body_mass { "" } else { " Body mass is left out: it was not asked for." };
    blocks.push(Block::Sentence(format!(
        "Private notes are on no paper.{left_out} The same in SI units, one row a fact, is in the table {}.csv.",
        athlete.id
    )));
    Document {
        title: athlete.name.clone(),
        subtitle: all.who(),
        foot: foot(house, gym),
        lies: Lies::Upright,
        blocks,
    }
}

struct Everything<'a> {
    house: &'a House,
    gym: &'a Gym,
    athlete: &'a Athlete,
}

/// What reps must share to stand in one row.
type Key<'a> = (Date, &'a Rep);

impl<'a> Everything<'a> {
    fn who(&self) -> String {
        let Athlete { id, sex, born, stance, level, .. } = self.athlete;
        let born = born_in_words(*born, self.house.clock().today());
        let sex = if *sex == Sex::Female { "female" } else { "male" };
        let stance = if *stance == Stance::Southpaw { "southpaw" } else { "orthodox" };
        format!("Everything on record: {id} · {sex} · {born} · {stance} · {level}")
    }

    fn bouts(&self) -> Vec<Block> {
        let bouts = self.gym.bouts.values().filter(|one| one.athletes.contains(&self.athlete.id));
        let mut rows: Vec<(Date, &str)> =
            bouts.map(|bout| (bout.date, bout.name.as_str())).collect();
        rows.sort_unstable();
        let rows = rows.into_iter().map(|(date, name)| vec![day(date), text(name)]).collect();
        table("Bouts", vec![Column::words("day"), Column::words("bout").share(1)], rows)
    }

    fn reps_on_days(&self) -> impl Iterator<Item = Key<'a>> + use<'a> {
        let house = self.house;
        self.gym
            .reps_of(&self.athlete.id)
            .map(move |rep| (house.clock().date_of(rep.entry.at), rep))
    }

    fn exercise(&self, rep: &Rep) -> Option<&'a Exercise> {
        self.house.exercise(self.gym, &rep.entry.exercise)
    }

    /// The best number of every exercise, hand, load, box and method.
    fn bests(&self) -> Vec<Block> {
        let mut bests: Vec<Key<'a>> = Vec::new();
        for (date, rep) in self.reps_on_days().filter(|(_, rep)| rep.counts()) {
            let Some(exercise) = self.exercise(rep) else { continue };
            match bests.iter_mut().find(|(_, best)| alike(best, rep)) {
                Some(best) if is_better(&exercise.measure, rep, best.1) => *best = (date, rep),
                Some(_) => {}
                None => bests.push((date, rep)),
            }
        }
        bests.sort_by(|(_, one), (_, other)| {
            order(one).partial_cmp(&order(other)).unwrap_or(std::cmp::Ordering::Equal)
        });
        let rows = bests.into_iter().filter_map(|(date, rep)| {
            let exercise = self.exercise(rep)?;
            let best = exercise.measure.with_unit(rep.number()?);
            Some(
                [
                    what(exercise, rep),
                    vec![text(rep.entry.method.words()), strong(best), day(date)],
                ]
                .concat(),
            )
        });
        let columns = [
            what_columns(),
            vec![Column::words("measured by"), Column::numbers("best"), Column::words("day")],
        ];
        table("Bests", columns.concat(), rows.collect())
    }

    /// Test days: efforts away from a station, by exercise and load, with mean and best.
    fn tests(&self) -> Vec<Block> {
        let trials =
            self.reps_on_days().filter(|(_, rep)| rep.entry.station.is_none() && rep.counts());
        let rows = grouped(trials).into_iter().filter_map(|(date, reps)| {
            let first = *reps.first()?;
            let exercise = self.exercise(first)?;
            let numbers: Vec<f64> = reps.iter().filter_map(|rep| rep.number()).collect();
            let mean = mean(&numbers);
            let best = reps.iter().copied().reduce(|best, rep| {
                if is_better(&exercise.measure, rep, best) { rep } else { best }
            });
            let best = best
                .and_then(Rep::number)
                .map_or_else(String::new, |best| exercise.measure.with_unit(best));
            let count = numbers.len().to_string();
            Some(
                [
                    vec![day(date)],
                    what(exercise, first),
                    vec![text(count), text(exercise.measure.with_unit(mean)), text(best)],
                ]
                .concat(),
            )
        });
        let columns = [
            vec![Column::words("day")],
            what_columns(),
            vec![Column::numbers("trials"), Column::numbers("mean"), Column::numbers("best")],
        ];
        table("Tests and jumps outside a session", columns.concat(), rows.collect())
    }

    fn body_mass(&self) -> Vec<Block> {
        let masses = self.gym.body_masses(&self.athlete.id).iter();
        let rows = masses
            .map(|(at, mass)| {
                vec![
                    day(self.house.clock().date_of(*at)),
                    text(format!("{:.1}", mass.in_kilograms())),
                ]
            })
            .collect();
        let mut blocks =
            table("Body mass", vec![Column::words("day"), Column::numbers("kg")], rows);
        let is_minor = self.athlete.is_junior(self.house.clock().today());
        let limit = self.gym.safety().limit(&self.athlete.id).filter(|_| !is_minor);
        blocks.extend(limit.map(|limit| {
            let (mass, day) = (limit.limit.in_kilograms(), written(limit.weigh_in));
            Block::Sentence(format!("Limit agreed: {mass:.2} kg, weigh-in on {day}."))
        }));
        blocks
    }

    fn safety(&self) -> Vec<Block> {
        let (id, record) = (&self.athlete.id, self.gym.safety());
        let today = self.house.clock().today();
        let barred: Vec<Block> = self
            .gym
            .restrictions(id, today)
            .map(|one| Block::Sentence(barred::with_ground(self.house, self.gym, one)))
            .collect();
        let mut blocks = Vec::new();
        if !barred.is_empty() {
            blocks.push(Block::Heading("Restrictions in force".to_owned()));
            blocks.extend(barred);
        }
        let stoppages = record.stoppages(id).iter().map(|one| {
            let words = format!("{}; {}; {}", one.kind.words(), one.rule, one.end_in_words());
            vec![day(one.on), text(words)]
        });
        let stops = record
            .stop_signs(id)
            .iter()
            .map(|(on, sign)| vec![day(*on), text(format!("session stopped: {}", sign.words()))]);
        let columns = || vec![Column::words("day"), Column::words("what").share(1)];
        blocks.extend(table("Stoppages", columns(), stoppages.chain(stops).collect()));
        let consents = record.consents(id).iter().map(|one| {
            let given = if one.given { "yes" } else { "no" };
            vec![
                day(one.on),
                text(one.to.words()),
                text(given),
                text(format!("{} ({})", one.name, one.giver.code())),
            ]
        });
        let columns = vec![
            Column::words("day"),
            Column::words("to").share(1),
            Column::words("given"),
            Column::words("by"),
        ];
        blocks.extend(table("Consent", columns, consents.collect()));
        blocks
    }

    fn medical_notes(&self) -> Vec<Block> {
        let notes = self.gym.safety().medical_notes(&self.athlete.id).iter();
        let rows =
            notes.map(|one| vec![day(one.on), text(&one.text), text(one.by.words())]).collect();
        table(
            "Medical notes",
            vec![Column::words("day"), Column::words("note").share(1), Column::words("by")],
            rows,
        )
    }

    fn sessions(&self) -> Vec<Block> {
        let known = |number: Option<String>| text(number.unwrap_or_else(|| "not known".to_owned()));
        let rows = self.gym.safety().sessions(&self.athlete.id).iter().map(|one| {
            let words: Vec<&str> = [one.note.as_str(), one.next.as_str()]
                .into_iter()
                .filter(|text| !text.is_empty())
                .collect();
            vec![
                day(one.date),
                text(one.kind.code().replace('-', " ")),
                known(one.exertion.map(|felt| felt.rating().to_string())),
                known(one.minutes.map(|minutes| minutes.to_string())),
                text(if one.rounds == 0 { String::new() } else { one.rounds.to_string() }),
                text(words.join("; next: ")),
            ]
        });
        let columns = vec![
            Column::words("day"),
            Column::words("session"),
            Column::numbers("how hard, 0 to 10"),
            Column::numbers("minutes"),
            Column::numbers("rounds"),
            Column::words("note; what comes next").share(1),
        ];
        table("Sessions closed", columns, rows.collect())
    }

    /// Every rep, one row a day, exercise, side and load, in the order done.
    fn reps(&self) -> Vec<Block> {
        let done = self.reps_on_days().filter(|(_, rep)| rep.entry.station.is_some());
        let rows = grouped(done).into_iter().filter_map(|(date, reps)| {
            let first = *reps.first()?;
            let exercise = self.exercise(first)?;
            let numbers: Vec<String> =
                reps.iter().map(|rep| number(&exercise.measure, rep)).collect();
            let unit = exercise.measure.unit.symbol();
            Some(
                [
                    vec![day(date)],
                    what(exercise, first),
                    vec![text(format!("{} {unit}", numbers.join(", ")))],
                ]
                .concat(),
            )
        });
        let columns = [
            vec![Column::words("day")],
            what_columns(),
            vec![Column::words("reps, – without a number, ( ) set aside").share(1)],
        ];
        table("Reps in sessions", columns.concat(), rows.collect())
    }

    fn recordings(&self) -> Vec<Block> {
        let rows = self.gym.traces.of(&self.athlete.id).map(|one| {
            let used = if one.counts() { "used" } else { "not used" };
            vec![day(one.filing.day), text(&one.file), text(used)]
        });
        table(
            "Recordings",
            vec![Column::words("day"), Column::words("file").share(1), Column::words("numbers")],
            rows.collect(),
        )
    }
}

/// A heading and its table; nothing at all where there are no rows.
fn table(title: &str, columns: Vec<Column>, rows: Vec<Vec<Cell>>) -> Vec<Block> {
    if rows.is_empty() {
        return Vec::new();
    }
    let grid = Grid { columns, rows, size: Size::Table };
    vec![Block::Heading(title.to_owned()), Block::Grid(grid)]
}

fn text(words: impl Into<String>) -> Cell {
    Cell::Text(words.into())
}

fn strong(words: impl Into<String>) -> Cell {
    Cell::Strong(words.into())
}

fn day(date: Date) -> Cell {
    text(written(date))
}

fn what_columns() -> Vec<Column> {
    vec![Column::words("exercise"), Column::words("side"), Column::words("with")]
}

fn what(exercise: &Exercise, rep: &Rep) -> Vec<Cell> {
    let entry = &rep.entry;
    let with = match entry.box_height {
        Some(height) => format!("{:.0} cm box", height.in_centimetres()),
        None if entry.load.total > Mass::ZERO => {
            format!("{:.1} kg", entry.load.total.in_kilograms())
        }
        None => String::new(),
    };
    vec![text(capitalised(&exercise.name)), text(entry.side.map_or("", Side::word)), text(with)]
}

fn number(measure: &Measure, rep: &Rep) -> String {
    let value = rep.entry.value.map_or_else(|| "–".to_owned(), |value| measure.number(value));
    if rep.counts() || rep.entry.value.is_none() { value } else { format!("({value})") }
}

fn alike(one: &Rep, other: &Rep) -> bool {
    LikeForLike::of(&one.entry).holds(&other.entry)
}

fn is_better(measure: &Measure, one: &Rep, other: &Rep) -> bool {
    one.number().zip(other.number()).is_some_and(|(one, other)| measure.is_better(one, other))
}

fn order(rep: &Rep) -> (&str, Option<Side>, f64, f64) {
    let entry = &rep.entry;
    let height = entry.box_height.map_or(0.0, |height| height.in_metres());
    (entry.exercise.as_str(), entry.side, height, entry.load.total.in_kilograms())
}

/// Reps of one day that are alike, newest day first, in the order done.
fn grouped<'a>(reps: impl Iterator<Item = Key<'a>>) -> Vec<(Date, Vec<&'a Rep>)> {
    let mut groups: Vec<(Date, Vec<&Rep>)> = Vec::new();
    for (date, rep) in reps {
        let same = |(of, group): &&mut (Date, Vec<&Rep>)| {
            *of == date && group.first().is_some_and(|one| alike(one, rep))
        };
        match groups.iter_mut().rev().take(40).find(same) {
            Some((_, group)) => group.push(rep),
            None => groups.push((date, vec![rep])),
        }
    }
    groups.sort_by_key(|(date, _)| std::cmp::Reverse(*date));
    groups
}
