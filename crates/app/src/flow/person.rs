//! What one role may know about one athlete. Nothing leaves here that the table of
//! [`cornerwork_core::camp::permission`] does not give.

use crate::flow::barred;
use crate::flow::body_mass;
use crate::flow::doors::Who;
use crate::flow::house::House;
use crate::flow::progress::{self, Methods};
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::camp::consent::ConsentTo;
use cornerwork_core::camp::permission::{Matter, Role, Sight};
use cornerwork_core::camp::safety::{ClearanceGiven, CycleNote, MedicalNote};
use cornerwork_core::camp::stand_down::StoppageRecord;
use cornerwork_core::camp::stand_down_rules::BodyFacts;
use cornerwork_core::camp::stop_sign::StopSign;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::restriction::{Barred, Restriction, end_in_words};
use cornerwork_core::words;
use jiff::civil::Date;

/// In, limited or out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Availability {
    /// Nothing stands against it.
    In,
    /// With restrictions.
    Limited,
    /// Out, and until when, in words.
    Out(String),
    /// A minor without the guardian's consent.
    NoConsent,
}

impl Availability {
    /// Plain words with their shape.
    pub fn words(&self) -> String {
        match self {
            Self::In => "✓ in".to_owned(),
            Self::Limited => "△ limited".to_owned(),
            Self::Out(until) => format!("✕ out {until}"),
            Self::NoConsent => "✕ out: guardian's consent missing".to_owned(),
        }
    }
}

/// Whether someone trains today.
pub fn availability(gym: &Gym, athlete: &Athlete, today: Date) -> Availability {
    let missing =
        athlete.is_junior(today) && !gym.safety().consented(athlete, ConsentTo::Training, today);
    let mut binding = gym.restrictions(&athlete.id, today).peekable();
    if binding.peek().is_none() {
        return if missing { Availability::NoConsent } else { Availability::In };
    }
    let everything: Vec<&Restriction> =
        binding.filter(|one| one.barred == Barred::Everything).collect();
    // What ends only by someone's word, and without a date, comes first.
    let last = everything
        .iter()
        .max_by_key(|one| (one.needs_clearance, one.earliest_end.is_none(), one.earliest_end));
    match last {
        Some(last) => {
            Availability::Out(end_in_words(last.earliest_end, gym.clearance_needed(last)))
        }
        None if missing => Availability::NoConsent,
        None => Availability::Limited,
    }
}

/// What a role may know.
#[derive(Debug)]
pub struct PersonView<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// In, limited or out.
    pub availability: Availability,
    /// What is barred and what to do instead, in words fit for everyone; empty for who may know
    /// only that someone is out.
    pub barred: Vec<(&'a Restriction, String)>,
    /// What was barred and whose word ended it, latest first; as far as what is barred may be known.
    pub cleared: Vec<String>,
    /// Stoppages with their rules, for medical people and the guardian.
    pub stoppages: &'a [StoppageRecord],
    /// The last stand-down, its rule and the body's way back, for coaches.
    pub stand_down: Option<StandDownView<'a>>,
    /// Signs that ended a session, for medical people and the coach.
    pub stop_signs: &'a [(Date, StopSign)],
    /// Medical notes.
    pub medical_notes: &'a [MedicalNote],
    /// Whether medical notes are this role's to read at all.
    pub sees_medical_notes: bool,
    /// Private notes shared with this role; `None` is nothing, not even that there is none.
    pub cycle_notes: Option<&'a [CycleNote]>,
    /// How training goes, in sentences.
    pub training: Vec<String>,
    /// Body mass, as far as it is this role's.
    pub body_mass: Option<String>,
}

/// A stand-down as the card tells it.
#[derive(Clone, Copy, Debug)]
pub struct StandDownView<'a> {
    /// What is on record.
    pub record: &'a StoppageRecord,
    /// What is known of its body: how the way back goes.
    pub facts: Option<&'a BodyFacts>,
}

/// The card of an athlete for whoever asks; `None` when there is no such athlete, or none for them.
pub fn view<'a>(
    house: &'a House,
    gym: &'a Gym,
    code: &AthleteId,
    who: &Who,
) -> Option<PersonView<'a>> {
    let athlete = gym.athlete(code).filter(|one| who.sees(&one.id))?;
    let today = house.clock().today();
    let sees = |matter| who.role.sees(matter);
    let of_head = sees(Matter::HeadInjury);
    let medical = sees(Matter::Diagnosis) == Sight::All;
    let safety = gym.safety();
    let knows_what = sees(Matter::Diagnosis) != Sight::Nothing;
    let in_words = |one| (one, barred::with_ground(house, gym, one));
    let given = safety.clearances_given(code).iter().rev();
    let stoppages = safety.stoppages(code);
    let knows_signs = medical || who.role == Role::Coach;
    Some(PersonView {
        athlete,
        availability: availability(gym, athlete, today),
        barred: gym.restrictions(code, today).filter(|_| knows_what).map(in_words).collect(),
        cleared: given.filter(|_| knows_what).map(|one| cleared(house, gym, one)).collect(),
        stoppages: if of_head == Sight::All { stoppages } else { &[] },
        stand_down: stoppages
            .last()
            .filter(|_| matches!(of_head, Sight::All | Sight::Part("the earliest date")))
            .map(|record| StandDownView {
                record,
                facts: house.safety.rules.stand_downs.facts(&record.body),
            }),
        stop_signs: if knows_signs { safety.stop_signs(code) } else { &[] },
        medical_notes: if medical { safety.medical_notes(code) } else { &[] },
        sees_medical_notes: medical,
        cycle_notes: safety.cycle_notes(athlete, who.role, today),
        training: training(house, gym, code, sees(Matter::Training)),
        body_mass: mass(house, gym, athlete, sees(Matter::BodyMass)),
    })
}

/// "21 September: training (medical stand-down), by Teska Hollowbridge, doctor", and what there is
/// to doubt in it.
fn cleared(house: &House, gym: &Gym, given: &ClearanceGiven) -> String {
    let (day, what) = (words::day(given.on), barred::what(house, gym, &given.of));
    let doubts = gym.safety().taken_over(&given.by.name).iter();
    let doubts: String = doubts
        .map(|taken| format!(" Their own number was replaced on {}.", taken.words()))
        .collect();
    format!("{day}: {what} ({}), by {}.{doubts}", given.of.ground, given.by.words())
}

/// What a coach has to decide about someone before a session: a missing consent, a limit that
/// slips away. The gravest only.
pub fn asks(house: &House, gym: &Gym, athlete: &Athlete) -> Vec<String> {
    let today = house.clock().today();
    let consent = (availability(gym, athlete, today) == Availability::NoConsent)
        .then(|| "guardian's consent is missing: no training until it is on record.".to_owned());
    let mass = body_mass::view(house, gym, athlete).way.and_then(|way| {
        let grave = way.notes.into_iter().find(|note| note.id != "far-ahead");
        grave.map(|note| note.text)
    });
    consent.into_iter().chain(mass).collect()
}

fn training(house: &House, gym: &Gym, code: &AthleteId, sight: Sight) -> Vec<String> {
    if matches!(sight, Sight::Part("today's station") | Sight::Nothing) {
        return Vec::new();
    }
    let squad = SquadJumps::of_gym(house, gym);
    let change = progress::change(house, gym, code, &squad, Methods::KeptApart)
        .map(|change| change.value.sentence);
    let usual = progress::usual_day(house, gym, code, &squad).map(|day| day.today.value.sentence);
    change.into_iter().chain(usual).collect()
}

fn mass(house: &House, gym: &Gym, athlete: &Athlete, sight: Sight) -> Option<String> {
    let view = || body_mass::view(house, gym, athlete);
    match sight {
        Sight::All => Some(body_mass::sentence(&view())),
        Sight::Part("the trend") => Some(body_mass::trend_in_words(&view())),
        Sight::Part(_) => Some(body_mass::in_a_word(&view()).to_owned()),
        Sight::IfShared | Sight::Nothing => None,
    }
}
