//! Acts of a coach that are not a rep typed at the rack: each becomes one operation.

use crate::flow::advice;
use crate::flow::body_mass;
use crate::flow::camp::act::CampAct;
use crate::flow::close::{self, TypedSession};
use crate::flow::day;
use crate::flow::house::House;
use crate::flow::keeper::{Kept, NotKept, Submission};
use crate::flow::kit::{self, TypedBar};
use crate::flow::paper::typing::{self, TypedBlank};
use crate::flow::plan;
use crate::flow::predict;
use crate::flow::program::{self, ProgramAct};
use crate::flow::safety::{self, SafetyAct};
use crate::flow::whose;
use cornerwork_core::camp::body_mass::MassLimit;
use cornerwork_core::camp::safety_change::SafetyChange;
use cornerwork_core::entry::{self, Doubt, Entry, Expected, Prediction, Reading};
use cornerwork_core::exercise::{Exercise, FaultTag, Measure, MeasureKind};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Sex, Stance};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::program::SessionId;
use cornerwork_core::session::refusal::Refusal;
use cornerwork_core::session::rep::{Load, RepEntry, SeenFault};
use cornerwork_core::session::trace::TraceChange;
use cornerwork_core::units::{Length, Mass};

/// What a coach does.
#[derive(Clone, Debug)]
pub enum Act {
    /// The set is over.
    CloseSet {
        /// Where.
        station: u8,
        /// Whose.
        athlete: AthleteId,
    },
    /// Someone takes a station out of turn.
    CallUp {
        /// Where.
        station: u8,
        /// Who.
        athlete: AthleteId,
    },
    /// A load is hung.
    Hang {
        /// Where.
        station: u8,
        /// For whom.
        athlete: AthleteId,
        /// Id of the bar.
        bar: String,
        /// Bar and plates together, in kilograms.
        total_kg: f64,
    },
    /// A box is set.
    SetBox {
        /// Where.
        station: u8,
        /// For whom.
        athlete: AthleteId,
        /// Height as typed, in centimetres.
        cm: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
    },
    /// A fault was seen.
    Fault {
        /// In which rep.
        rep: OperationId,
        /// Which.
        tag: String,
    },
    /// A number is corrected.
    Correct {
        /// Of which rep.
        rep: OperationId,
        /// As typed.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
        /// Why.
        reason: String,
    },
    /// A rep was someone else's.
    Move {
        /// Which.
        rep: OperationId,
        /// Whose it is.
        athlete: AthleteId,
        /// Why.
        reason: String,
    },
    /// A whole set was someone else's, or is said to be whose it is.
    MoveSet {
        /// Where it was closed last.
        station: u8,
        /// Whose it is.
        athlete: AthleteId,
        /// Its first rep, so that a set closed since is not moved instead.
        first: OperationId,
    },
    /// A number is not to be used.
    SetAside {
        /// Of which rep.
        rep: OperationId,
        /// Why.
        reason: String,
    },
    /// A jump typed away from the stations.
    Jump {
        /// Who.
        athlete: AthleteId,
        /// "none", or bar id and total in grams: "hex-light:55000".
        load: String,
        /// Height as typed.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
    },
    /// Body mass.
    Weigh {
        /// Who.
        athlete: AthleteId,
        /// As typed.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
    },
    /// A limit agreed for a bout, or none any more.
    AgreeLimit {
        /// Whose.
        athlete: AthleteId,
        /// As typed, in kilograms or pounds; empty takes the limit away.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
        /// Day of the weigh-in.
        weigh_in: String,
        /// Day of the bout.
        bout: String,
        /// Whose check-weights bind; empty for none.
        body: String,
    },
    /// A session closed.
    CloseSession(TypedSession),
    /// Safety, consent, people.
    Safety(SafetyAct),
    /// A new athlete.
    EnterAthlete(NewAthlete),
    /// A bar is weighed.
    WeighBar(TypedBar),
    /// The plates are counted.
    CountPlates {
        /// As typed, in pairs.
        text: String,
    },
    /// The boxes are measured.
    MeasureBoxes {
        /// As typed, in cm.
        text: String,
    },
    /// The mat was compared with a better method.
    CompareMat {
        /// As typed, in cm.
        text: String,
        /// With what.
        against: String,
    },
    /// The gym gets its name.
    NameGym {
        /// The name.
        text: String,
    },
    /// All groups move on.
    Rotate,
    /// The evening begins.
    OpenEvening {
        /// Who is here.
        present: Vec<AthleteId>,
    },
    /// The evening is over.
    CloseEvening,
    /// Something of the program: a session, who comes, an own exercise.
    Program(ProgramAct),
    /// The sheets of a session were printed.
    Printed(SessionId),
    /// A blank of a sheet was typed in.
    FromPaper(TypedBlank),
    /// A recording is filed, read, mended or set aside.
    Trace(Box<TraceChange>),
    /// Something of bouts and camps.
    Camp(CampAct),
    /// Something is taken back.
    Undo {
        /// Which operation.
        operation: OperationId,
    },
}

/// An athlete as typed.
#[derive(Clone, Debug)]
pub struct NewAthlete {
    /// Short code.
    pub code: String,
    /// Name.
    pub name: String,
    /// "female" or "male".
    pub sex: String,
    /// Years.
    pub age: String,
    /// "orthodox" or "southpaw".
    pub stance: String,
    /// Level in words.
    pub level: String,
}

/// What the coach is told.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// Done and durable.
    Kept,
    /// Done and durable; go there.
    GoTo(String),
    /// Which of these was meant? Nothing was changed.
    Ask {
        /// Why it is asked.
        doubt: String,
        /// Value in SI units and the sentence to offer it with.
        offers: Vec<(f64, String)>,
    },
    /// Not done, and why. Nothing was changed.
    Refused(String),
}

impl Answer {
    /// The question of the entry guard.
    pub fn asking(doubt: Doubt, readings: Vec<Reading>) -> Self {
        let offers = readings.into_iter().map(|one| (one.value_si, one.sentence)).collect();
        Self::Ask { doubt: doubt.to_string(), offers }
    }
}

/// Does it.
pub async fn act(house: &House, id: OperationId, author: String, act: Act) -> Answer {
    let goes_to = match &act {
        Act::EnterAthlete(new) => Some(format!("/athlete/{}", new.code.trim().to_uppercase())),
        Act::Program(act) => act.goes_to(),
        _ => None,
    };
    let change = {
        let ledger = house.keeper.ledger();
        if ledger.knows(id) {
            return goes_to.map_or(Answer::Kept, Answer::GoTo);
        }
        match (Desk { house, ledger: &ledger }).change(act) {
            Ok(change) => change,
            Err(answer) => return answer,
        }
    };
    let goes_to = match &change {
        Change::Camp(change) => CampAct::goes_to(change),
        _ => goes_to,
    };
    match house.keeper.submit(Submission { id, author, change }).await {
        Ok(Kept::Stored | Kept::Known) => goes_to.map_or(Answer::Kept, Answer::GoTo),
        Err(NotKept::Refused(refusal)) => Answer::Refused(refusal.to_string()),
        Err(other) => Answer::Refused(other.to_string()),
    }
}

struct Desk<'a> {
    house: &'a House,
    ledger: &'a Ledger,
}

impl Desk<'_> {
    fn gym(&self) -> &Gym {
        self.ledger.gym()
    }

    fn change(&self, act: Act) -> Result<Change, Answer> {
        Ok(match act {
            Act::CloseSet { station, athlete } => Change::SetClosed { station, athlete },
            Act::CallUp { station, athlete } => Change::TurnTaken { station, athlete },
            Act::Hang { station, athlete, bar, total_kg } => {
                let load = self.loadable(&bar, total_kg)?;
                self.step_is_safe(station, &athlete, &load)?;
                Change::LoadHung { station, athlete, load }
            }
            Act::SetBox { station, athlete, cm, chosen } => {
                self.set_box(station, athlete, &cm, chosen)?
            }
            Act::Fault { rep, tag } => self.fault(rep, &tag)?,
            Act::Correct { rep, text, chosen, reason } => {
                let exercise = self.exercise_of(rep)?;
                let value = read(&text, &exercise.measure, chosen)?;
                Change::RepCorrected { rep, value: Some(value), reason }
            }
            Act::Move { rep, athlete, reason } => {
                Change::RepsMoved { reps: vec![rep], athlete, done_with: None, reason }
            }
            Act::MoveSet { station, athlete, first } => {
                whose::repair(self.house, self.ledger, station, first, athlete)
                    .map_err(Answer::Refused)?
            }
            Act::SetAside { rep, reason } => Change::RepSetAside { rep, reason },
            Act::Jump { athlete, load, text, chosen } => {
                self.jump(athlete, &load, &text, chosen)?
            }
            Act::Weigh { text, .. } if text.trim().is_empty() => {
                return Err(Answer::Refused("Type the body mass, like 64.2.".to_owned()));
            }
            Act::Weigh { athlete, text, chosen } => {
                let measure = self.house.exercises.measure(MeasureKind::BodyMass);
                let measure = measure.ok_or_else(|| {
                    Answer::Refused("The library does not say how body mass is typed.".into())
                })?;
                let mass = Mass::kilograms(self.read_mass(&athlete, &text, measure, chosen)?);
                Change::BodyMassMeasured { athlete, mass, at: self.house.clock().now() }
            }
            Act::AgreeLimit { athlete, text, chosen, weigh_in, bout, body } => {
                let limit = match text.trim() {
                    "" => None,
                    typed => Some(MassLimit {
                        limit: body_mass::read_limit(
                            self.house,
                            self.gym(),
                            &athlete,
                            typed,
                            chosen,
                        )?,
                        weigh_in: day::typed(&weigh_in, "the weigh-in").map_err(Answer::Refused)?,
                        bout: day::typed(&bout, "the bout").map_err(Answer::Refused)?,
                        check_body: Some(body).filter(|body| !body.is_empty()),
                    }),
                };
                Change::Safety(SafetyChange::LimitAgreed { athlete, limit })
            }
            Act::CloseSession(typed) => {
                let session = close::session(self.house, &typed).map_err(Answer::Refused)?;
                Change::Safety(SafetyChange::SessionClosed(session))
            }
            Act::Safety(act) => {
                safety::change(self.house, self.gym(), &act).map_err(Answer::Refused)?
            }
            Act::EnterAthlete(new) => Change::AthleteEntered(self.new_athlete(&new)?),
            Act::WeighBar(typed) => kit::bar(self.gym(), &typed).map_err(Answer::Refused)?,
            Act::CountPlates { text } => {
                let collar = self.gym().plates.collar();
                let rack = kit::plates(&text).map_err(Answer::Refused)?;
                let rack = rack.with_collars(collar);
                Change::PlatesCounted(rack.map_err(|error| Answer::Refused(error.to_string()))?)
            }
            Act::MeasureBoxes { text } => {
                Change::BoxesMeasured(kit::boxes(&text).map_err(Answer::Refused)?)
            }
            Act::CompareMat { text, against } => {
                kit::mat(&text, &against).map_err(Answer::Refused)?
            }
            Act::NameGym { text } => Change::GymNamed {
                name: text.trim().chars().take(80).collect(),
                invented: self.gym().invented,
            },
            Act::Rotate => Change::GroupsRotated,
            Act::OpenEvening { present } => Change::EveningOpened(
                program::open::usual(self.house, self.gym(), &present).map_err(Answer::Refused)?,
            ),
            Act::CloseEvening => Change::EveningClosed,
            Act::Program(act) => act.change(self.house, self.gym()).map_err(Answer::Refused)?,
            Act::Printed(session) => {
                let plan = self.gym().program.session(&session);
                let printed = plan.and_then(|plan| typing::printed(self.house, self.gym(), plan));
                Change::Paper(printed.ok_or(Answer::Kept)?)
            }
            Act::FromPaper(typed) => typing::change(self.house, self.gym(), &typed)?,
            Act::Trace(change) => Change::Trace(*change),
            Act::Camp(act) => {
                Change::Camp(act.change(self.house, self.gym()).map_err(Answer::Refused)?)
            }
            Act::Undo { operation } => {
                Change::Withdrawn { operation, reason: "undone at the rack".into() }
            }
        })
    }

    /// A body mass held against the last one: nobody changes by a twentieth overnight.
    fn read_mass(
        &self,
        athlete: &AthleteId,
        text: &str,
        measure: &Measure,
        chosen: Option<f64>,
    ) -> Result<f64, Answer> {
        let prediction = self.gym().body_mass(athlete).map(|(at, mass)| {
            let days = self.house.clock().now().duration_since(at).as_hours() / 24;
            let spread = if days <= LONGEST_KNOWN_DAYS { DAILY_SPREAD } else { LATER_SPREAD };
            let mean_si = mass.in_kilograms();
            Prediction { mean_si, sd_si: mean_si * spread }
        });
        read_expecting(text, measure, chosen, &Expected { prediction, ..Expected::default() })
    }

    fn loadable(&self, bar: &str, total_kg: f64) -> Result<Load, Answer> {
        let refused = |sentence: String| Answer::Refused(sentence);
        let bar = self
            .gym()
            .bars
            .get(bar)
            .ok_or_else(|| refused("That bar is not in this gym.".into()))?;
        let loads = cornerwork_core::kit::loadable(bar, &self.gym().plates);
        let wanted = Mass::kilograms(total_kg);
        loads
            .iter()
            .find(|load| (load.total() - wanted).abs() < Mass::kilograms(0.001))
            .map(|load| Load::hung(bar, load))
            .ok_or_else(|| {
                refused(format!(
                    "{total_kg:.1} kg cannot be made with {} and the plates here.",
                    bar.name
                ))
            })
    }

    /// A loaded jump goes up by limited steps: what was not yet landed tonight is approached.
    fn step_is_safe(&self, station: u8, athlete: &AthleteId, load: &Load) -> Result<(), Answer> {
        let exercise = self.exercise_at(station)?;
        let heaviest = self
            .gym()
            .reps_at(station)
            .filter(|rep| rep.entry.athlete == *athlete)
            .map(|rep| rep.entry.load.total)
            .fold(Mass::ZERO, Mass::max);
        let Some(step) = plan::step_too_large(exercise, load.total, heaviest) else {
            return Ok(());
        };
        let allowed = heaviest + plan::LARGEST_STEP;
        Err(refusal(&Refusal::StepTooLarge {
            asked_kg: load.total.in_kilograms(),
            heaviest_kg: heaviest.in_kilograms(),
            step_kg: step.in_kilograms(),
            cap_kg: plan::LARGEST_STEP.in_kilograms(),
            allowed_kg: allowed.in_kilograms(),
        }))
    }

    /// A box of the gym, as it was measured: the 61 cm one may be one of 24 inches.
    fn set_box(
        &self,
        station: u8,
        athlete: AthleteId,
        cm: &str,
        chosen: Option<f64>,
    ) -> Result<Change, Answer> {
        let measure = self.house.exercises.measure(MeasureKind::BoxHeight).ok_or_else(|| {
            Answer::Refused("The library does not say how a box is measured.".into())
        })?;
        let boxes: Vec<f64> = self.gym().boxes.iter().map(|height| height.in_metres()).collect();
        let expected = Expected { choices_si: &boxes, ..Expected::default() };
        let height = Length::metres(read_expecting(cm, measure, chosen, &expected)?);
        let exercise = self.exercise_at(station)?;
        if let Some(cap) =
            advice::box_cap(self.gym(), &athlete, exercise, self.house.clock().today())
            && height > cap.height
        {
            let name = self.gym().given_name(&athlete);
            let asked_cm = height.in_centimetres();
            let cap_cm = cap.height.in_centimetres();
            let ground = advice::cap_words(cap.from).to_owned();
            return Err(refusal(&Refusal::BoxTooHigh { asked_cm, cap_cm, name, ground }));
        }
        Ok(Change::BoxSet { station, athlete, height })
    }

    fn fault(&self, rep: OperationId, tag: &str) -> Result<Change, Answer> {
        let exercise = self.exercise_of(rep)?;
        let fault = FaultTag::new(tag).and_then(|tag| exercise.fault(&tag).cloned());
        let fault = fault.ok_or_else(|| {
            Answer::Refused(format!("{} has no fault called {tag}.", exercise.name))
        })?;
        let fault = SeenFault { tag: fault.tag, spoils_number: fault.spoils_measure };
        Ok(Change::FaultSeen { rep, fault })
    }

    /// A jump typed on the athlete's page: unloaded ones are countermovement jumps.
    fn jump(
        &self,
        athlete: AthleteId,
        load: &str,
        text: &str,
        chosen: Option<f64>,
    ) -> Result<Change, Answer> {
        let (id, load) = match load.rsplit_once(':') {
            None => (plan::UNLOADED_JUMP, Load::none()),
            Some((bar, grams)) => {
                let grams = grams.parse::<f64>().unwrap_or(f64::NAN);
                (plan::LOADED_JUMP, self.loadable(bar, grams / 1000.0)?)
            }
        };
        let exercise = plan::exercise(self.house, self.gym(), id).map_err(Answer::Refused)?;
        let entry = RepEntry {
            athlete,
            exercise: exercise.id.clone(),
            station: None,
            load,
            box_height: None,
            side: None,
            value: None,
            contact_time: None,
            method: self.house.method_of(exercise),
            at: self.house.clock().now(),
        };
        let prediction = predict::rep(self.house, self.gym(), &entry);
        let expected = Expected { prediction, ..Expected::default() };
        let value = read_expecting(text, &exercise.measure, chosen, &expected)?;
        Ok(Change::RepRecorded(RepEntry { value: Some(value), ..entry }))
    }

    fn new_athlete(&self, new: &NewAthlete) -> Result<Athlete, Answer> {
        let refused = |sentence: &str| Answer::Refused(sentence.to_owned());
        let id = AthleteId::new(&new.code)
            .ok_or_else(|| refused("The code is one to eight letters and digits, like A08."))?;
        if self.gym().athlete(&id).is_some() {
            return Err(Answer::Refused(format!("The code {id} is taken. Choose another.")));
        }
        let name = new.name.trim();
        if name.is_empty() || name.chars().count() > 80 {
            return Err(refused("Type the athlete's name."));
        }
        let age_years = new.age.trim().parse::<u8>().ok().filter(|age| (6..=90).contains(age));
        let age_years = age_years.ok_or_else(|| refused("Type the age in years, like 24."))?;
        Ok(Athlete {
            id,
            name: name.to_owned(),
            sex: if new.sex == "female" { Sex::Female } else { Sex::Male },
            age_years,
            stance: if new.stance == "southpaw" { Stance::Southpaw } else { Stance::Orthodox },
            level: new.level.trim().chars().take(60).collect(),
        })
    }

    fn exercise_at(&self, station: u8) -> Result<&Exercise, Answer> {
        let evening = self.gym().evening.as_ref();
        evening
            .and_then(|evening| evening.plan.station(station))
            .and_then(|station| self.house.exercise(self.gym(), &station.exercise))
            .ok_or_else(|| refusal(&Refusal::UnknownStation { number: station }))
    }

    fn exercise_of(&self, rep: OperationId) -> Result<&Exercise, Answer> {
        self.gym()
            .rep(rep)
            .and_then(|rep| self.house.exercise(self.gym(), &rep.entry.exercise))
            .ok_or_else(|| refusal(&Refusal::UnknownOperation { id: rep }))
    }
}

/// Spread of body mass around the last weighing, as a share of it: within a fortnight, and later.
/// Two and a half of them are asked about: a twentieth, a tenth (common practice, no source).
const DAILY_SPREAD: f64 = 0.02;
const LATER_SPREAD: f64 = 0.04;
const LONGEST_KNOWN_DAYS: i64 = 14;

fn refusal(refusal: &Refusal) -> Answer {
    Answer::Refused(refusal.to_string())
}

/// Reads what was typed, or takes what was chosen after a question if it is possible at all.
fn read(text: &str, measure: &Measure, chosen: Option<f64>) -> Result<f64, Answer> {
    read_expecting(text, measure, chosen, &Expected::default())
}

/// The same with what is known beforehand.
pub(super) fn read_expecting(
    text: &str,
    measure: &Measure,
    chosen: Option<f64>,
    expected: &Expected<'_>,
) -> Result<f64, Answer> {
    if let Some(chosen) = chosen.filter(|chosen| measure.hard_si.contains(*chosen)) {
        return Ok(chosen);
    }
    match entry::read(text, measure, expected) {
        Entry::Accepted(value) => Ok(value),
        Entry::Ask { doubt, readings } => Err(Answer::asking(doubt, readings)),
        Entry::Refused(refusal) => Err(Answer::Refused(refusal.to_string())),
    }
}
