//! What each athlete lifts, throws and jumps with, by the block they are in.

use super::calendar::BLUE_BAR_WEIGHED;
use super::kit::{self, Loads};
use super::people::Person;
use cornerwork_core::session::athlete::Sex;
use cornerwork_core::session::rep::Load;
use jiff::civil::Date;

/// How far beyond the peak the last set of the strength block goes.
const BEYOND_PEAK: f64 = 1.3;
const LOWEST_BOX_CM: f64 = 15.0;

impl Person {
    fn in_power_block(&self, day: Date) -> bool {
        day >= self.days().power_from()
    }

    /// Loaded jumps, one load a set: the bare bar, half way, the load of the peak; then in the
    /// strength block once beyond it, or the peak again.
    pub(super) fn jump_loads(&self, day: Date) -> [Load; 4] {
        let bar = kit::ON_HEX_LIGHT.bar_alone();
        let peak_kg = self.peak_load_kg();
        let half_way = kit::ON_HEX_LIGHT.nearest((bar.total.in_kilograms() + peak_kg) / 2.0);
        let peak = kit::ON_HEX_LIGHT.nearest(peak_kg);
        let last = if self.in_power_block(day) {
            peak.clone()
        } else {
            self.heavy_bar(day).nearest(BEYOND_PEAK * peak_kg)
        };
        [bar, half_way, peak, last]
    }

    /// The heaviest athlete had his heavy sets on the blue bar, until it was weighed.
    fn heavy_bar(&self, day: Date) -> &'static Loads {
        let on_blue = self.code == "A07" && day < BLUE_BAR_WEIGHED;
        if on_blue { &kit::ON_HEX_BLUE_AS_STAMPED } else { &kit::ON_HEX_LIGHT }
    }

    /// Boxes of the depth jump, one a set, up to the one on the card.
    pub(super) fn boxes_cm(&self) -> [f64; 3] {
        [10.0, 5.0, 0.0].map(|lower| (self.box_cm - lower).max(LOWEST_BOX_CM))
    }

    /// Loads of the throw, one a set: a ladder in the strength block, the card's load after it.
    pub(super) fn throw_loads(&self, day: Date) -> [Load; 3] {
        let ladder = match self.sex {
            Sex::Male => [2.5, 7.5, 10.0],
            Sex::Female => [0.0, 2.5, 5.0],
        };
        let plates = if self.in_power_block(day) { [self.throw_plates_kg; 3] } else { ladder };
        plates.map(|plates_kg| self.landmine(plates_kg))
    }

    /// Loads of the split jerk, one a set: about the card's load in the strength block, the
    /// card's load after it.
    pub(super) fn jerk_loads(&self, day: Date) -> [Load; 3] {
        let about = if self.in_power_block(day) { [0.0; 3] } else { [-7.5, 0.0, 5.0] };
        about.map(|more_kg| self.landmine((self.jerk_plates_kg + more_kg).max(0.0)))
    }

    /// Plates on the landmine bar this athlete uses.
    pub(super) fn landmine(&self, plates_kg: f64) -> Load {
        match self.sex {
            Sex::Female => kit::ON_LANDMINE_LIGHT.with_plates(plates_kg),
            Sex::Male => kit::ON_LANDMINE_HEAVY.with_plates(plates_kg),
        }
    }
}
