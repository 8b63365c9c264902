//! `next-load`: which load to test next, or to stop.

use crate::cli::answer::{AnswerArguments, NoteObject, note_objects, notes_in_words, wrapped};
use crate::cli::decision::{self, DecisionObject, PurposeArgument};
use crate::cli::kit::{Loads, Pairs, pairs};
use crate::cli::profile_momentum::JumpArguments;
use clap::Args;
use cornerwork_core::units::Quantity;
use serde::Serialize;

/// What `next-load` takes.
#[derive(Args)]
pub(super) struct NextLoadArguments {
    #[command(flatten)]
    jumps: JumpArguments,
    /// Mass of the bar, as weighed.
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    bar: f64,
    /// Plates at hand in pairs, in kg: 20,15,10x2,5 is one pair of 20, one of 15, two of 10 and
    /// one of 5.
    #[arg(long, value_name = "LIST", value_parser = pairs, allow_hyphen_values = true)]
    plates: Pairs,
    #[command(flatten)]
    purpose: PurposeArgument,
    #[command(flatten)]
    answer: AnswerArguments,
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    body_mass_kg: f64,
    jumps: usize,
    #[serde(flatten)]
    decision: DecisionObject,
    notes: Vec<NoteObject<'a>>,
}

/// Says which load to test next, or that enough is known.
pub(super) fn run(arguments: &NextLoadArguments) -> Result<(), String> {
    let loads = Loads::of(arguments.bar, &arguments.plates)?;
    let profile = arguments.jumps.profile(loads.bar)?;
    let next = arguments.purpose.decide(&profile.value, &loads);
    let document = Document {
        schema: "cornerwork/next-load/1",
        body_mass_kg: profile.value.body_mass().si(),
        jumps: profile.value.points().len(),
        decision: DecisionObject::of(&next, &loads),
        notes: note_objects(&profile.notes),
    };
    let sentence = wrapped("", &decision::in_words(&next, &loads)).join("\n") + "\n";
    let notes = notes_in_words(&profile.notes);
    let words = if notes.is_empty() { sentence } else { format!("{sentence}\n{notes}") };
    arguments.answer.give(&document, &words, &[decision::working(&next)])
}
