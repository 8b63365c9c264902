//! The lever: moments about the pivot and the masses they make at the hand.

use std::f64::consts::PI;

use crate::units::{Acceleration, Force, Length, Mass};
use crate::working::{Input, Working};

/// Density of steel, kg/m³.
const STEEL_KG_M3: f64 = 7850.0;

/// A landmine as it is loaded and held.
#[derive(Clone, Debug, PartialEq)]
pub struct Landmine {
    bar: LandmineBar,
    plates: Vec<HungPlate>,
    stance: Stance,
}

/// The bar of a landmine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandmineBar {
    /// Mass as weighed.
    pub mass: Mass,
    /// From the pivot to the free end.
    pub length: Length,
    /// How its mass is spread, which matters to its inertia only.
    pub rod: Rod,
}

/// How the mass of a symmetrical bar is spread along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rod {
    /// Evenly: the least inertia a bar of this mass and length can have, about a tenth too little
    /// for a bar with sleeves.
    Uniform,
    /// A steel shaft, with what is left of the mass shared evenly by the two ends.
    ShaftAndSleeves {
        /// Length of the shaft between the inner collars: 1.31 m on competition bars.
        shaft_length: Length,
        /// Diameter of the shaft: 28 mm on the 20 kg bar, 25 mm on the 15 kg bar.
        shaft_diameter: Length,
    },
}

/// A plate on the free sleeve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HungPlate {
    /// Its mass.
    pub mass: Mass,
    /// From the pivot to its centre.
    pub from_pivot: Length,
    /// Its shape; without it, the plate is taken as a point.
    pub disc: Option<Disc>,
}

/// The shape of a plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Radius: 0.225 m for a plate of full size.
    pub radius: Length,
    /// Thickness.
    pub thickness: Length,
}

/// Where the hand is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// Along the bar from the pivot to the hand.
    pub hand_from_pivot: Length,
    /// Height of the pivot above the floor.
    pub pivot_height: Length,
    /// Height of the hand above the floor: a tall boxer and a short one do not lift the same.
    pub hand_height: Length,
}

/// Why a landmine cannot be as entered.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LandmineError {
    /// The bar has no possible mass or length.
    #[error("A bar of {mass_kg} kg and {length_m} m cannot be: measure it again.")]
    Bar {
        /// Mass in kg.
        mass_kg: f64,
        /// Length in m.
        length_m: f64,
    },
    /// A steel shaft of these measures is longer or heavier than the bar.
    #[error("A shaft of {shaft_kg:.1} kg and {shaft_length_m} m is more than the whole bar.")]
    Shaft {
        /// Mass the shaft would have, in kg.
        shaft_kg: f64,
        /// Its length in m.
        shaft_length_m: f64,
    },
    /// A plate hangs where there is no bar.
    #[error("A plate of {mass_kg} kg cannot hang {from_pivot_m} m from the pivot on this bar.")]
    Plate {
        /// Mass in kg.
        mass_kg: f64,
        /// Distance in m.
        from_pivot_m: f64,
    },
    /// The hand is where there is no bar.
    #[error("The hand cannot hold this bar {from_pivot_m} m from the pivot.")]
    Hand {
        /// Distance in m.
        from_pivot_m: f64,
    },
    /// The bar does not reach to the hand's height, or the hand is below the pivot.
    #[error(
        "The hand at {hand_height_m} m is out of reach: held there, the bar goes from {lowest_m} \
         to {highest_m:.2} m."
    )]
    OutOfReach {
        /// Height of the hand in m.
        hand_height_m: f64,
        /// Height of the pivot in m.
        lowest_m: f64,
        /// Height of the hand with the bar upright, in m.
        highest_m: f64,
    },
}

/// The three masses at the hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandmineLoad {
    /// What a vertical push holds still; the same at every angle of the bar.
    pub vertical_hold: Mass,
    /// What a push at right angles to the bar holds still: less, the steeper the bar.
    pub across_bar: Mass,
    /// What that push accelerates.
    pub inertia: Mass,
}

impl LandmineBar {
    /// A bar taken as a uniform rod.
    pub const fn uniform(mass: Mass, length: Length) -> Self {
        Self { mass, length, rod: Rod::Uniform }
    }

    /// A plate, taken as a point, where a plate or two against the collar have their centre:
    /// 0.85 of the length from the pivot (1.87 m on a bar of 2.20 m), when nobody measured it.
    pub fn usual_plate(&self, mass: Mass) -> HungPlate {
        HungPlate { mass, from_pivot: self.length * 0.85, disc: None }
    }

    /// A hand 5 cm from the free end over a pivot of 8 cm, when nobody measured them.
    pub fn usual_stance(&self, hand_height: Length) -> Stance {
        Stance {
            hand_from_pivot: self.length - Length::centimetres(5.0),
            pivot_height: Length::centimetres(8.0),
            hand_height,
        }
    }

    fn checked(self) -> Result<Self, LandmineError> {
        let (mass_kg, length_m) = (self.mass.in_kilograms(), self.length.in_metres());
        if !((1.0..=60.0).contains(&mass_kg) && (0.5..=3.0).contains(&length_m)) {
            return Err(LandmineError::Bar { mass_kg, length_m });
        }
        if let Rod::ShaftAndSleeves { shaft_length, shaft_diameter } = self.rod {
            let shaft_kg = shaft_kg(shaft_length, shaft_diameter);
            let shaft_length_m = shaft_length.in_metres();
            let fits = shaft_length_m > 0.0 && shaft_length_m < length_m && shaft_kg < mass_kg;
            if !fits {
                return Err(LandmineError::Shaft { shaft_kg, shaft_length_m });
            }
        }
        Ok(self)
    }

    /// Moment of inertia about the pivot, kg m².
    fn inertia_kg_m2(&self) -> f64 {
        let (mass, length) = (self.mass.in_kilograms(), self.length.in_metres());
        match self.rod {
            Rod::Uniform => mass * length.powi(2) / 3.0,
            Rod::ShaftAndSleeves { shaft_length, shaft_diameter } => {
                let shaft = shaft_kg(shaft_length, shaft_diameter);
                let shaft_length = shaft_length.in_metres();
                let end = (mass - shaft) / 2.0;
                let end_length = (length - shaft_length) / 2.0;
                rod_about(shaft, shaft_length, length / 2.0)
                    + rod_about(end, end_length, end_length / 2.0)
                    + rod_about(end, end_length, length - end_length / 2.0)
            }
        }
    }
}

/// Inertia of a uniform rod about an axis this far from its centre (parallel axes).
fn rod_about(mass_kg: f64, length_m: f64, from_axis_m: f64) -> f64 {
    mass_kg * (from_axis_m.powi(2) + length_m.powi(2) / 12.0)
}

fn shaft_kg(length: Length, diameter: Length) -> f64 {
    STEEL_KG_M3 * PI / 4.0 * diameter.in_metres().powi(2) * length.in_metres()
}

impl HungPlate {
    /// Moment of inertia about the pivot, kg m²: a disc whose axis lies along the bar.
    fn inertia_kg_m2(&self) -> f64 {
        let own = self.disc.map_or(0.0, |disc| {
            disc.radius.in_metres().powi(2) / 4.0 + disc.thickness.in_metres().powi(2) / 12.0
        });
        self.mass.in_kilograms() * (self.from_pivot.in_metres().powi(2) + own)
    }
}

impl Landmine {
    /// A landmine whose bar, plates and hand can be where they are said to be.
    ///
    /// # Errors
    /// [`LandmineError`].
    pub fn new(
        bar: LandmineBar,
        plates: Vec<HungPlate>,
        stance: Stance,
    ) -> Result<Self, LandmineError> {
        let bar = bar.checked()?;
        let on_bar = |at: Length| at > Length::ZERO && at <= bar.length;
        let possible = |plate: &&HungPlate| {
            on_bar(plate.from_pivot) && (0.0..=200.0).contains(&plate.mass.in_kilograms())
        };
        if let Some(plate) = plates.iter().find(|plate| !possible(plate)) {
            return Err(LandmineError::Plate {
                mass_kg: plate.mass.in_kilograms(),
                from_pivot_m: plate.from_pivot.in_metres(),
            });
        }
        if !on_bar(stance.hand_from_pivot) {
            return Err(LandmineError::Hand { from_pivot_m: stance.hand_from_pivot.in_metres() });
        }
        let sine = (stance.hand_height - stance.pivot_height) / stance.hand_from_pivot;
        if !(0.0..1.0).contains(&sine) {
            return Err(LandmineError::OutOfReach {
                hand_height_m: stance.hand_height.in_metres(),
                lowest_m: stance.pivot_height.in_metres(),
                highest_m: (stance.pivot_height + stance.hand_from_pivot).in_metres(),
            });
        }
        Ok(Self { bar, plates, stance })
    }

    /// Angle of the bar above the floor, in radians.
    pub fn angle_rad(&self) -> f64 {
        let stance = &self.stance;
        ((stance.hand_height - stance.pivot_height) / stance.hand_from_pivot).asin()
    }

    /// Bar and plates: what a scale under all of it would show, and what papers usually report.
    pub fn total(&self) -> Mass {
        self.bar.mass + self.plates.iter().map(|plate| plate.mass).sum()
    }

    /// The three masses at the hand.
    pub fn load(&self) -> LandmineLoad {
        let vertical_hold = Mass::kilograms(self.first_moment_kg_m() / self.hand_m());
        LandmineLoad {
            vertical_hold,
            across_bar: vertical_hold * self.angle_rad().cos(),
            inertia: Mass::kilograms(self.inertia_kg_m2() / self.hand_m().powi(2)),
        }
    }

    /// Force that holds the bar still, pushed straight up.
    pub fn vertical_hold_force(&self, gravity: Acceleration) -> Force {
        self.load().vertical_hold * gravity
    }

    /// Force that holds the bar still, pushed at right angles to it.
    pub fn across_bar_force(&self, gravity: Acceleration) -> Force {
        self.load().across_bar * gravity
    }

    /// First moment of mass about the pivot, kg m: each mass times its distance.
    pub fn first_moment_kg_m(&self) -> f64 {
        let plates: f64 =
            self.plates.iter().map(|p| p.mass.in_kilograms() * p.from_pivot.in_metres()).sum();
        self.bar.mass.in_kilograms() * self.bar.length.in_metres() / 2.0 + plates
    }

    /// Moment of inertia about the pivot, kg m².
    pub fn inertia_kg_m2(&self) -> f64 {
        let plates: f64 = self.plates.iter().map(HungPlate::inertia_kg_m2).sum();
        self.bar.inertia_kg_m2() + plates
    }

    /// Distance of the hand from the pivot in metres.
    pub(super) fn hand_m(&self) -> f64 {
        self.stance.hand_from_pivot.in_metres()
    }

    /// How the three masses came about.
    pub fn working(&self) -> Working {
        let load = self.load();
        let (moment, inertia, hand) =
            (self.first_moment_kg_m(), self.inertia_kg_m2(), self.hand_m());
        let rod = match self.bar.rod {
            Rod::Uniform => "a uniform rod",
            Rod::ShaftAndSleeves { .. } => "a steel shaft with a sleeve at each end",
        };
        Working {
            title: "what the hand meets on the landmine".into(),
            method: "landmine-lever",
            version: 1,
            inputs: self.inputs(rod),
            steps: vec![
                format!("first moment about the pivot = {moment:.3} kg m"),
                format!(
                    "held up vertically = {moment:.3} / {hand:.3} = {:.1} kg",
                    load.vertical_hold.in_kilograms()
                ),
                format!(
                    "across the bar = {:.1} x cos {:.1}° = {:.1} kg",
                    load.vertical_hold.in_kilograms(),
                    self.angle_rad().to_degrees(),
                    load.across_bar.in_kilograms()
                ),
                format!(
                    "inertia at the hand = {inertia:.2} / {hand:.3}² = {:.1} kg",
                    load.inertia.in_kilograms()
                ),
            ],
            source: "statics and rotation about a fixed axis (Meriam and Kraige, Engineering \
                     Mechanics)",
            doubt: "rigid bar, no friction in the pivot, the hand at one point; a uniform rod \
                    understates the inertia of a bar with sleeves by about a tenth"
                .into(),
        }
    }

    fn inputs(&self, rod: &str) -> Vec<Input> {
        let stance = &self.stance;
        let metres = |length: Length| format!("{:.3} m", length.in_metres());
        let bar =
            format!("{:.2} kg, {}, {rod}", self.bar.mass.in_kilograms(), metres(self.bar.length));
        let plates = self.plates.iter().map(|plate| {
            let at = metres(plate.from_pivot);
            Input::new("plate", format!("{:.2} kg at {at}", plate.mass.in_kilograms()))
        });
        std::iter::once(Input::new("bar", bar))
            .chain(plates)
            .chain([
                Input::new("hand from the pivot", metres(stance.hand_from_pivot)),
                Input::new("hand height", metres(stance.hand_height)),
                Input::new("pivot height", metres(stance.pivot_height)),
            ])
            .collect()
    }
}
