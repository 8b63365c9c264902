//! Everything about one athlete as one table to take away: a row a fact, numbers in SI units,
//! what is not known an empty cell.

use crate::flow::house::House;
use cornerwork_core::exercise::Dimension;
use cornerwork_core::session::athlete::{Athlete, Sex, Stance};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Mass, Quantity};
use jiff::civil::Date;

const COLUMNS: [&str; 10] = [
    "at",
    "what",
    "exercise",
    "side",
    "load_kg",
    "box_height_m",
    "contact_time_s",
    "value",
    "unit",
    "note",
];

/// The table as CSV (RFC 4180). Medical notes are in it for those who may read them; private
/// notes never are.
///
/// # Errors
/// When memory cannot be written to, which does not happen.
pub fn table(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    with_medical_notes: bool,
) -> Result<Vec<u8>, String> {
    let mut rows: Vec<[String; 10]> = facts(gym, athlete, house.clock().today());
    rows.extend(gym.body_masses(&athlete.id).iter().map(|(at, mass)| {
        row(&at.to_string(), "body mass", Some((mass.in_kilograms(), "kg")), "")
    }));
    rows.extend(reps(house, gym, athlete));
    rows.extend(safety(gym, athlete));
    if with_medical_notes {
        rows.extend(medical_notes(gym, athlete));
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(|error| error.to_string())?;
    for row in rows {
        writer.write_record(row).map_err(|error| error.to_string())?;
    }
    writer.into_inner().map_err(|error| error.to_string())
}

fn row(at: &str, what: &str, value: Option<(f64, &str)>, note: &str) -> [String; 10] {
    let number = value.map_or_else(String::new, |(value, _)| value.to_string());
    let unit = value.map_or_else(String::new, |(_, unit)| unit.to_owned());
    let empty = String::new;
    [
        at.to_owned(),
        what.to_owned(),
        empty(),
        empty(),
        empty(),
        empty(),
        empty(),
        number,
        unit,
        note.to_owned(),
    ]
}

/// Symbol of the SI unit.
const fn si_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "m",
        Dimension::Time => "s",
        Dimension::Velocity => "m/s",
        Dimension::Momentum => "kg m/s",
        Dimension::Force => "N",
        Dimension::Power => "W",
        Dimension::Mass => "kg",
        Dimension::Count | Dimension::Index => "1",
        Dimension::Angle => "rad",
        Dimension::Frequency => "Hz",
    }
}

fn facts(gym: &Gym, athlete: &Athlete, today: Date) -> Vec<[String; 10]> {
    let sex = if athlete.sex == Sex::Female { "female" } else { "male" };
    let stance = if athlete.stance == Stance::Southpaw { "southpaw" } else { "orthodox" };
    let born = athlete.born.date().map_or_else(String::new, |date| date.to_string());
    let mut facts = vec![
        row("", "code", None, athlete.id.as_str()),
        row("", "name", None, &athlete.name),
        row("", "sex", None, sex),
        row("", "born", None, &born),
        row("", "age", Some((f64::from(athlete.age_years(today)), "years")), ""),
        row("", "stance", None, stance),
        row("", "level", None, &athlete.level),
    ];
    let bouts = gym.bouts.values().filter(|bout| bout.athletes.contains(&athlete.id));
    facts.extend(bouts.map(|bout| row(&bout.date.to_string(), "bout", None, &bout.name)));
    facts
}

fn reps(house: &House, gym: &Gym, athlete: &Athlete) -> Vec<[String; 10]> {
    let metres = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    gym.reps_of(&athlete.id)
        .map(|rep| {
            let entry = &rep.entry;
            let exercise = house.exercise(gym, &entry.exercise);
            let unit = exercise.map_or("", |one| si_unit(one.measure.unit.dimension()));
            let faults: Vec<&str> = rep.faults.iter().map(|fault| fault.tag.as_str()).collect();
            let load = (entry.load.total > Mass::ZERO).then(|| entry.load.total.in_kilograms());
            [
                entry.at.to_string(),
                "rep".to_owned(),
                entry.exercise.to_string(),
                entry.side.map_or("", Side::code).to_owned(),
                metres(load),
                metres(entry.box_height.map(Quantity::si)),
                metres(entry.contact_time.map(Quantity::si)),
                metres(entry.value),
                unit.to_owned(),
                [&[entry.method.words()], faults.as_slice()].concat().join(", "),
            ]
        })
        .collect()
}

fn safety(gym: &Gym, athlete: &Athlete) -> Vec<[String; 10]> {
    let id = &athlete.id;
    let record = gym.safety();
    let mut rows = Vec::new();
    for one in record.sessions(id) {
        let felt =
            one.exertion.map_or_else(String::new, |felt| format!(", rated {}", felt.rating()));
        let note =
            format!("{}{felt}, {} rounds. {} {}", one.kind.code(), one.rounds, one.note, one.next);
        let minutes = one.minutes.map(|minutes| (f64::from(minutes) * 60.0, "s"));
        rows.push(row(&one.date.to_string(), "session closed", minutes, note.trim()));
    }
    if let Some(limit) = record.limit(id) {
        let mass = limit.limit.in_kilograms();
        rows.push(row(&limit.weigh_in.to_string(), "limit", Some((mass, "kg")), ""));
    }
    for one in record.stoppages(id) {
        let note = format!("{}; {}; {}", one.kind.words(), one.rule, one.end_in_words());
        rows.push(row(&one.on.to_string(), "stoppage", None, &note));
    }
    for (on, sign) in record.stop_signs(id) {
        rows.push(row(&on.to_string(), "session stopped", None, sign.words()));
    }
    for one in record.consents(id) {
        let given = if one.given { "yes" } else { "no" };
        let note = format!("{}: {given}, {} ({})", one.to.words(), one.name, one.giver.code());
        rows.push(row(&one.on.to_string(), "consent", None, &note));
    }
    rows
}

fn medical_notes(gym: &Gym, athlete: &Athlete) -> Vec<[String; 10]> {
    let notes = gym.safety().medical_notes(&athlete.id).iter();
    notes
        .map(|one| {
            let note = format!("{} ({})", one.text, one.by.words());
            row(&one.on.to_string(), "medical note", None, &note)
        })
        .collect()
}
