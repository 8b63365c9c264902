//! The one change that an act asks for, or what is asked or said instead.

use super::typed::{read, read_expecting, weighing};
use super::{Act, Answer};
use crate::flow::body_mass;
use crate::flow::close;
use crate::flow::day;
use crate::flow::house::House;
use crate::flow::kit;
use crate::flow::paper::typing;
use crate::flow::plan;
use crate::flow::predict;
use crate::flow::program;
use crate::flow::safety;
use crate::flow::whose;
use cornerwork_core::camp::body_mass::MassLimit;
use cornerwork_core::camp::safety_change::SafetyChange;
use cornerwork_core::entry::{About, Expected};
use cornerwork_core::exercise::{Exercise, FaultTag, MeasureKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_core::session::rep::{Load, Rep, RepEntry, SeenFault};
use cornerwork_core::units::{Length, Mass};

/// Where acts become changes: the house and its record as they stand.
pub(super) struct Desk<'a> {
    pub(super) house: &'a House,
    pub(super) ledger: &'a Ledger,
}

impl Desk<'_> {
    fn gym(&self) -> &Gym {
        self.ledger.gym()
    }

    /// The change an act asks for.
    ///
    /// # Errors
    /// The question or the refusal for whoever did it; [`Answer::Kept`] where there is nothing to
    /// change.
    pub(super) fn change(&self, act: Act) -> Result<Change, Answer> {
        Ok(match act {
            Act::CloseSet { station, athlete } => Change::SetClosed { station, athlete },
            Act::CallUp { station, athlete } => Change::TurnTaken { station, athlete },
            Act::Hang { station, athlete, bar, total_kg } => {
                let load = self.loadable(&bar, total_kg)?;
                Change::LoadHung { station, athlete, load }
            }
            Act::JumpWithoutLoad { station, athlete, begins } => {
                let exercise = plan::exercise(self.house, self.gym(), plan::UNLOADED_JUMP);
                let exercise = exercise.map_err(Answer::Refused)?.id.clone();
                Change::DoneMeanwhile { station, athlete, exercise: begins.then_some(exercise) }
            }
            Act::SetBox { station, athlete, cm, chosen } => {
                self.set_box(station, athlete, &cm, chosen)?
            }
            Act::Fault { rep, tag } => self.fault(rep, &tag)?,
            Act::Correct { rep, text, chosen, reason } => {
                let exercise = self.exercise_of(rep)?;
                let value = read(&text, &exercise.measure, chosen, &self.about_rep(rep))?;
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
                let mass = weighing(self.house, self.gym(), &athlete, &text, chosen)?;
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
            Act::EnterAthlete(typed) => {
                let athlete = typed.entered(self.gym(), self.house.clock().today());
                Change::AthleteEntered(athlete.map_err(Answer::Refused)?)
            }
            Act::CorrectAthlete { athlete, typed } => {
                let today = self.house.clock().today();
                let athlete = typed.corrected(self.gym(), &athlete, today);
                Change::AthleteEntered(athlete.map_err(Answer::Refused)?)
            }
            Act::WeighBar(typed) => kit::bar(self.gym(), &typed).map_err(Answer::Refused)?,
            Act::CountPlates { text } => {
                let collar = self.gym().plates.collar();
                let rack = kit::plates(&text).map_err(Answer::Refused)?;
                let rack = rack.with_collars(collar);
                Change::PlatesCounted(rack.map_err(|error| Answer::Refused(error.to_string()))?)
            }
            Act::AddBox { text } => {
                let more = kit::boxes(&text).map_err(Answer::Refused)?;
                let new = more.into_iter().filter(|height| !self.gym().boxes.contains(height));
                Change::BoxesMeasured(self.gym().boxes.iter().copied().chain(new).collect())
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
            Act::ReopenEvening => {
                let held = self.gym().evenings_over(self.house.clock().today()).next();
                let held = held.ok_or_else(|| Refusal::NothingToReopen.to_string());
                held.and_then(|held| program::open::again(self.house, self.gym(), held))
                    .map_err(Answer::Refused)?
            }
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
        let whose = format!("{}, station {station}, box", self.gym().given_name(&athlete));
        let about = About { whose, ..About::default() };
        let height = Length::metres(read_expecting(cm, measure, chosen, &expected, &about)?);
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
        // A stop is said before a number is asked about.
        let moment = self.house.moment();
        let stops = self.gym().rep_stops(&entry, moment, &self.house.exercises);
        stops.map_err(|stop| refusal(&stop))?;
        let expected = predict::rep(self.house, self.gym(), &entry);
        let with = match entry.load.total.in_kilograms() {
            0.0 => "no load".to_owned(),
            kilograms => format!("{kilograms:.1} kg"),
        };
        let about = About { whose: self.gym().given_name(&entry.athlete), with };
        let value = read_expecting(text, &exercise.measure, chosen, &expected, &about)?;
        Ok(Change::RepRecorded(RepEntry { value: Some(value), ..entry }))
    }

    /// Whose rep it is, for a question about its number.
    fn about_rep(&self, rep: OperationId) -> About {
        let name = |rep: &Rep| self.gym().given_name(&rep.entry.athlete);
        About { whose: self.gym().rep(rep).map(name).unwrap_or_default(), ..About::default() }
    }

    fn exercise_of(&self, rep: OperationId) -> Result<&Exercise, Answer> {
        self.gym()
            .rep(rep)
            .and_then(|rep| self.house.exercise(self.gym(), &rep.entry.exercise))
            .ok_or_else(|| refusal(&Refusal::UnknownOperation { id: rep }))
    }
}

fn refusal(refusal: &Refusal) -> Answer {
    Answer::Refused(refusal.to_string())
}
