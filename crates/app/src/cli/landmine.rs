//! `landmine`: what the hand meets on a bar that turns about a pivot on the floor.

use crate::cli::answer::{AnswerArguments, NoteObject, note_objects, notes_in_words, wrapped};
use clap::Args;
use cornerwork_core::kit::landmine::{
    HungPlate, Landmine, LandmineBar, LandmineError, Rod, Stance,
};
use cornerwork_core::note::Note;
use cornerwork_core::units::{Acceleration, Length, Mass, Quantity};
use serde::Serialize;

/// What `landmine` takes.
#[derive(Args)]
pub(super) struct LandmineArguments {
    /// Mass of the bar, as weighed.
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    bar: f64,
    /// Length of the bar from the pivot to its free end.
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    bar_length: f64,
    /// Mass of all plates on the free end together; 0 for none.
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    plates: f64,
    /// Height of the hand above the floor.
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    hand_height: f64,
    /// Distance of the plates from the pivot; 0.85 of the length when not measured.
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    plates_at: Option<f64>,
    /// Distance of the hand from the pivot along the bar; 5 cm from the end when not measured.
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    hand_at: Option<f64>,
    /// Height of the pivot above the floor; 8 cm when not measured.
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pivot_height: Option<f64>,
    /// Length of the shaft between the inner collars, 1.31 m on competition bars: with it and the
    /// diameter the inertia of the sleeves is counted.
    #[arg(long, value_name = "M", requires = "shaft_diameter", allow_negative_numbers = true)]
    shaft_length: Option<f64>,
    /// Diameter of the shaft: 0.028 m on a 20 kg bar, 0.025 m on a 15 kg bar.
    #[arg(long, value_name = "M", requires = "shaft_length", allow_negative_numbers = true)]
    shaft_diameter: Option<f64>,
    /// Gravity.
    #[arg(long, value_name = "M_S2", default_value = "9.80665")]
    gravity: f64,
    #[command(flatten)]
    answer: AnswerArguments,
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    total_kg: f64,
    angle_deg: f64,
    vertical_hold_kg: f64,
    across_bar_kg: f64,
    inertia_kg: f64,
    vertical_hold_n: f64,
    across_bar_n: f64,
    notes: Vec<NoteObject<'a>>,
}

/// Says which three masses the hand meets.
pub(super) fn run(arguments: &LandmineArguments) -> Result<(), String> {
    let landmine = arguments.landmine().map_err(|error| error.to_string())?;
    let notes = arguments.notes();
    let load = landmine.load();
    let gravity = Acceleration::metres_per_second_squared(arguments.gravity);
    let document = Document {
        schema: "cornerwork/landmine/1",
        total_kg: landmine.total().si(),
        angle_deg: landmine.angle_rad().to_degrees(),
        vertical_hold_kg: load.vertical_hold.si(),
        across_bar_kg: load.across_bar.si(),
        inertia_kg: load.inertia.si(),
        vertical_hold_n: landmine.vertical_hold_force(gravity).si(),
        across_bar_n: landmine.across_bar_force(gravity).si(),
        notes: note_objects(&notes),
    };
    let answer = format!(
        "Of {:.1} kg the hand holds up {:.1} kg, pushes {:.1} kg across the bar (which stands at \
         {:.0}°) and accelerates {:.1} kg.",
        document.total_kg,
        document.vertical_hold_kg,
        document.across_bar_kg,
        document.angle_deg,
        document.inertia_kg
    );
    let mut words = wrapped("", &answer).join("\n") + "\n";
    if !notes.is_empty() {
        words = format!("{words}\n{}", notes_in_words(&notes));
    }
    arguments.answer.give(&document, &words, &[landmine.working()])
}

impl LandmineArguments {
    fn landmine(&self) -> Result<Landmine, LandmineError> {
        let bar = self.bar();
        Landmine::new(bar, self.plates(&bar), self.stance(&bar))
    }

    fn bar(&self) -> LandmineBar {
        let (mass, length) = (Mass::kilograms(self.bar), Length::metres(self.bar_length));
        let bar = LandmineBar::uniform(mass, length);
        match (self.shaft_length, self.shaft_diameter) {
            (Some(shaft), Some(diameter)) => LandmineBar {
                rod: Rod::ShaftAndSleeves {
                    shaft_length: Length::metres(shaft),
                    shaft_diameter: Length::metres(diameter),
                },
                ..bar
            },
            _ => bar,
        }
    }

    fn plates(&self, bar: &LandmineBar) -> Vec<HungPlate> {
        if self.plates == 0.0 {
            return Vec::new();
        }
        let usual = bar.usual_plate(Mass::kilograms(self.plates));
        let from_pivot = self.plates_at.map_or(usual.from_pivot, Length::metres);
        vec![HungPlate { from_pivot, ..usual }]
    }

    fn stance(&self, bar: &LandmineBar) -> Stance {
        let usual = bar.usual_stance(Length::metres(self.hand_height));
        Stance {
            hand_from_pivot: self.hand_at.map_or(usual.hand_from_pivot, Length::metres),
            pivot_height: self.pivot_height.map_or(usual.pivot_height, Length::metres),
            ..usual
        }
    }

    fn notes(&self) -> Vec<Note> {
        let not_measured = [
            (self.hand_at, "the hand 5 cm from the free end"),
            (self.pivot_height, "the pivot 8 cm above the floor"),
            (
                self.plates_at.or((self.plates == 0.0).then_some(0.0)),
                "the plates at 0.85 of the bar",
            ),
        ];
        let assumed: Vec<&str> = not_measured
            .iter()
            .filter(|(measured, _)| measured.is_none())
            .map(|(_, assumed)| *assumed)
            .collect();
        let assumed = (!assumed.is_empty()).then(|| {
            Note::new(
                "places-assumed",
                format!("Not measured, so assumed: {}.", assumed.join(", ")),
            )
        });
        let rod = self.shaft_length.is_none().then(|| {
            Note::new(
                "uniform-rod",
                "The bar is taken as evenly heavy, which understates the mass that is accelerated \
                 by up to a tenth of the bar's part; give its shaft to count the sleeves.",
            )
        });
        assumed.into_iter().chain(rod).collect()
    }
}
