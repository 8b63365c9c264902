//! What a landmine weighs in the hand: less than its bar and plates, and less again to push along
//! its arc.

use crate::flow::floor::UpView;
use cornerwork_core::kit::BarKind;
use cornerwork_core::kit::landmine::{Landmine, LandmineBar};
use cornerwork_core::note::Note;
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::working::Working;

/// Height of a fist at the shoulder, when nobody measured the athlete.
const HAND_HEIGHT: Length = Length::metres(1.40);

/// The masses at the hand with their working.
#[derive(Debug)]
pub struct InTheHand {
    /// "About 19 kg to hold, 15 kg along the arc."
    pub words: String,
    /// How they came about.
    pub working: Working,
    /// What was assumed.
    pub assumed: Note,
}

/// The masses at the hand of the athlete who is up; `None` unless a landmine is hung.
pub fn in_the_hand(up: &UpView<'_>) -> Option<InTheHand> {
    let bar = up.bar.filter(|bar| bar.kind == BarKind::Landmine)?;
    let length = usual_length(bar.mass());
    let rod = LandmineBar::uniform(bar.mass(), length);
    let plates = up.load.plates.iter().map(|plate| rod.usual_plate(plate.mass())).collect();
    let landmine = Landmine::new(rod, plates, rod.usual_stance(HAND_HEIGHT)).ok()?;
    let load = landmine.load();
    let assumed = format!(
        "The bar is taken as {:.2} m long with the hand 5 cm from its end, {:.2} m up: a taller \
         boxer meets less.",
        length.in_metres(),
        HAND_HEIGHT.in_metres()
    );
    Some(InTheHand {
        words: format!(
            "About {:.0} kg to hold, {:.0} kg along the arc.",
            load.vertical_hold.in_kilograms(),
            load.across_bar.in_kilograms()
        ),
        working: landmine.working(),
        assumed: Note::new("landmine-geometry-assumed", assumed),
    })
}

/// Bars of 20 kg are 2.20 m long and those of 15 kg 2.01 m (IWF technical rules, from a secondary
/// page); a bar of another mass is taken as the nearer of the two.
fn usual_length(mass: Mass) -> Length {
    let nearer_the_heavy = mass >= Mass::kilograms(17.5);
    if nearer_the_heavy { Length::metres(2.20) } else { Length::metres(2.01) }
}
