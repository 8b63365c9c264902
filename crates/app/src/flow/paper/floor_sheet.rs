//! The sheet on the wall: one a station, in the order the sets are done, with room for every
//! number in the order it is typed in afterwards; last, one that shows who goes where when.

use super::foot;
use crate::flow::house::House;
use crate::flow::program::rotate;
use crate::flow::program::{resolve, rounds, turns};
use cornerwork_core::exercise::{Exercise, Sides};
use cornerwork_core::prescription::ramp::OnTheWay;
use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::paper::SheetRow;
use cornerwork_core::session::program::{
    Block as Station, DoThis, Planned, ResolvedSession, Round, SessionPlan,
};
use cornerwork_core::session::rep::{Load, Rep, Side};
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::words;
use jiff::Timestamp;

/// How the width is shared out: a blank has to take a written number.
const BLANK: u8 = 2;
const WORDS: u8 = 7;

/// More rows are set smaller, so that a station keeps to one page.
const ROWS_OF_A_WALL_SHEET: usize = 8;

/// What one athlete does at a station on one side: a row of the sheet, and of typing it in.
#[derive(Clone, Debug)]
struct Row<'a> {
    /// Who.
    athlete: &'a Athlete,
    /// What.
    planned: &'a Planned,
    /// On which side, where sides are kept apart.
    side: Option<Side>,
    /// What was swapped in, where it is not what the station is for.
    swapped: Option<String>,
}

impl Row<'_> {
    /// How many numbers it has room for.
    const fn numbers(&self) -> u32 {
        self.planned.sets * self.planned.reps
    }

    /// "Suhaila, lead", with what was swapped in for her: "Suhaila, box jump".
    fn name(&self) -> String {
        let name = self.athlete.given_name().to_owned();
        let side = self.side.map(|side| side.code().to_owned());
        [Some(name), self.swapped.clone(), side]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(", ")
    }

    fn printed(&self) -> SheetRow {
        let Planned { station, exercise, sets, reps, with, .. } = self.planned;
        let (load, box_height) = with_what(with);
        SheetRow {
            station: *station,
            athlete: self.athlete.id.clone(),
            exercise: exercise.clone(),
            side: self.side,
            load,
            box_height,
            sets: *sets,
            reps: *reps,
        }
    }
}

/// Every row of a session's sheets, station by station: what is printed, and what is typed in by
/// the same order.
pub fn sheet_rows(house: &House, gym: &Gym, plan: &SessionPlan) -> Vec<SheetRow> {
    let session = resolve::session(house, gym, plan);
    let orders = orders(plan, rounds::of(house, gym, &session).ok());
    let stations = plan.blocks.iter().zip(&orders);
    stations
        .flat_map(|(block, order)| rows(house, gym, &session, order, block.station))
        .map(|row| row.printed())
        .collect()
}

/// The rows of a station, in the order of the rotation.
fn rows<'a>(
    house: &House,
    gym: &'a Gym,
    session: &'a ResolvedSession,
    order: &[AthleteId],
    station: u8,
) -> Vec<Row<'a>> {
    let place = |one: &Planned| order.iter().position(|id| *id == one.athlete);
    let open = session.at_station(station).filter(|one| one.is_open());
    // Who does not pass the station in any round has no row on its sheet.
    let mut here: Vec<(usize, &Planned)> =
        open.filter_map(|one| Some((place(one)?, one))).collect();
    here.sort_by_key(|(place, _)| *place);
    let here = here.into_iter().map(|(_, planned)| planned);
    here.filter_map(|planned| {
        let athlete = gym.athlete(&planned.athlete)?;
        let exercise = house.exercise(gym, &planned.exercise)?;
        Some((athlete, planned, sides(exercise, planned)))
    })
    .flat_map(|(athlete, planned, sides)| {
        let usual = session.plan.block(station).map(|block| &block.exercise);
        let swapped = (usual != Some(&planned.exercise))
            .then(|| house.exercise_name(gym, &planned.exercise).to_lowercase());
        sides.into_iter().map(move |side| Row { athlete, planned, side, swapped: swapped.clone() })
    })
    .collect()
}

fn sides(exercise: &Exercise, planned: &Planned) -> Vec<Option<Side>> {
    match (exercise.sides, planned.only) {
        (Sides::None, _) => vec![None],
        (_, Some(side)) => vec![Some(side)],
        // As the station asks for them.
        (Sides::LeadRear, None) => vec![Some(Side::Rear), Some(Side::Lead)],
        (Sides::EachSide, None) => vec![Some(Side::Left), Some(Side::Right)],
    }
}

/// Who is at each station, in the order of the plan and of the rotation; in the order of the plan
/// alone where no rotation was found.
fn orders(plan: &SessionPlan, rounds: Option<Vec<Round>>) -> Vec<Vec<AthleteId>> {
    let stations = 0..plan.blocks.len();
    match rounds {
        Some(rounds) => {
            let at = |place| rounds.iter().filter_map(move |round| round.get(place));
            stations.map(|place| at(place).flatten().cloned().collect()).collect()
        }
        None => {
            let everyone = plan.people.iter().map(|one| one.athlete.clone()).collect::<Vec<_>>();
            stations.map(|_| everyone.clone()).collect()
        }
    }
}

/// The sheets of a session, one a station, and the rotation as a picture where one was found.
pub fn floor_sheet(house: &House, gym: &Gym, plan: &SessionPlan) -> Document {
    let session = resolve::session(house, gym, plan);
    let orders = orders(plan, rounds::of(house, gym, &session).ok());
    let name = sheet_name(house, gym, plan);
    let stations = plan.blocks.iter().zip(&orders);
    let mut sheets =
        stations.map(|(station, order)| sheet(house, gym, &session, station, order, &name));
    let (title, subtitle, mut blocks) = sheets
        .next()
        .unwrap_or_else(|| (plan.name.clone(), "No stations are planned.".to_owned(), Vec::new()));
    for (title, subtitle, more) in sheets {
        blocks.push(Block::NewSheet { title, subtitle });
        blocks.extend(more);
    }
    let held = turns::held(house, gym, &session).map(|held| held.turns);
    let planned = || {
        let found = rotate::rotate(house, gym, &session).ok()?;
        Some(turns::planned(house, gym, &session, &found))
    };
    if let Some(picture) = held.or_else(planned) {
        let title = "Who goes where when".to_owned();
        blocks.push(Block::NewSheet { title, subtitle: name });
        blocks.push(Block::Figures(vec![Figure::Turns(picture)]));
    }
    Document { title, subtitle, foot: foot(house, gym), lies: Lies::Across, blocks }
}

/// When the sheets of a session were printed last, and whether people stand elsewhere since; `None`
/// where they never were.
pub fn printed_when(house: &House, gym: &Gym, plan: &SessionPlan) -> Option<String> {
    let last = gym.papers().sheets(&plan.id)?;
    let who_does_what = |rows: &[SheetRow]| -> Vec<_> {
        let row =
            |row: &SheetRow| (row.station, row.athlete.clone(), row.exercise.clone(), row.side);
        rows.iter().map(row).collect()
    };
    let same = who_does_what(&last.rows) == who_does_what(&sheet_rows(house, gym, plan));
    let when = printed_at(house, last.printed);
    Some(if same {
        format!("Printed {when}.")
    } else {
        format!("Changed since the sheets printed {when}: print them again.")
    })
}

/// "at 17:40", with the day where it is another.
pub fn printed_at(house: &House, printed: Timestamp) -> String {
    let clock = house.clock();
    let (day, time) = (clock.date_of(printed), clock.time_of(printed));
    if day == clock.today() {
        format!("at {time}")
    } else {
        format!("on {} at {time}", words::day(day))
    }
}

/// What a sheet is called: day, session, and when it was first printed as it is.
fn sheet_name(house: &House, gym: &Gym, plan: &SessionPlan) -> String {
    let known = gym.papers().sheets(&plan.id);
    let known = known.filter(|sheets| sheets.rows == sheet_rows(house, gym, plan));
    let printed = known.map_or_else(|| house.clock().now(), |sheets| sheets.printed);
    format!("{}, sheet printed {}", day_and_name(plan), printed_at(house, printed))
}

/// "Saturday 26 September, Power, short".
fn day_and_name(plan: &SessionPlan) -> String {
    let when = plan.date.map(|date| format!("{}, ", words::weekday_and_day(date)));
    format!("{}{}", when.unwrap_or_default(), plan.name)
}

fn sheet(
    house: &House,
    gym: &Gym,
    session: &ResolvedSession,
    station: &Station,
    order: &[AthleteId],
    sheet_name: &str,
) -> (String, String, Vec<Block>) {
    let name = house.exercise_name(gym, &station.exercise);
    let subtitle = format!(
        "{sheet_name}: {} sets of {}, rest {:.0} s. One box a rep, in the order done; a dash for a rep without a number.",
        station.sets,
        station.reps,
        station.rest.in_seconds()
    );
    let rows = rows(house, gym, session, order, station.station);
    let most = rows.iter().map(Row::numbers).max().unwrap_or(0);
    let mut columns = vec![
        Column::words("who"),
        Column::words("hang"),
        Column::words("plates; aim; best to beat").share(WORDS),
    ];
    columns.extend((0..most).map(|place| {
        let (set, rep) = (place / station.reps.max(1) + 1, place % station.reps.max(1) + 1);
        let title = if rep == 1 { format!("set {set}") } else { String::new() };
        Column::words(title).share(BLANK)
    }));
    let cells = rows.iter().map(|row| cells(house, gym, row, most)).collect();
    let size = if rows.len() <= ROWS_OF_A_WALL_SHEET { Size::Wall } else { Size::Table };
    let mut blocks = vec![Block::Grid(Grid { columns, rows: cells, size })];
    blocks.extend(steps(&rows).map(Block::Caution));
    for one in session.at_station(station.station).filter(|one| !one.is_open()) {
        let Some(athlete) = gym.athlete(&one.athlete) else { continue };
        blocks.push(Block::Caution(format!("{} not here: see the plan.", athlete.given_name())));
    }
    (format!("{} · {name}", station.station), subtitle, blocks)
}

/// What is worked up to: the sheet says what to hang now.
fn steps(rows: &[Row<'_>]) -> Option<String> {
    let way = |row: &Row<'_>| match &row.planned.with {
        DoThis::Hang { load, goal: Some(goal), .. } => {
            let way = OnTheWay { now: load.total, goal: Some(*goal) };
            Some(format!("{}: {}", row.name(), way.in_words()))
        }
        _ => None,
    };
    let ways: Vec<String> = rows.iter().filter_map(way).collect();
    (!ways.is_empty()).then(|| format!("{}.", ways.join(". ")))
}

fn cells(house: &House, gym: &Gym, row: &Row<'_>, most: u32) -> Vec<Cell> {
    let mut cells = vec![
        Cell::Strong(row.name()),
        Cell::Strong(in_short(&row.planned.with)),
        Cell::Text(aim(house, gym, row)),
    ];
    cells.extend(
        (0..most).map(
            |place| {
                if place < row.numbers() { Cell::Blank } else { Cell::Text(String::new()) }
            },
        ),
    );
    cells
}

/// What is read from afar: "42.5 kg", "30 cm", "8 s".
fn in_short(with: &DoThis) -> String {
    let kilograms = |load: Mass| format!("{:.1} kg", load.in_kilograms());
    match with {
        DoThis::Hang { load, .. } | DoThis::NotYet { start: Some(load), .. } => {
            kilograms(load.total)
        }
        DoThis::Take { load } => kilograms(*load),
        DoThis::SetBox { height } => format!("{:.0} cm", height.in_centimetres()),
        DoThis::Hold { time } => format!("{:.0} s", time.in_seconds()),
        DoThis::Body => "body".to_owned(),
        DoThis::NotYet { start: None, .. } => "–".to_owned(),
    }
}

/// "landmine 2: 20 on the end; 1.60 to 1.80 m/s; best 1.86 m/s".
fn aim(house: &House, gym: &Gym, row: &Row<'_>) -> String {
    let Some(exercise) = house.exercise(gym, &row.planned.exercise) else { return String::new() };
    let measure = &exercise.measure;
    let target = row.planned.target.map(|target| match target {
        Target::AtLeast(least) => format!("from {}", measure.with_unit(least)),
        Target::Window { low, high } => {
            format!("{} to {}", measure.number(low), measure.with_unit(high))
        }
    });
    let (load, box_height) = with_what(&row.planned.with);
    let like = LikeForLike {
        athlete: &row.athlete.id,
        exercise: &exercise.id,
        side: row.side,
        load: &load,
        box_height,
        method: house.method_of(exercise),
    };
    let best = gym.best(&like, None, measure.direction).and_then(Rep::number);
    let best = best.map(|best| format!("best {}", measure.with_unit(best)));
    let plates = match &row.planned.with {
        DoThis::Hang { words, .. } | DoThis::NotYet { words, .. } => Some(words.clone()),
        _ => None,
    };
    plates.into_iter().chain(target).chain(best).collect::<Vec<_>>().join("; ")
}

fn with_what(what: &DoThis) -> (Load, Option<Length>) {
    match what {
        DoThis::Hang { load, .. } | DoThis::NotYet { start: Some(load), .. } => {
            (load.clone(), None)
        }
        DoThis::SetBox { height } => (Load::none(), Some(*height)),
        _ => (Load::none(), None),
    }
}
