//! Caveats of a box.

use super::results::BoxSummary;
use super::{BoxAnswer, BoxBar, Ceiling, CeilingFrom, DepthJumper};
use crate::note::Note;
use crate::units::Length;
use crate::words::counted;

/// A loss of rebound worth a word: about the typical error of a jump.
const LOST_HEIGHT: Length = Length::metres(0.01);
/// A longer contact worth a word: a tenth (common practice, no source).
const LONGER_CONTACT: f64 = 1.10;
/// From this near a bout, half the contacts (common practice, no source).
const HALVE_WITHIN_DAYS: u16 = 14;

pub(super) fn about(answer: &BoxAnswer, tested: &[BoxSummary], jumper: &DepthJumper) -> Vec<Note> {
    let own = match answer {
        BoxAnswer::Barred(bar) => Some(barred(*bar)),
        BoxAnswer::Use(chosen) => chosen.ceiling.map(|ceiling| ceiling_note(ceiling, jumper)),
    };
    // A reason lifts no cap below the age at which higher boxes are allowed at all.
    let in_vain = matches!(answer, BoxAnswer::Use(chosen)
        if chosen.ceiling.is_some_and(|ceiling| ceiling.from == CeilingFrom::Age));
    let confirmed = jumper.coach_reason.as_ref().filter(|_| !in_vain).map(|reason| {
        Note::new("coach-confirmed", format!("A coach confirmed higher boxes: {reason}."))
    });
    own.into_iter()
        .chain(confirmed)
        .chain(tested.windows(2).flat_map(|pair| worse(&pair[0], &pair[1])))
        .chain(halve(answer, jumper))
        .collect()
}

fn barred(bar: BoxBar) -> Note {
    match bar {
        BoxBar::BoutTooClose { days, fewest } => Note::new(
            "bout-too-close",
            format!(
                "The bout is {} off; no depth jumps in the last {fewest} days.",
                counted(days, "day")
            ),
        ),
        BoxBar::NoLowEnoughBox => Note::new(
            "no-low-enough-box",
            "No box here is low enough. Use a lower box, or jumps from the floor.",
        ),
        BoxBar::StrengthFirst => Note::new(
            "strength-first",
            "Even the lowest box gives no rebound that matches the standing jump: strength and \
             jumps from the floor come first.",
        ),
    }
}

fn ceiling_note(ceiling: Ceiling, jumper: &DepthJumper) -> Note {
    let centimetres = ceiling.height.in_centimetres();
    let (years, kilograms) = (jumper.age_years, jumper.body_mass.in_kilograms());
    match ceiling.from {
        CeilingFrom::Age => {
            Note::new("age-cap", format!("At {years} years no box above {centimetres:.0} cm."))
        }
        CeilingFrom::AgeUnconfirmed => Note::new(
            "age-needs-coach",
            format!(
                "At {years} years no box above {centimetres:.0} cm unless a coach confirms it \
                 with a reason."
            ),
        ),
        CeilingFrom::BodyMass => {
            Note::new("mass-cap", format!("At {kilograms:.1} kg no box above {centimetres:.0} cm."))
        }
        CeilingFrom::Results => Note::new(
            "ceiling-found",
            format!("{centimetres:.0} cm was the last box whose rebound matched the best jump."),
        ),
    }
}

/// What a higher box has made worse.
fn worse(lower: &BoxSummary, higher: &BoxSummary) -> Vec<Note> {
    let (from, to) = (lower.box_height.in_centimetres(), higher.box_height.in_centimetres());
    let lost = lower.mean_rebound - higher.mean_rebound;
    let height = (lost > LOST_HEIGHT).then(|| {
        Note::new(
            "higher-box-lowers-height",
            format!(
                "From {from:.0} to {to:.0} cm the rebound fell by {:.1} cm.",
                lost.in_centimetres()
            ),
        )
    });
    let longer = lower
        .mean_contact
        .zip(higher.mean_contact)
        .filter(|(before, after)| *after / *before > LONGER_CONTACT);
    let contact = longer.map(|(before, after)| {
        Note::new(
            "higher-box-lengthens-contact",
            format!(
                "From {from:.0} to {to:.0} cm the contact grew from {:.2} to {:.2} s.",
                before.in_seconds(),
                after.in_seconds()
            ),
        )
    });
    [height, contact].into_iter().flatten().collect()
}

fn halve(answer: &BoxAnswer, jumper: &DepthJumper) -> Option<Note> {
    let days = jumper.days_to_bout.filter(|days| *days <= HALVE_WITHIN_DAYS)?;
    matches!(answer, BoxAnswer::Use(_)).then(|| {
        Note::new(
            "halve-volume",
            format!("{} to the bout: half the usual contacts.", counted(days, "day")),
        )
    })
}
