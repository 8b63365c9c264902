//! A morning on the force plates: jumps at three loads, pulls, a jump of someone who would not
//! stand still, one whose onset the rule took too early and the coach put right, and one of every
//! other kind of trial.

use super::calendar::at;
use super::history::after;
use super::journal::{COACH, Journal};
use super::other_trials::{self, BAR_HEADING};
use super::people::{PEOPLE, Person};
use super::performance::{Chance, spread};
use super::plate::{self, HEADING, Jump, STANDING_S};
use super::truth::velocity_for_height;
use crate::flow::trace::{self, Kind};
use crate::flow::{traces, trials};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::trace::{
    ColumnUse, FiledTrace, Filing, NamedReading, Reading, TraceChange,
};
use cornerwork_core::trial::isometric::Direction;
use cornerwork_core::trial::{Conditions, TrialEvent};
use cornerwork_core::units::{Length, Mass};
use cornerwork_io::store::hash_of;
use jiff::civil::{Date, date};

/// The morning.
const DAY: Date = date(2026, 9, 21);
/// Stream of chance of the plates: nobody else's numbers move with it.
const STREAM: u64 = 1000;
/// And of what came after the jumps.
const LATER: u64 = 1001;
/// Box of the drop jumps.
const BOX_CM: f64 = 30.0;
/// Squats with a sensor on the bar: load, repetitions, mean velocity of the first.
const SQUATS: [(f64, u32, f64); 3] = [(40.0, 3, 0.92), (60.0, 5, 0.76), (80.0, 3, 0.59)];
/// Sway while being weighed: of someone who stands still, and of someone who does not.
const STILL_N: f64 = 0.8;
const RESTLESS_N: f64 = 18.0;

/// One recording of the morning.
pub(super) struct Recorded {
    file: String,
    filing: Filing,
    /// What the plates or the sensor wrote.
    pub(super) bytes: Vec<u8>,
    reading: Reading,
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
    all.push(pull(moved, "", &mut chance));
    all.push(jump(restless, Mass::ZERO, RESTLESS_N, false, "1", &mut chance));
    all.extend(later(loaded, moved, &mut Chance::new(seed, LATER)));
    all
}

/// What came after the jumps.
fn later(person: &Person, puller: &Person, chance: &mut Chance) -> Vec<Recorded> {
    let mut all = Vec::new();
    let code = person.code;
    let mut add = |name: String, filing: Filing, bytes: Vec<u8>, reading: Reading| {
        all.push(Recorded {
            file: format!("{name}.csv"),
            filing,
            bytes,
            reading,
            onset_moved: false,
        });
    };
    for number in 1..=2 {
        let take_off_m_s =
            velocity_for_height(0.94 * person.jump_height_m(DAY)) * chance.about_one(0.01);
        let (mass_kg, sway_n) = (person.mass_kg(DAY), STILL_N);
        let squat = Jump { mass_kg, take_off_m_s, sway_n, shifts_first: false, held: true };
        let filing = filing(person, Kind::SquatJump, Mass::ZERO);
        add(format!("{code} squat {number}"), filing, squat.file(chance), on_plates());
    }
    for number in 1..=3 {
        let filing = Filing {
            box_height: Some(Length::centimetres(BOX_CM)),
            ..filing(person, Kind::DropJump, Mass::ZERO)
        };
        let bytes = other_trials::drop_jump(person, DAY, BOX_CM, chance);
        add(format!("{code} drop 30 cm {number}"), filing, bytes, on_plates());
    }
    let series = filing(person, Kind::RepeatedJump, Mass::ZERO);
    add(format!("{code} hops"), series, other_trials::hops(person, DAY, chance), on_plates());
    for (load_kg, reps, mean_m_s) in SQUATS {
        let filing = Filing {
            exercise: ExerciseId::new("back-squat"),
            ..filing(person, Kind::Bar, Mass::kilograms(load_kg))
        };
        let bytes = other_trials::squats(reps, mean_m_s, chance);
        add(format!("{code} back squat {load_kg:.0} kg"), filing, bytes, on_the_bar());
    }
    all.extend([" 2", " 3"].map(|number| pull(puller, number, chance)));
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
    let held = false;
    let bytes = Jump { mass_kg, take_off_m_s, sway_n, shifts_first, held }.file(chance);
    Recorded {
        file: format!("{} countermovement {name}.csv", person.code),
        filing: filing(person, Kind::CountermovementJump, load),
        bytes,
        reading: on_plates(),
        onset_moved: shifts_first,
    }
}

fn pull(person: &Person, number: &str, chance: &mut Chance) -> Recorded {
    let peak_n = match number {
        "" => person.pull_n(DAY),
        _ => person.pull_n(DAY) * chance.about_one(spread::PULL),
    };
    let bytes = plate::pull(person.mass_kg(DAY), peak_n, chance);
    let filing = filing(person, Kind::Isometric, Mass::ZERO);
    let file = format!("{} isometric pull{number}.csv", person.code);
    Recorded { file, filing, bytes, reading: on_plates(), onset_moved: false }
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

/// The two ways the coach told the program to read files, each once.
fn on_plates() -> Reading {
    let [time, left, right] = HEADING;
    let columns = [("time", time, "s"), ("left", left, "N"), ("right", right, "N")];
    named("plates by the ring", &columns)
}

fn on_the_bar() -> Reading {
    let [time, position] = BAR_HEADING;
    named("sensor on the bar", &[("time", time, "s"), ("position", position, "mm")])
}

fn named(name: &str, columns: &[(&str, &str, &str)]) -> Reading {
    let column = |(role, column, unit): &(&str, &str, &str)| ColumnUse {
        role: (*role).to_owned(),
        column: (*column).to_owned(),
        unit: Some((*unit).to_owned()),
    };
    Reading {
        columns: columns.iter().map(column).collect(),
        rate_hz: None,
        decimal_mark: None,
        name: Some(name.to_owned()),
    }
}

/// Writes the morning down.
pub(super) fn write(journal: &mut Journal, seed: u64) {
    let begin = at(DAY, 8, 30);
    for reading in [on_plates(), on_the_bar()] {
        let heading = reading.columns.iter().map(|column| column.column.clone()).collect();
        let name = reading.name.clone().unwrap_or_default();
        let named = NamedReading { name, heading, reading };
        journal.write(begin, COACH, Change::Trace(TraceChange::ReadingNamed(named)));
    }
    for (minute, recorded) in (1..).zip(recorded(seed)) {
        let moment = after(begin, 60 * minute);
        let filed = FiledTrace {
            hash: hash_of(&recorded.bytes),
            file: recorded.file.clone(),
            filing: recorded.filing.clone(),
            reading: Some(recorded.reading.clone()),
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
    let analysis = trials::analyse(&recorded.bytes, &recorded.reading, &question).ok()?;
    trace::time_of(&analysis, TrialEvent::Onset)
}

#[cfg(test)]
mod tests {
    use super::*;
    use cornerwork_core::metrics::{bar_velocity, height};

    fn read(recorded: &Recorded) -> trace::Analysis {
        let question = trace::Question {
            kind: recorded.filing.kind,
            conditions: Conditions { load: recorded.filing.load, ..Conditions::default() },
            direction: Direction::Vertical,
            ballistic: false,
            drift: trace::Drift::default(),
        };
        trials::analyse(&recorded.bytes, &recorded.reading, &question).unwrap()
    }

    // The truth is the velocity each jump was made with; 1 % is ten times what the noise leaves.
    #[test]
    fn every_jump_is_read_as_it_was_made() {
        let all = recorded(23);
        let person = |code: &str| PEOPLE.iter().find(|one| one.code == code).unwrap();
        let theirs = |one: &&Recorded| {
            let Filing { athlete, kind, .. } = &one.filing;
            athlete.as_str() == "B03" && *kind == Kind::CountermovementJump
        };
        for one in all.iter().filter(theirs) {
            let made = match one.filing.load.in_kilograms() {
                0.0 => velocity_for_height(person("B03").jump_height_m(DAY)),
                kg => person("B03").take_off_m_s(DAY, kg),
            };
            let found = read(one).sets[0].value(&height::TAKE_OFF_VELOCITY).unwrap();
            assert!((found / made - 1.0).abs() < 0.04, "{}: {found} of {made}", one.file);
        }
    }

    // Mean velocity counts from 0.02 m/s on and the smoothing takes up to 3 % of it.
    #[test]
    fn every_kind_is_there_and_is_read() {
        let all = recorded(23);
        for kind in Kind::ALL {
            let theirs: Vec<_> = all.iter().filter(|one| one.filing.kind == kind).collect();
            assert!(!theirs.is_empty(), "{}", kind.id());
            for one in theirs {
                assert!(!read(one).sets.is_empty(), "{}", one.file);
            }
        }
        let hops = all.iter().find(|one| one.filing.kind == Kind::RepeatedJump).unwrap();
        assert_eq!(read(hops).hops.len(), 10);
        let squats = all.iter().filter(|one| one.filing.kind == Kind::Bar);
        for (one, (_, reps, mean_m_s)) in squats.zip(SQUATS) {
            let analysis = read(one);
            assert_eq!(analysis.sets.len(), reps as usize, "{}", one.file);
            let first = analysis.sets[0].value(&bar_velocity::MEAN).unwrap();
            // v = 30 R/T τ² near the ends: what is slower than 0.02 m/s is cut off both.
            let expected = mean_m_s / (1.0 - 2.0 * (0.02 / (30.0 * mean_m_s)).sqrt());
            assert!((first / expected - 1.0).abs() < 0.05, "{}: {first}", one.file);
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
