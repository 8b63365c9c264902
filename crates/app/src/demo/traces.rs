//! A morning on the force plates: jumps at three loads, a pull, a jump of someone who would not
//! stand still, and one whose onset the rule took too early and the coach put right.

use super::calendar::at;
use super::history::after;
use super::journal::{COACH, Journal};
use super::people::{PEOPLE, Person};
use super::performance::Chance;
use super::plate::{self, HEADING, Jump, STANDING_S};
use super::truth::velocity_for_height;
use crate::flow::trace::{self, Kind};
use crate::flow::{traces, trials};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::trace::{
    ColumnUse, FiledTrace, Filing, NamedReading, Reading, TraceChange,
};
use cornerwork_core::trial::isometric::Direction;
use cornerwork_core::trial::{Conditions, TrialEvent};
use cornerwork_core::units::Mass;
use cornerwork_io::store::hash_of;
use jiff::civil::{Date, date};

/// The morning.
const DAY: Date = date(2026, 9, 21);
/// Stream of chance of the plates: nobody else's numbers move with it.
const STREAM: u64 = 1000;
/// Sway while being weighed: of someone who stands still, and of someone who does not.
const STILL_N: f64 = 0.8;
const RESTLESS_N: f64 = 18.0;

/// One recording of the morning.
pub(super) struct Recorded {
    file: String,
    filing: Filing,
    /// What the plates wrote.
    pub(super) bytes: Vec<u8>,
    /// Whether the coach puts its onset right.
    onset_moved: bool,
}

/// Everything the plates recorded.
pub(super) fn recorded(seed: u64) -> Vec<Recorded> {
    let mut chance = Chance::new(seed, STREAM);
    let mut all = Vec::new();
    let people = ["B03", "A04", "A07"].map(|code| PEOPLE.iter().find(|one| one.code == code));
    let [Some(loaded), Some(moved), Some(restless)] = people else { return all };
    let loads = loaded.jump_loads(DAY);
    let kilograms = [Mass::ZERO, loads[0].total, loads[2].total];
    for (load, number) in kilograms.into_iter().flat_map(|load| [(load, 1), (load, 2)]) {
        let name = format!("{:.0} kg {number}", load.in_kilograms());
        all.push(jump(loaded, load, STILL_N, false, &name, &mut chance));
    }
    for number in 1..=3 {
        let shifts = number == 2;
        let name = number.to_string();
        all.push(jump(moved, Mass::ZERO, STILL_N, shifts, &name, &mut chance));
    }
    all.push(pull(moved, &mut chance));
    all.push(jump(restless, Mass::ZERO, RESTLESS_N, false, "1", &mut chance));
    all
}

fn jump(
    person: &Person,
    load: Mass,
    sway_n: f64,
    shifts_first: bool,
    name: &str,
    chance: &mut Chance,
) -> Recorded {
    let load_kg = load.in_kilograms();
    let best_m_s = match load_kg {
        0.0 => velocity_for_height(person.jump_height_m(DAY)),
        kg => person.take_off_m_s(DAY, kg),
    };
    let take_off_m_s = best_m_s * chance.about_one(0.01);
    let mass_kg = person.mass_kg(DAY) + load_kg;
    let bytes = Jump { mass_kg, take_off_m_s, sway_n, shifts_first }.file(chance);
    Recorded {
        file: format!("{} countermovement {name}.csv", person.code),
        filing: filing(person, Kind::CountermovementJump, load),
        bytes,
        onset_moved: shifts_first,
    }
}

fn pull(person: &Person, chance: &mut Chance) -> Recorded {
    let bytes = plate::pull(person.mass_kg(DAY), person.pull_n(DAY), chance);
    let filing = filing(person, Kind::Isometric, Mass::ZERO);
    let file = format!("{} isometric pull.csv", person.code);
    Recorded { file, filing, bytes, onset_moved: false }
}

fn filing(person: &Person, kind: Kind, load: Mass) -> Filing {
    traces::completed(Filing {
        athlete: person.id(),
        kind,
        exercise: None,
        side: None,
        load,
        box_height: None,
        horizontal: false,
        ballistic: false,
        day: DAY,
    })
}

/// The way the coach told the program to read the files, once.
fn reading() -> Reading {
    let column = |role: &str, name: &str, unit: &str| ColumnUse {
        role: role.to_owned(),
        column: name.to_owned(),
        unit: Some(unit.to_owned()),
    };
    let [time, left, right] = HEADING;
    Reading {
        columns: vec![
            column("time", time, "s"),
            column("left", left, "N"),
            column("right", right, "N"),
        ],
        rate_hz: None,
        decimal_mark: None,
        name: Some("plates by the ring".to_owned()),
    }
}

/// Writes the morning down.
pub(super) fn write(journal: &mut Journal, seed: u64) {
    let begin = at(DAY, 8, 30);
    let named = NamedReading {
        name: "plates by the ring".to_owned(),
        heading: HEADING.map(str::to_owned).to_vec(),
        reading: reading(),
    };
    journal.write(begin, COACH, Change::Trace(TraceChange::ReadingNamed(named)));
    for (minute, recorded) in (1..).zip(recorded(seed)) {
        let moment = after(begin, 60 * minute);
        let filed = FiledTrace {
            hash: hash_of(&recorded.bytes),
            file: recorded.file.clone(),
            filing: recorded.filing.clone(),
            reading: Some(reading()),
        };
        let trace = journal.write(moment, COACH, Change::Trace(TraceChange::Filed(filed)));
        if recorded.onset_moved {
            let change = TraceChange::EventMoved {
                trace,
                event: TrialEvent::Onset,
                from_s: found_onset(&recorded),
                to_s: Some(STANDING_S),
                reason: "a shift of weight before the dip".to_owned(),
            };
            journal.write(after(moment, 20), COACH, Change::Trace(change));
        }
    }
}

/// Where the rule found the onset.
fn found_onset(recorded: &Recorded) -> Option<f64> {
    let question = trace::Question {
        kind: recorded.filing.kind,
        conditions: Conditions::default(),
        direction: Direction::Vertical,
        ballistic: false,
        drift: trace::Drift::default(),
    };
    let analysis = trials::analyse(&recorded.bytes, &reading(), &question).ok()?;
    trace::time_of(&analysis, TrialEvent::Onset)
}

#[cfg(test)]
mod tests {
    use super::*;
    use cornerwork_core::metrics::height;

    fn read(recorded: &Recorded) -> trace::Analysis {
        let question = trace::Question {
            kind: recorded.filing.kind,
            conditions: Conditions { load: recorded.filing.load, ..Conditions::default() },
            direction: Direction::Vertical,
            ballistic: false,
            drift: trace::Drift::default(),
        };
        trials::analyse(&recorded.bytes, &reading(), &question).unwrap()
    }

    // The truth is the velocity each jump was made with; 1 % is ten times what the noise leaves.
    #[test]
    fn every_jump_is_read_as_it_was_made() {
        let all = recorded(23);
        let person = |code: &str| PEOPLE.iter().find(|one| one.code == code).unwrap();
        for one in all.iter().filter(|one| one.filing.athlete.as_str() == "B03") {
            let made = match one.filing.load.in_kilograms() {
                0.0 => velocity_for_height(person("B03").jump_height_m(DAY)),
                kg => person("B03").take_off_m_s(DAY, kg),
            };
            let found = read(one).sets[0].value(&height::TAKE_OFF_VELOCITY).unwrap();
            assert!((found / made - 1.0).abs() < 0.04, "{}: {found} of {made}", one.file);
        }
    }

    #[test]
    fn the_shift_of_weight_is_taken_for_the_onset_and_the_sway_is_noticed() {
        let all = recorded(23);
        let shifted = all.iter().find(|one| one.onset_moved).unwrap();
        let found = found_onset(shifted).unwrap();
        assert!(found < STANDING_S - 0.4, "{found}");
        let restless = all.iter().find(|one| one.filing.athlete.as_str() == "A07").unwrap();
        assert!(read(restless).notes.iter().any(|note| note.id == "unquiet-standing"));
    }
}
