//! Typing in what was written on the sheets: the same rows in the same order, one number after
//! the other, each judged as if it had been typed at the rack.

use super::floor_sheet::sheet_rows;
use crate::flow::act::{self, Answer, Offer};
use crate::flow::house::House;
use crate::flow::predict;
use crate::flow::program::{bar_kind, bars};
use cornerwork_core::entry::About;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::kit::{Loadable, loadable, nearest};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::paper::{Blank, PaperChange, PaperRefusal, SheetRow};
use cornerwork_core::session::program::{SessionId, SessionPlan};
use cornerwork_core::session::rep::{Load, Rep, RepEntry, Side};
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::words;
use jiff::Timestamp;

/// What stands for a rep done without a number, as people write it.
const NO_NUMBER: [&str; 5] = ["-", "–", "—", "x", "X"];

/// What was typed for one blank.
#[derive(Clone, Debug)]
pub struct TypedBlank {
    /// Which blank.
    pub blank: Blank,
    /// As typed: a number, a dash, or nothing.
    pub text: String,
    /// What hung or stood, as typed, where it was not what the sheet says; empty for that.
    pub hung: String,
    /// The reading chosen after a question, in SI units.
    pub chosen: Option<f64>,
    /// On which printing of the sheets it stands, from 1; `None` for the last.
    pub sheet: Option<usize>,
}

/// The sheets of a session with what was typed in so far.
#[derive(Debug)]
pub struct Typing<'a> {
    /// When each printing was made, oldest first; none where they never were printed.
    pub printings: Vec<Timestamp>,
    /// Which of them this is, from 1.
    pub printing: usize,
    /// One a station.
    pub sheets: Vec<Sheet<'a>>,
}

/// The sheet of a station.
#[derive(Debug)]
pub struct Sheet<'a> {
    /// Its number.
    pub station: u8,
    /// What most do there.
    pub exercise: &'a Exercise,
    /// Its rows.
    pub rows: Vec<Row<'a>>,
}

/// A row of a sheet.
#[derive(Debug)]
pub struct Row<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// What.
    pub exercise: &'a Exercise,
    /// As it was printed.
    pub printed: SheetRow,
    /// Why nothing more can be typed in, where that is so.
    pub barred: Option<String>,
    /// What began on the day itself: only what was done before is to be typed in.
    pub ended: Option<String>,
    /// Room for numbers, in the order they were done.
    pub blanks: Vec<Slot<'a>>,
}

/// Room for one number.
#[derive(Debug)]
pub struct Slot<'a> {
    /// In which set.
    pub set: u32,
    /// In which place of the set.
    pub rep: u32,
    /// What was typed in.
    pub typed: Option<&'a Rep>,
    /// What was entered at the rack before the power went: it needs no typing.
    pub at_the_rack: Option<&'a Rep>,
}

impl Typing<'_> {
    /// Numbers there is room for, and how many of them are on record.
    pub fn count(&self) -> (usize, usize) {
        let slots = self.sheets.iter().flat_map(|sheet| &sheet.rows).flat_map(|row| &row.blanks);
        slots.fold((0, 0), |(all, done), slot| {
            let is_done = slot.typed.or(slot.at_the_rack).is_some();
            (all + 1, done + usize::from(is_done))
        })
    }
}

/// The rows as they stand on a printing of the sheets, the last where none is named; as they would
/// be printed now where they never were.
fn rows_of(house: &House, gym: &Gym, plan: &SessionPlan, printing: Option<usize>) -> Vec<SheetRow> {
    let printed = gym.papers().printed(&plan.id);
    let named = printing.and_then(|number| printed.get(number.checked_sub(1)?));
    match named.or_else(|| printed.last()) {
        Some(sheets) => sheets.rows.clone(),
        None => sheet_rows(house, gym, plan),
    }
}

/// That these sheets were printed; `None` where the same ones were.
pub fn printed(house: &House, gym: &Gym, plan: &SessionPlan) -> Option<PaperChange> {
    gym.program.session(&plan.id).filter(|plan| !plan.is_template())?;
    let rows = sheet_rows(house, gym, plan);
    let known = gym.papers().sheets(&plan.id).is_some_and(|sheets| sheets.rows == rows);
    (!known).then(|| PaperChange::SheetPrinted { session: plan.id.clone(), rows })
}

/// The sheets of a planned session.
///
/// # Errors
/// A sentence where the session has no day or lies ahead.
pub fn typing<'a>(
    house: &'a House,
    gym: &'a Gym,
    id: &SessionId,
    printing: Option<usize>,
) -> Result<(&'a SessionPlan, Typing<'a>), String> {
    let plan = done_by_now(house, gym, id)?;
    let rows = rows_of(house, gym, plan, printing);
    let printings: Vec<Timestamp> =
        gym.papers().printed(&plan.id).iter().map(|sheets| sheets.printed).collect();
    let printing = printing.filter(|number| (1..=printings.len()).contains(number));
    let printing = printing.unwrap_or(printings.len());
    let mut sheets: Vec<Sheet<'_>> = Vec::new();
    for row in rows {
        let Some(view) = view(house, gym, plan, row) else { continue };
        match sheets.last_mut().filter(|sheet| sheet.station == view.printed.station) {
            Some(sheet) => sheet.rows.push(view),
            None => sheets.push(Sheet {
                station: view.printed.station,
                exercise: plan
                    .block(view.printed.station)
                    .and_then(|block| house.exercise(gym, &block.exercise))
                    .unwrap_or(view.exercise),
                rows: vec![view],
            }),
        }
    }
    Ok((plan, Typing { printings, printing, sheets }))
}

fn done_by_now<'a>(house: &House, gym: &'a Gym, id: &SessionId) -> Result<&'a SessionPlan, String> {
    let plan = gym.program.session(id).ok_or_else(|| PaperRefusal::NotPlanned.to_string())?;
    let day = plan.date.ok_or("A template has no sheets. Plan a session from it first.")?;
    let ahead = PaperRefusal::Ahead { day };
    if day > house.clock().today() { Err(ahead.to_string()) } else { Ok(plan) }
}

fn view<'a>(house: &'a House, gym: &'a Gym, plan: &SessionPlan, row: SheetRow) -> Option<Row<'a>> {
    let athlete = gym.athlete(&row.athlete)?;
    let exercise = house.exercise(gym, &row.exercise)?;
    let at_the_rack = at_the_rack(house, gym, plan, &row);
    let blanks = (1..=row.sets)
        .flat_map(|set| {
            let mut done = at_the_rack.iter().copied().filter(move |rep| rep.set == set);
            (1..=row.reps).map(move |rep| (set, rep, done.next())).collect::<Vec<_>>()
        })
        .map(|(set, rep, at_the_rack)| {
            let typed = gym.rep_in(&blank(plan, &row, set, rep));
            Slot { set, rep, typed, at_the_rack }
        })
        .collect();
    let day = plan.date?;
    let first = blank(plan, &row, 1, 1);
    let barred = gym.allows_from_paper(&first, &row.exercise, day).err();
    let ended = gym.allows(&athlete.id, &row.exercise, row.side, day).err();
    let (barred, ended) = match (barred, ended) {
        (Some(refusal), _) => (Some(refusal.to_string()), None),
        (None, ended) => (None, ended.map(|refusal| refusal.to_string())),
    };
    Some(Row { athlete, exercise, printed: row, barred, ended, blanks })
}

fn blank(plan: &SessionPlan, row: &SheetRow, set: u32, rep: u32) -> Blank {
    Blank {
        session: plan.id.clone(),
        station: row.station,
        athlete: row.athlete.clone(),
        side: row.side,
        set,
        rep,
    }
}

/// Reps of a row entered at the station itself that day, in order.
fn at_the_rack<'a>(
    house: &House,
    gym: &'a Gym,
    plan: &SessionPlan,
    row: &SheetRow,
) -> Vec<&'a Rep> {
    gym.reps_of(&row.athlete)
        .filter(|one| !one.from_paper && one.entry.side == row.side)
        .filter(|one| one.entry.station == Some(row.station))
        .filter(|one| Some(house.clock().date_of(one.entry.at)) == plan.date)
        .collect()
}

/// The change that a typed blank makes.
///
/// # Errors
/// [`Answer::Kept`] where nothing changes, else a question or a sentence.
pub fn change(house: &House, gym: &Gym, typed: &TypedBlank) -> Result<Change, Answer> {
    let who = gym.given_name(&typed.blank.athlete);
    let place = format!("{who}, set {}, rep {}", typed.blank.set, typed.blank.rep);
    change_at(house, gym, typed).map_err(|answer| match answer {
        Answer::Ask { doubt, offers } => Answer::Ask { doubt: format!("{place}: {doubt}"), offers },
        Answer::Refused(sentence) => Answer::Refused(format!("{place}: {sentence}")),
        other => other,
    })
}

fn change_at(house: &House, gym: &Gym, typed: &TypedBlank) -> Result<Change, Answer> {
    let refused = |sentence: String| Answer::Refused(sentence);
    let Blank { session, set, rep, .. } = &typed.blank;
    let plan = done_by_now(house, gym, session).map_err(refused)?;
    let rows = rows_of(house, gym, plan, typed.sheet);
    let row = rows.into_iter().find(|row| blank(plan, row, *set, *rep) == typed.blank);
    let row = row.filter(|row| (1..=row.sets).contains(set) && (1..=row.reps).contains(rep));
    let row = row.ok_or_else(|| refused(PaperRefusal::NoBlank.to_string()))?;
    let known = gym.rep_in(&typed.blank);
    let text = typed.text.trim();
    if text.is_empty() {
        // An empty blank is a rep nobody wrote down: nothing, never zero.
        let known = known.ok_or(Answer::Kept)?;
        let reason = "emptied while typing in from paper".to_owned();
        return Ok(Change::Withdrawn { operation: known.id, reason });
    }
    let exercise = house.exercise(gym, &row.exercise);
    let exercise = exercise
        .ok_or_else(|| refused("This exercise is not in the library any more.".to_owned()))?;
    let mut entry = entry(house, gym, plan, exercise, &row, &typed.hung)?;
    let step = step_doubt(gym, exercise, &entry).filter(|_| typed.chosen.is_none());
    if NO_NUMBER.contains(&text) {
        if let Some(step) = step {
            return Err(asked_without_number(step, &entry));
        }
    } else {
        let expected = predict::rep(house, gym, &entry);
        // The place is put before every question here.
        let about = About::default();
        let read = act::read_expecting(text, &exercise.measure, typed.chosen, &expected, &about);
        entry.value = Some(match step {
            Some(step) => return Err(asked(&step, read, exercise, &entry)),
            None => read?,
        });
    }
    let Some(known) = known else {
        let (session, set, rep) = (session.clone(), *set, *rep);
        let change = Change::Paper(PaperChange::RepTyped { session, set, rep, entry });
        let stopped = gym.stops(&change, house.moment(), &house.exercises);
        return stopped.map(|()| change).map_err(|stop| refused(stop.to_string()));
    };
    if known.entry.value == entry.value {
        return Err(Answer::Kept);
    }
    let reason = "typed in anew from paper".to_owned();
    Ok(Change::RepCorrected { rep: known.id, value: entry.value, reason })
}

/// A load further above what was done lately than the rack would let it hang. It is done already,
/// so it is asked about and not refused; once a row, for what was answered is on record then.
fn step_doubt(gym: &Gym, exercise: &Exercise, entry: &RepEntry) -> Option<String> {
    let stop = gym.may_hang(&entry.athlete, exercise, entry.load.total, entry.at).err()?;
    Some(format!("{stop} Did {} hang?", words::kilograms(entry.load.total)))
}

/// The question about a step, together with that about the number where there is one.
fn asked(step: &str, read: Result<f64, Answer>, exercise: &Exercise, entry: &RepEntry) -> Answer {
    match read {
        Ok(value) => {
            let load = entry.load.total.in_kilograms();
            let number = exercise.measure.with_unit(value);
            let offer = format!("{number} with {load:.1} kg, as written");
            Answer::Ask { doubt: step.to_owned(), offers: vec![Offer::reading(value, offer)] }
        }
        Err(Answer::Ask { doubt, offers }) => {
            Answer::Ask { doubt: format!("{step} {doubt}"), offers }
        }
        Err(other) => other,
    }
}

/// The question about a step where the sheet has a dash: what was jumped with counts without its
/// height as well. What is chosen is the load that hung.
fn asked_without_number(step: String, entry: &RepEntry) -> Answer {
    let load = entry.load.total.in_kilograms();
    let offer = format!("done with {load:.1} kg, no number");
    Answer::Ask { doubt: step, offers: vec![Offer::reading(load, offer)] }
}

/// The rep without its number, at the time of its session.
fn entry(
    house: &House,
    gym: &Gym,
    plan: &SessionPlan,
    exercise: &Exercise,
    row: &SheetRow,
    hung: &str,
) -> Result<RepEntry, Answer> {
    let day = plan.date.ok_or_else(|| Answer::Refused(PaperRefusal::NotPlanned.to_string()))?;
    let (load, box_height) = done_with(gym, exercise, row, hung)?;
    let began = house.clock().moment(day, plan.starts);
    Ok(RepEntry {
        athlete: row.athlete.clone(),
        exercise: row.exercise.clone(),
        station: Some(row.station),
        load,
        box_height,
        side: row.side,
        value: None,
        contact_time: None,
        method: house.method_of(exercise),
        // Typed in before the session was to begin, it was done by then.
        at: began.min(house.clock().now()),
    })
}

/// What the sheet says, or what was written over it: a load that can be hung here, a box that
/// stands here and is open to the athlete.
fn done_with(
    gym: &Gym,
    exercise: &Exercise,
    row: &SheetRow,
    hung: &str,
) -> Result<(Load, Option<Length>), Answer> {
    let refused = |sentence: String| Answer::Refused(sentence);
    let as_printed = (row.load.clone(), row.box_height);
    let hung = hung.trim();
    if hung.is_empty() || hung == hung_as_printed(row) {
        return Ok(as_printed);
    }
    let unread =
        || refused(format!("\"{hung}\" is no number. Type what hung or stood, like 42.5."));
    let number: f64 = hung.replace(',', ".").parse().map_err(|_| unread())?;
    if row.box_height.is_some() || exercise.steps_off_a_box() {
        let wanted = Length::centimetres(number);
        let near = |one: &&Length| (**one - wanted).abs() < Length::centimetres(1.0);
        let stands = gym.boxes.iter().find(near).copied();
        let stands =
            stands.ok_or_else(|| refused(format!("There is no box of {number:.0} cm here.")))?;
        return Ok((row.load.clone(), Some(stands)));
    }
    let wanted = Mass::kilograms(number);
    let bars = bars(gym, bar_kind(exercise));
    let of_bar = |bar| loadable(bar, &gym.plates);
    let made = |loads: &[Loadable]| {
        nearest(loads, wanted)
            .filter(|one| (one.total() - wanted).abs() < Mass::kilograms(0.06))
            .cloned()
    };
    // The bar of the sheet first.
    let own = |bar: &&cornerwork_core::kit::Bar| Some(&bar.id) != row.load.bar.as_ref();
    let mut by_turn = bars.clone();
    by_turn.sort_by_key(own);
    let found = by_turn.iter().find_map(|bar| Some(Load::hung(bar, &made(&of_bar(bar))?)));
    let load = found.ok_or_else(|| {
        let close =
            bars.iter().filter_map(|bar| nearest(&of_bar(bar), wanted).map(Loadable::total));
        let close = close.min_by(|one, other| {
            let off = |load: &Mass| (*load - wanted).abs().in_kilograms();
            off(one).total_cmp(&off(other))
        });
        let close = close.map_or_else(String::new, |load| {
            format!(" The nearest is {:.2} kg.", load.in_kilograms())
        });
        refused(format!("{number} kg cannot be hung with the bars and plates here.{close}"))
    })?;
    Ok((load, None))
}

/// What hangs or stands by the sheet, as one types it: "42.5", "30", or nothing.
pub fn hung_as_printed(row: &SheetRow) -> String {
    match row.box_height {
        Some(height) => format!("{:.0}", height.in_centimetres()),
        None if row.load.total > Mass::ZERO => trimmed(row.load.total.in_kilograms()),
        None => String::new(),
    }
}

fn trimmed(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A number as one types it, for a field that holds it.
pub fn as_typed(exercise: &Exercise, rep: &Rep) -> String {
    rep.entry.value.map_or_else(|| "-".to_owned(), |value| exercise.measure.number(value))
}

/// "rear" as on the sheet, or nothing.
pub fn side_words(side: Option<Side>) -> &'static str {
    side.map_or("", Side::code)
}
