//! Signs that end an athlete's session at once: stop, record, refer. The program names no cause.

use crate::camp::permission::Clearance;

/// What was seen or said. Common practice of first aid on a training floor, no single source; the
/// signs of the head follow the concussion guidelines for grassroots sport (UK, 2023).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StopSign {
    /// A blow to the head, or anything of the head or the neck.
    HeadOrNeck,
    /// Pain in the chest, or breath that does not come back.
    Chest,
    /// Fainting.
    Fainting,
    /// Sudden weakness or numbness.
    WeaknessOrNumbness,
    /// A joint gave way.
    JointGaveWay,
    /// New sharp pain.
    SharpPain,
    /// Signs of heat illness.
    Heat,
    /// Cramps while coming down in weight.
    Cramps,
}

impl StopSign {
    /// Every sign, the gravest first.
    pub const ALL: [Self; 8] = [
        Self::HeadOrNeck,
        Self::Chest,
        Self::Fainting,
        Self::WeaknessOrNumbness,
        Self::Heat,
        Self::Cramps,
        Self::JointGaveWay,
        Self::SharpPain,
    ];

    /// Short stable name.
    pub const fn code(self) -> &'static str {
        match self {
            Self::HeadOrNeck => "head-or-neck",
            Self::Chest => "chest",
            Self::Fainting => "fainting",
            Self::WeaknessOrNumbness => "weakness-or-numbness",
            Self::JointGaveWay => "joint-gave-way",
            Self::SharpPain => "sharp-pain",
            Self::Heat => "heat",
            Self::Cramps => "cramps",
        }
    }

    /// The sign of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sign| sign.code() == code)
    }

    /// The button's words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::HeadOrNeck => "head or neck",
            Self::Chest => "chest or breath",
            Self::Fainting => "fainted",
            Self::WeaknessOrNumbness => "weak or numb",
            Self::JointGaveWay => "joint gave way",
            Self::SharpPain => "new sharp pain",
            Self::Heat => "heat",
            Self::Cramps => "cramps, coming down in weight",
        }
    }

    /// Whose word the athlete needs before the next session.
    pub const fn clearance(self) -> Clearance {
        match self {
            Self::JointGaveWay | Self::SharpPain => Clearance::PhysioOrDoctor,
            _ => Clearance::Doctor,
        }
    }

    /// Whom to call.
    pub const fn call(self) -> &'static str {
        match self {
            Self::HeadOrNeck => {
                "Do not move the neck. Call the doctor. Call the emergency number at once for: a headache that grows, vomiting, a fit, weakness, drowsiness, neck pain, double vision, odd behaviour."
            }
            Self::Chest | Self::Fainting | Self::WeaknessOrNumbness => {
                "Call the emergency number now, then the doctor."
            }
            Self::Heat => {
                "Call the emergency number now. Out of the heat and cool the athlete until help comes."
            }
            Self::Cramps => "No more work today. Call the doctor, then the nutritionist.",
            Self::JointGaveWay | Self::SharpPain => "No more work today. Call the physio.",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_says_whom_to_call() {
        for sign in StopSign::ALL {
            assert_eq!(StopSign::from_code(sign.code()), Some(sign));
            assert!(sign.call().to_lowercase().contains("call the"), "{sign:?}");
        }
    }

    #[test]
    fn only_joints_and_pain_are_the_physios_to_clear() {
        let physios =
            StopSign::ALL.into_iter().filter(|sign| sign.clearance() != Clearance::Doctor);
        assert_eq!(physios.collect::<Vec<_>>(), [StopSign::JointGaveWay, StopSign::SharpPain]);
    }
}
