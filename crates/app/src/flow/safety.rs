//! Acts about safety and consent: what was typed becomes one change, or a sentence why not.

use crate::flow::act::Answer;
use crate::flow::day;
use crate::flow::doors::Who;
use crate::flow::house::House;
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::permission::{Clearance, Role, Signed};
use cornerwork_core::camp::safety_change::{BoxConfirmation, Member, SafetyChange, TakenOver};
use cornerwork_core::camp::stand_down::{Stoppage, StoppageRecord};
use cornerwork_core::camp::stop_sign::StopSign;
use cornerwork_core::entry::decimal;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::rep::Side;
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use cornerwork_core::units::Length;
use cornerwork_io::store::Forgotten;
use jiff::ToSpan;
use jiff::civil::Date;

/// Longest note.
const LONGEST_NOTE: usize = 400;
/// A coach's word for a higher box holds this long.
const CONFIRMED_DAYS: i64 = 28;

/// What someone does about safety, as typed. Fields are what a form holds, by name.
#[derive(Clone, Debug)]
pub struct SafetyAct {
    /// About whom; absent for what is about the gym's people.
    pub athlete: Option<AthleteId>,
    /// Which act.
    pub what: String,
    /// The fields.
    pub fields: Vec<(String, String)>,
    /// Whoever does it.
    pub who: Who,
    /// A new number as it is to be kept, for whoever gets one.
    pub number: Option<String>,
}

impl SafetyAct {
    fn text(&self, name: &str) -> &str {
        let field = self.fields.iter().find(|(field, _)| field == name);
        field.map_or("", |(_, text)| text.trim())
    }

    fn note(&self, name: &str) -> String {
        self.text(name).chars().take(LONGEST_NOTE).collect()
    }

    fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.fields.iter().filter(move |(field, _)| field == name).map(|(_, text)| text.as_str())
    }

    fn date(&self, name: &str, what: &str) -> Result<Date, String> {
        day::typed(self.text(name), what)
    }

    fn athlete(&self) -> Result<AthleteId, String> {
        self.athlete.clone().ok_or_else(|| "Choose the athlete first.".to_owned())
    }

    fn signed(&self) -> Signed {
        self.who.signed()
    }
}

/// The change an act asks for.
///
/// # Errors
/// A sentence for whoever did it.
pub fn change(house: &House, gym: &Gym, act: &SafetyAct) -> Result<Change, String> {
    let today = house.clock().today();
    let safety = match act.what.as_str() {
        "stoppage" => SafetyChange::Stopped(stoppage(house, gym, act)?),
        "clear" => SafetyChange::Cleared {
            restriction: RestrictionId(act.text("restriction").to_owned()),
            on: act.date("on", "the examination")?,
            by: own_word(gym, act)?,
        },
        "extend" => SafetyChange::OutExtended {
            restriction: RestrictionId(act.text("restriction").to_owned()),
            until: act.date("until", "the new earliest date")?,
            by: own_word(gym, act)?,
        },
        "stop" => SafetyChange::StopSignSeen {
            athlete: act.athlete()?,
            sign: StopSign::from_code(act.text("sign")).ok_or("Choose the sign that was seen.")?,
            on: today,
        },
        "restrict" => return Ok(Change::RestrictionSet(restriction(house, gym, act, today)?)),
        "consent" => SafetyChange::Consented(consent(act, today)?),
        "confirm-box" => SafetyChange::BoxConfirmed(confirmation(house, gym, act, today)?),
        "head-coach" => SafetyChange::HeadCoachNamed {
            athlete: act.athlete()?,
            name: Some(act.text("name").to_owned()).filter(|name| !name.is_empty()),
        },
        "medical-note" => SafetyChange::MedicalNoted {
            athlete: act.athlete()?,
            on: today,
            text: act.note("text"),
            by: act.signed(),
        },
        "cycle-note" => SafetyChange::CycleNoted {
            athlete: act.athlete()?,
            on: today,
            symptoms: act.text("symptoms").parse().map_err(|_| "Choose 0 to 3.")?,
            text: act.note("text"),
        },
        "member" => entered(gym, act, today)?,
        "renew" => SafetyChange::MemberEntered(renewed(gym, act)?),
        other => return Err(format!("Nothing is called \"{other}\" here. Reload the page.")),
    };
    Ok(Change::Safety(safety))
}

fn stoppage(house: &House, gym: &Gym, act: &SafetyAct) -> Result<StoppageRecord, String> {
    let kind = Stoppage::from_code(act.text("kind")).ok_or("Choose how it ended.")?;
    let on = act.date("on", "the stoppage")?;
    stood_down(house, gym, act.athlete()?, (kind, on), act.text("body"), act.signed())
}

/// The stand-down that a stoppage begins: the longest of the body's rules that fits the history.
///
/// # Errors
/// A sentence where the body has no rule for it.
pub fn stood_down(
    house: &House,
    gym: &Gym,
    athlete: AthleteId,
    (kind, on): (Stoppage, Date),
    body: &str,
    by: Signed,
) -> Result<StoppageRecord, String> {
    if body.is_empty() {
        return Err("Choose whose rules bind: the days out follow from them.".to_owned());
    }
    let history = gym.safety().stoppage_history(&athlete);
    let rules = &house.safety.rules.stand_downs;
    let found = rules.stand_down(body, kind, on, &history).map_err(|error| error.to_string())?;
    Ok(StoppageRecord {
        athlete,
        kind,
        on,
        by,
        earliest: found.earliest,
        date_known: found.open.is_none(),
        rule: found.words(body),
        body: body.to_owned(),
    })
}

/// What is barred, in the words of the form: everything, one exercise, or one side of it.
fn restriction(
    house: &House,
    gym: &Gym,
    act: &SafetyAct,
    today: Date,
) -> Result<Restriction, String> {
    let athlete = act.athlete()?;
    let ground = act.note("ground");
    if ground.is_empty() {
        return Err(
            "Write on whose word, in words fit for everyone: \"right hand, physio's word\"."
                .to_owned(),
        );
    }
    let exercise = act.text("exercise");
    let barred = if exercise.is_empty() {
        Barred::Everything
    } else {
        let known = ExerciseId::new(exercise).filter(|id| house.exercise(gym, id).is_some());
        let exercises = vec![known.ok_or("That exercise is not in the library.")?];
        match Side::from_code(act.text("side")) {
            Some(side) => Barred::OneSide { exercises, side },
            None => Barred::Exercises(exercises),
        }
    };
    let until = act.text("until");
    let earliest_end = if until.is_empty() { None } else { Some(act.date("until", "its end")?) };
    if earliest_end.is_some_and(|end| end <= today) {
        return Err("The end lies in the past. Type the first day it no longer binds.".to_owned());
    }
    let needs_clearance = act.text("clearance") == "yes" || earliest_end.is_none();
    let what = if exercise.is_empty() { "everything" } else { exercise };
    let side = act.text("side");
    let instead = Some(act.note("instead")).filter(|instead| !instead.is_empty());
    let id = RestrictionId(format!(
        "{athlete}-{what}{}{side}-{today}",
        if side.is_empty() { "" } else { "-" }
    ));
    Ok(Restriction {
        id,
        athlete,
        barred,
        from: today,
        earliest_end,
        needs_clearance,
        ground,
        instead,
    })
}

fn consent(act: &SafetyAct, today: Date) -> Result<Consent, String> {
    let name = act.note("name");
    if name.is_empty() {
        return Err("Write the name of whoever gave or withdrew it.".to_owned());
    }
    Ok(Consent {
        athlete: act.athlete()?,
        to: ConsentTo::from_code(act.text("to")).ok_or("Choose what the consent is to.")?,
        given: act.text("given") == "yes",
        giver: Giver::from_code(act.text("giver")).ok_or("Choose who gives it.")?,
        name,
        shared_with: act.all("shared").filter_map(Role::from_code).collect(),
        on: today,
    })
}

/// Only an exercise that lets a coach confirm, and only an age at which it does.
fn confirmation(
    house: &House,
    gym: &Gym,
    act: &SafetyAct,
    today: Date,
) -> Result<BoxConfirmation, String> {
    let athlete = act.athlete()?;
    let person = gym.athlete(&athlete).ok_or("Nobody of this code is here.")?;
    let exercise = ExerciseId::new(act.text("exercise")).and_then(|id| house.exercise(gym, &id));
    let exercise = exercise.ok_or("That exercise is not in the library.")?;
    let permissions = &exercise.permissions;
    let age = person.age_years(today);
    let younger = |than: Option<u8>| than.is_some_and(|years| age < years);
    if younger(permissions.barred_under_years) {
        let years = permissions.barred_under_years.unwrap_or_default();
        return Err(format!("Under {years} nobody confirms a higher box, whatever the reason."));
    }
    if !younger(permissions.confirm_under_years) {
        return Err(format!("{} needs no confirmation in {}.", person.given_name(), exercise.name));
    }
    let centimetres = decimal(act.text("cm")).filter(|cm| (10.0..=75.0).contains(cm));
    let centimetres = centimetres.ok_or("Type the highest box in centimetres, 10 to 75.")?;
    Ok(BoxConfirmation {
        athlete,
        exercise: exercise.id.clone(),
        highest: Length::centimetres(centimetres),
        until: today.saturating_add(CONFIRMED_DAYS.days()),
        by: act.signed(),
        reason: act.note("reason"),
    })
}

fn member(gym: &Gym, act: &SafetyAct) -> Result<Member, String> {
    if act.who.role != Role::Coach {
        return Err("Only the coach enters people.".to_owned());
    }
    let name: String = act.text("name").chars().take(60).collect();
    if name.is_empty() {
        return Err("Type the name.".to_owned());
    }
    let role = Role::from_code(act.text("role")).ok_or("Choose the role.")?;
    let child = AthleteId::new(act.text("child"));
    match (&child, role) {
        (None, Role::Guardian) => {
            return Err("A guardian speaks for one athlete: type the code.".to_owned());
        }
        (Some(child), Role::Guardian) if gym.athlete(child).is_none() => {
            return Err(format!("There is no athlete {child} here."));
        }
        _ => {}
    }
    let child = child.filter(|_| role == Role::Guardian);
    Ok(Member { name, role, pin: act.number.clone(), pin_is_private: false, child })
}

/// Someone entered; who has a number of their own only with a reason, which stays on record.
fn entered(gym: &Gym, act: &SafetyAct, today: Date) -> Result<SafetyChange, String> {
    let member = member(gym, act)?;
    let reason = act.note("reason");
    let own = gym.safety().member(&member.name).is_some_and(|one| one.pin_is_private);
    if !own || reason.is_empty() {
        return Ok(SafetyChange::MemberEntered(member));
    }
    let taken = TakenOver { on: today, by: act.signed(), reason };
    Ok(SafetyChange::MemberTakenOver { member, taken })
}

/// A word that ends or lengthens a stand-down is given under a number nobody else was shown.
fn own_word(gym: &Gym, act: &SafetyAct) -> Result<Signed, String> {
    let member = act.who.name.as_ref().and_then(|name| gym.safety().member(name));
    if member.is_some_and(|member| !member.pin_is_private) {
        return Err("The coach has seen this number. Ask for one of your own under \"Who holds this device\", then sign.".to_owned());
    }
    Ok(act.signed())
}

/// A number only its owner is shown.
fn renewed(gym: &Gym, act: &SafetyAct) -> Result<Member, String> {
    let name = act.who.name.as_ref().ok_or("Sign in first.")?;
    let member = gym.safety().member(name).ok_or("Sign in first.")?.clone();
    Ok(Member { pin: act.number.clone(), pin_is_private: true, ..member })
}

/// Deletes everything about an athlete, once the code was typed to confirm. An athlete who is
/// stood down stays until cleared: coming back under a new code would end the stand-down.
pub async fn forget(
    house: &House,
    who: &Who,
    athlete: AthleteId,
    typed: &str,
    id: OperationId,
) -> Answer {
    if who.role != Role::Coach {
        return Answer::Refused("Only the coach deletes an athlete.".to_owned());
    }
    if AthleteId::new(typed).as_ref() != Some(&athlete) {
        return Answer::Refused(format!(
            "Type the code, {athlete}, to delete everything about this athlete."
        ));
    }
    let today = house.clock().today();
    {
        let ledger = house.keeper.ledger();
        let gym = ledger.gym();
        let mut binding = gym.restrictions(&athlete, today);
        if binding.any(|one| gym.clearance_needed(one) == Some(Clearance::Doctor)) {
            return Answer::Refused("A doctor has to clear this athlete first: deleted, the stand-down would be gone as well.".to_owned());
        }
    }
    let forgotten = house.keeper.forget(athlete, who.author(), id).await;
    // What was computed of the athlete goes as well.
    house.profiles.forget_all();
    match forgotten {
        Ok(Forgotten { packed: true, .. }) => Answer::GoTo("/people".to_owned()),
        Ok(Forgotten { packed: false, .. }) => Answer::Refused(
            "Deleted: nothing here shows the athlete any more. The disk had no room to overwrite what it still holds of it: free some space and start the program again, which finishes it."
                .to_owned(),
        ),
        Err(error) => Answer::Refused(error.to_string()),
    }
}
