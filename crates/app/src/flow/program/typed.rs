//! Sessions as a coach types them: each form becomes one plan, or a sentence why not.

use super::{bar_kind, objection};
use crate::flow::day;
use crate::flow::house::House;
use cornerwork_core::exercise::{Exercise, ExerciseId, LoadModel, MeasureKind, Span, StopRule};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{
    Block, Exception, Exceptional, Intensity, Presence, ProgramChange, SessionId, SessionPlan,
};
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Duration, Mass, Velocity};
use jiff::civil::Date;

/// One edit of a session.
#[derive(Clone, Debug)]
pub enum Edit {
    /// Planned from a template for a day, with those who may train ticked.
    New {
        /// Which template.
        template: String,
        /// Day as typed, "2026-09-23".
        day: String,
    },
    /// Its head.
    Head {
        /// Name.
        name: String,
        /// Day; empty for a template.
        day: String,
        /// Start, "18:20".
        starts: String,
        /// Minutes for the stations.
        minutes: String,
    },
    /// Who comes.
    People {
        /// Everyone who does.
        present: Vec<AthleteId>,
    },
    /// A station changed, or a new one where the number is not there.
    Station(TypedBlock),
    /// A station taken away.
    NoStation {
        /// Its number.
        station: u8,
    },
    /// Something otherwise for one athlete.
    Except(Exception),
    /// As the plan has it after all.
    NoException {
        /// For whom.
        athlete: AthleteId,
        /// Where.
        station: Option<u8>,
    },
    /// Kept as a template of this name.
    Keep {
        /// Name of the template.
        name: String,
    },
    /// Taken away.
    Drop,
}

/// A station as typed.
#[derive(Clone, Debug, Default)]
pub struct TypedBlock {
    /// Number; empty for the next free one.
    pub station: String,
    /// Id of the exercise.
    pub exercise: String,
    /// Sets.
    pub sets: String,
    /// Reps.
    pub reps: String,
    /// Rest in seconds, or "2:00".
    pub rest: String,
    /// How the load is found: "peak", "velocity", "maximum", "box", "hold", "fixed", "body".
    pub rule: String,
    /// What the rule needs: "100", "1.6 to 1.8", "85", "4", "20".
    pub amount: String,
    /// Percent of drop that stops a set; empty for the exercise's own rule.
    pub stop: String,
}

/// The change an edit makes; `id` is that of the session edited, or of a new one.
///
/// # Errors
/// A sentence: what was wrong and what to type.
pub fn edit(house: &House, gym: &Gym, id: &SessionId, edit: Edit) -> Result<ProgramChange, String> {
    if let Edit::New { template, day } = &edit {
        return new(house, gym, id, template, day).map(ProgramChange::SessionPlanned);
    }
    let mut plan = super::session(house, gym, id)
        .ok_or_else(|| format!("There is no session {id} any more. Go back to the sessions."))?;
    let runs = gym.evening_of(id).is_some();
    match edit {
        Edit::New { .. } => {}
        Edit::Drop => return drop(gym, id, runs),
        Edit::Keep { name } => plan = template_of(&plan, &name)?,
        Edit::Except(exception) => {
            except(house, gym, &mut plan, exception)?;
        }
        Edit::NoException { athlete, station } => {
            plan.exceptions.retain(|one| one.athlete != athlete || one.station != station);
        }
        _ if runs => {
            return Err("This session is running. Its stations stay; swap, leave out or lighten \
                        for one athlete, or say who comes and goes."
                .to_owned());
        }
        Edit::Head { name, day, starts, minutes } => {
            head(&mut plan, &name, &day, &starts, &minutes)?;
        }
        Edit::People { present } => people(gym, &mut plan, present)?,
        Edit::Station(typed) => station(house, gym, &mut plan, &typed)?,
        Edit::NoStation { station } => {
            plan.blocks.retain(|block| block.station != station);
            plan.exceptions.retain(|one| one.station != Some(station));
        }
    }
    plan.check().map_err(|refusal| refusal.to_string())?;
    Ok(ProgramChange::SessionPlanned(plan))
}

/// The id of a session of a day from a template: the second of a day gets a number.
pub fn new_id(gym: &Gym, template: &str, day: Date) -> Option<SessionId> {
    let plain = format!("{day}-{template}");
    let free = |id: &SessionId| gym.program.session(id).is_none();
    let numbered = (2..100).map(|number| format!("{plain}-{number}"));
    std::iter::once(plain.clone()).chain(numbered).filter_map(|id| SessionId::new(&id)).find(free)
}

fn new(
    house: &House,
    gym: &Gym,
    id: &SessionId,
    template: &str,
    day: &str,
) -> Result<SessionPlan, String> {
    let date = day::typed(day, "the session")?;
    let template = SessionId::new(template).and_then(|id| super::session(house, gym, &id));
    let template = template.ok_or("There is no such template. Pick one of the list.")?;
    let may_train = |athlete: &&AthleteId| gym.may_train(athlete, date).is_ok();
    let usual = usual_people(gym);
    let people = usual.iter().filter(may_train).cloned().map(Presence::whole).collect();
    Ok(SessionPlan { id: id.clone(), date: Some(date), people, exceptions: Vec::new(), ..template })
}

/// Who came last time; everyone, as far as one session holds, before the first.
fn usual_people(gym: &Gym) -> Vec<AthleteId> {
    match &gym.evening {
        Some(evening) => evening.plan.groups.iter().flatten().cloned().collect(),
        None => gym.athletes.keys().take(12).cloned().collect(),
    }
}

fn drop(gym: &Gym, id: &SessionId, runs: bool) -> Result<ProgramChange, String> {
    if runs {
        return Err("This session is running. End the evening first.".to_owned());
    }
    if gym.program.session(id).is_none() {
        return Err("A template of the program stays. Your own versions can be dropped.".to_owned());
    }
    Ok(ProgramChange::SessionDropped(id.clone()))
}

fn template_of(plan: &SessionPlan, name: &str) -> Result<SessionPlan, String> {
    let name = name.trim();
    let words: Vec<String> = name
        .to_lowercase()
        .split(|letter: char| !letter.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    let id = SessionId::new(&words.join("-"));
    let id = id.ok_or("Give the template a name of letters and digits, like \"Power short\".")?;
    let source = "kept by the coach".to_owned();
    let none = (Vec::new(), Vec::new());
    let (people, exceptions) = none;
    Ok(SessionPlan {
        id,
        name: name.to_owned(),
        date: None,
        people,
        exceptions,
        source,
        ..plan.clone()
    })
}

fn except(
    house: &House,
    gym: &Gym,
    plan: &mut SessionPlan,
    exception: Exception,
) -> Result<(), String> {
    let athlete = gym
        .athlete(&exception.athlete)
        .ok_or_else(|| format!("There is no athlete {} here.", exception.athlete))?;
    let refused = |sentence: String| Err(sentence);
    match &exception.what {
        Exceptional::Swap { to, only } => {
            let exercise = house
                .exercise(gym, to)
                .ok_or_else(|| format!("The exercise library has no {to}."))?;
            let block = exception.station.and_then(|station| plan.block(station)).cloned();
            let block = block.ok_or("Say at which station to swap.")?;
            let objections = objection::of(house, gym, plan, &block, athlete, exercise, *only);
            if let Some(hard) = objections.into_iter().find(|one| one.hard) {
                return refused(hard.sentence);
            }
        }
        Exceptional::Confirmed { reason } if reason.trim().chars().count() < 3 => {
            return refused("Type the reason in a few words: it is kept with the session.".into());
        }
        Exceptional::Lighter { fraction } if !(0.0..=0.5).contains(fraction) => {
            return refused("Take off 0 to 50 %.".to_owned());
        }
        _ => {}
    }
    plan.except(exception);
    Ok(())
}

fn head(
    plan: &mut SessionPlan,
    name: &str,
    day: &str,
    starts: &str,
    minutes: &str,
) -> Result<(), String> {
    name.trim().clone_into(&mut plan.name);
    plan.date = if plan.is_template() { None } else { Some(day::typed(day, "the session")?) };
    plan.starts = day::time(starts)?;
    let read = minutes.trim().parse::<u16>().ok().filter(|minutes| (10..=240).contains(minutes));
    plan.minutes = read.ok_or_else(|| {
        format!("\"{minutes}\" is no length of a session. Type 10 to 240 minutes.")
    })?;
    Ok(())
}

fn people(gym: &Gym, plan: &mut SessionPlan, present: Vec<AthleteId>) -> Result<(), String> {
    if let Some(unknown) = present.iter().find(|id| gym.athlete(id).is_none()) {
        return Err(format!("There is no athlete {unknown} here."));
    }
    let known = std::mem::take(&mut plan.people);
    plan.people = present
        .into_iter()
        .map(|id| {
            let before = known.iter().find(|presence| presence.athlete == id).cloned();
            before.unwrap_or_else(|| Presence::whole(id))
        })
        .collect();
    let comes = |id: &AthleteId| plan.people.iter().any(|presence| presence.athlete == *id);
    plan.exceptions = std::mem::take(&mut plan.exceptions)
        .into_iter()
        .filter(|one| comes(&one.athlete))
        .collect();
    Ok(())
}

fn station(
    house: &House,
    gym: &Gym,
    plan: &mut SessionPlan,
    typed: &TypedBlock,
) -> Result<(), String> {
    let exercise = ExerciseId::new(&typed.exercise).and_then(|id| house.exercise(gym, &id));
    let exercise = exercise.ok_or("Pick an exercise of the library.")?;
    let next_free = (1..=99_u8).find(|number| plan.block(*number).is_none());
    let number = match typed.station.trim() {
        "" => next_free.ok_or("There is no free number for a station.")?,
        text => text
            .parse::<u8>()
            .map_err(|_| format!("\"{text}\" is no number of a station. Type 1 to 99."))?,
    };
    let dose = &exercise.dose;
    let block = Block {
        station: number,
        exercise: exercise.id.clone(),
        sets: count("sets", &typed.sets, u32::from(dose.sets.high))?,
        reps: count("reps", &typed.reps, u32::from(dose.repetitions.high))?,
        rest: rest(&typed.rest, dose.rest.low)?,
        intensity: intensity(exercise, &typed.rule, &typed.amount)?,
        stop: stop(exercise, &typed.stop)?,
    };
    match plan.blocks.iter_mut().find(|known| known.station == number) {
        Some(known) => *known = block,
        None => plan.blocks.push(block),
    }
    Ok(())
}

fn count(what: &str, text: &str, usual: u32) -> Result<u32, String> {
    match text.trim() {
        "" => Ok(usual.max(1)),
        text => text
            .parse::<u32>()
            .map_err(|_| format!("\"{text}\" is no number of {what}. Type a whole number.")),
    }
}

/// Seconds, or minutes and seconds: "120", "2:00".
fn rest(text: &str, usual: Duration) -> Result<Duration, String> {
    let wrong = || format!("\"{text}\" is no rest. Type seconds, like 120, or 2:00.");
    match text.trim() {
        "" => Ok(usual),
        text => match text.split_once(':') {
            Some((minutes, seconds)) => {
                let minutes: f64 = minutes.parse().map_err(|_| wrong())?;
                let seconds: f64 = seconds.parse().map_err(|_| wrong())?;
                Ok(Duration::seconds(minutes * 60.0 + seconds))
            }
            None => number(text).map(Duration::seconds).ok_or_else(wrong),
        },
    }
}

fn number(text: &str) -> Option<f64> {
    let number: f64 = text.trim().replace(',', ".").parse().ok()?;
    number.is_finite().then_some(number)
}

/// How the load is found, with what that needs.
fn intensity(exercise: &Exercise, rule: &str, amount: &str) -> Result<Intensity, String> {
    let wanted = |what: &str, example: &str| {
        let text = amount.trim().trim_end_matches(['%', ' ']);
        number(text).ok_or_else(|| format!("\"{amount}\" is no {what}. Type it like {example}."))
    };
    fits(exercise, rule)?;
    Ok(match rule {
        "peak" => Intensity::PeakMomentum {
            share: wanted("share of the peak in percent", "100")? / 100.0,
        },
        "velocity" => Intensity::Velocity { window: window(amount)? },
        "maximum" => {
            Intensity::OneRepMax { share: wanted("share of the maximum in percent", "85")? / 100.0 }
        }
        "box" => Intensity::BoxRule,
        "hold" => Intensity::Isometric { hold: Duration::seconds(wanted("hold in seconds", "4")?) },
        "fixed" => Intensity::Fixed { load: Mass::kilograms(wanted("load in kg", "20")?) },
        "body" => Intensity::BodyWeight,
        _ => return Err("Say how the load is found: pick one of the rules.".to_owned()),
    })
}

/// Whether a rule says anything about an exercise; the others fit all.
fn fits(exercise: &Exercise, rule: &str) -> Result<(), String> {
    let (fits, why) = match rule {
        "peak" => (
            exercise.load_model == LoadModel::SystemMass,
            "is no loaded jump: momentum has no peak there",
        ),
        "velocity" | "maximum" => (bar_kind(exercise).is_some(), "is not loaded with a bar"),
        "box" => (exercise.measure_of(MeasureKind::BoxHeight).is_some(), "is not done with a box"),
        "hold" => (
            exercise.load_model == LoadModel::Isometric || exercise.dose.hold.is_some(),
            "is not held",
        ),
        _ => (true, ""),
    };
    if fits { Ok(()) } else { Err(format!("{} {why}. Pick another rule.", exercise.name)) }
}

/// "1.6 to 1.8", "1,6-1,8".
fn window(text: &str) -> Result<Span<Velocity>, String> {
    let wrong = || format!("\"{text}\" is no window. Type two velocities, like 1.6 to 1.8.");
    let parts: Vec<f64> =
        text.replace("to", " ").split([' ', '-', '–']).filter_map(number).collect();
    let [low, high] = parts.as_slice() else { return Err(wrong()) };
    let [low, high] = [*low, *high].map(Velocity::metres_per_second);
    Span::new(low, high).ok_or_else(|| format!("\"{text}\": type the slower velocity first."))
}

/// A drop in percent, kept for as many reps in a row as the exercise's own rule asks.
fn stop(exercise: &Exercise, text: &str) -> Result<Option<StopRule>, String> {
    let text = text.trim().trim_end_matches(['%', ' ']);
    if text.is_empty() {
        return Ok(None);
    }
    let percent = number(text);
    let percent = percent
        .ok_or_else(|| format!("\"{text}\" is no drop. Type percent, like 8, or nothing."))?;
    let in_a_row = match exercise.stop {
        Some(StopRule::DropFromBest { in_a_row, .. }) => in_a_row,
        _ => 1,
    };
    Ok(Some(StopRule::DropFromBest { fraction: percent / 100.0, in_a_row }))
}

/// What a form says is otherwise for an athlete: "swap:box-jump", "side:rear", "out", "lighter:5",
/// "confirm" with a reason.
pub fn exceptional(code: &str, exercise: Option<&ExerciseId>, reason: &str) -> Option<Exceptional> {
    let (kind, value) = code.split_once(':').unwrap_or((code, ""));
    Some(match kind {
        "swap" => Exceptional::Swap { to: ExerciseId::new(value)?, only: None },
        "side" => Exceptional::Swap { to: exercise?.clone(), only: Some(Side::from_code(value)?) },
        "out" => Exceptional::LeftOut,
        "lighter" => Exceptional::Lighter { fraction: value.parse::<f64>().ok()? / 100.0 },
        "confirm" => Exceptional::Confirmed { reason: reason.trim().to_owned() },
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doses_are_read_as_a_coach_writes_them() {
        assert_eq!(rest("2:30", Duration::ZERO), Ok(Duration::seconds(150.0)));
        assert_eq!(rest("90", Duration::ZERO), Ok(Duration::seconds(90.0)));
        assert_eq!(rest("", Duration::seconds(60.0)), Ok(Duration::seconds(60.0)));
        assert!(rest("soon", Duration::ZERO).is_err());
        let span = window("1,6 - 1,8").unwrap();
        assert!((span.low.in_metres_per_second() - 1.6).abs() < 1e-12);
        assert_eq!(
            window("1.8 to 1.6").unwrap_err(),
            "\"1.8 to 1.6\": type the slower velocity first."
        );
        assert!(window("1.6").is_err());
    }
}
