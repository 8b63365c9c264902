//! What the entry form of a station was drawn for, and what stands there now. A number typed into a
//! form that was open for another is nobody's until someone says whose it is.

use crate::flow::act::{Answer, Offer};
use crate::flow::floor::side_to_do;
use crate::flow::house::House;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Load, Side};
use cornerwork_core::units::Length;

/// Athlete, exercise, side, load and box of an entry form.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnFor {
    /// Who was up.
    pub athlete: AthleteId,
    /// In which exercise.
    pub exercise: ExerciseId,
    /// The side whose turn it was, where there are sides.
    pub side: Option<Side>,
    /// What hung: bar and grams, "hex-light:35000"; "none" for no bar.
    pub load: String,
    /// The box in centimetres, "30.0"; empty without one.
    pub box_cm: String,
}

impl DrawnFor {
    /// What stands at a station now; `None` when nobody is up.
    pub fn standing(house: &House, gym: &Gym, number: u8) -> Option<Self> {
        let evening = gym.evening.as_ref()?;
        let station = evening.plan.station(number)?;
        let athlete = evening.up_at(number)?;
        let (id, only) = gym.exercise_at(station, athlete);
        let exercise = house.exercise(gym, id)?;
        let set = gym.set_in_progress(number, athlete);
        let sides: Vec<Option<Side>> = set.iter().map(|rep| rep.entry.side).collect();
        Some(Self {
            athlete: athlete.clone(),
            exercise: exercise.id.clone(),
            side: only.or_else(|| side_to_do(exercise, &sides, station.reps)),
            load: load_code(&gym.load_at(station, athlete)),
            box_cm: evening.box_at(number, athlete).map_or_else(String::new, box_code),
        })
    }

    /// As fields of a form.
    pub fn fields(&self) -> Vec<(&'static str, String)> {
        vec![
            ("athlete", self.athlete.to_string()),
            ("exercise", self.exercise.to_string()),
            ("drawn_side", self.side.map_or("", Side::code).to_owned()),
            ("load", self.load.clone()),
            ("box", self.box_cm.clone()),
        ]
    }

    /// From the fields of a form; `None` for one that does not say what it was drawn for.
    pub fn from_fields<'a>(text: impl Fn(&str) -> Option<&'a str>) -> Option<Self> {
        Some(Self {
            athlete: AthleteId::new(text("athlete")?)?,
            exercise: ExerciseId::new(text("exercise")?)?,
            side: text("drawn_side").and_then(Side::from_code),
            load: text("load")?.to_owned(),
            box_cm: text("box").unwrap_or_default().to_owned(),
        })
    }

    /// Whether a number typed for this may be taken as what stands now. A side that the coach
    /// chose, other than the one that was offered, was meant.
    pub fn still_stands(&self, now: &Self, chosen_side: Option<Side>) -> bool {
        let side = now.side == self.side || chosen_side != self.side;
        side && Self { side: None, ..self.clone() } == Self { side: None, ..now.clone() }
    }

    /// What hung when the form was drawn.
    pub fn load(&self, gym: &Gym) -> Option<Load> {
        let Some((bar, grams)) = self.load.rsplit_once(':') else { return Some(Load::none()) };
        let bar = gym.bars.get(bar)?;
        let loads = cornerwork_core::kit::loadable(bar, &gym.plates);
        let hung =
            loads.iter().map(|load| Load::hung(bar, load)).find(|hung| grams_of(hung) == grams);
        hung.or_else(|| Some(Load::bar_alone(bar)).filter(|bare| grams_of(bare) == grams))
    }

    /// The box that stood then.
    pub fn box_height(&self) -> Option<Length> {
        self.box_cm.parse().ok().map(Length::centimetres)
    }

    /// Whose a number is that was typed into a form drawn for another: nothing is taken until it is
    /// answered.
    pub fn question(
        &self,
        now: Option<&Self>,
        typed: Option<&str>,
        house: &House,
        gym: &Gym,
    ) -> Answer {
        let number = typed.map_or("this rep", str::trim);
        let name = |one: &Self| gym.given_name(&one.athlete);
        let exercise = |one: &Self| {
            let known = house.exercise(gym, &one.exercise);
            known.map_or_else(|| one.exercise.to_string(), |known| known.name.to_lowercase())
        };
        let as_drawn = ("settled", "yes".to_owned());
        let Some(now) = now else {
            let then = format!("{}, {}", name(self), exercise(self));
            let doubt =
                format!("This was open for {then}. Nobody is up. Is {number} {}'s?", name(self));
            return Answer::Ask {
                doubt,
                offers: vec![Offer { words: then, fields: vec![as_drawn] }],
            };
        };
        let (then, stands) = if self.athlete != now.athlete || self.exercise != now.exercise {
            (exercise(self), exercise(now))
        } else {
            self.what_differs(now)
        };
        let (then, stands) =
            (format!("{}, {then}", name(self)), format!("{}, {stands}", name(now)));
        let asks = if self.athlete == now.athlete { "Which is" } else { "For whom is" };
        let goes_on = if self.athlete == now.athlete { "Now it is" } else { "Now up:" };
        let mut anew = now.fields();
        anew.push(("side", now.side.map_or("", Side::code).to_owned()));
        Answer::Ask {
            doubt: format!("This was open for {then}. {goes_on} {stands}. {asks} {number}?"),
            offers: vec![
                Offer { words: then, fields: vec![as_drawn] },
                Offer { words: stands, fields: anew },
            ],
        }
    }

    /// What is not the same for one athlete in one exercise, in words: then and now.
    fn what_differs(&self, now: &Self) -> (String, String) {
        if self.side != now.side {
            let side = |one: &Self| one.side.map_or("both sides", Side::word).to_owned();
            return (side(self), side(now));
        }
        if self.load != now.load {
            return (load_words(&self.load), load_words(&now.load));
        }
        let stood = |one: &Self| match one.box_cm.trim_end_matches(".0") {
            "" => "no box".to_owned(),
            height => format!("box {height} cm"),
        };
        (stood(self), stood(now))
    }
}

/// The name of a load in a form: bar and grams, "none" without a bar.
fn load_code(load: &Load) -> String {
    load.bar.as_ref().map_or_else(|| "none".to_owned(), |bar| format!("{bar}:{}", grams_of(load)))
}

fn grams_of(load: &Load) -> String {
    format!("{:.0}", load.total.in_kilograms() * 1000.0)
}

fn load_words(code: &str) -> String {
    let grams = code.rsplit_once(':').and_then(|(_, grams)| grams.parse::<f64>().ok());
    grams.map_or_else(|| "no load".to_owned(), |grams| format!("{:.1} kg", grams / 1000.0))
}

fn box_code(height: Length) -> String {
    format!("{:.1}", height.in_centimetres())
}
