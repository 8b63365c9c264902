//! The fixed words by which exercises are sorted, each with its stable id and its plain name.

/// An enum whose values have a stable id for files and a plain name for people.
macro_rules! word_list {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $id:literal, $words:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name {
            $(#[doc = concat!("\"", $words, "\".")] $(#[$variant_doc])* $variant,)+
        }

        impl $name {
            /// Every value, in the order of the library.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];
            /// Stable id, in kebab-case.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$variant => $id,)+ }
            }
            /// Plain name.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words,)+ }
            }
            /// The value with this id.
            pub fn from_id(id: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|value| value.id() == id)
            }
        }
    };
}
pub(crate) use word_list;

word_list!(
    /// Chapter of the exercise library.
    Family {
        Jumps = "jumps", "jumps and reactive";
        Throws = "throws", "landmine and throws";
        Lifts = "lifts", "fast lifts and jerks";
        Strength = "strength", "strength";
        Holds = "holds", "isometrics, trunk, neck, hands";
        Conditioning = "conditioning", "conditioning";
    }
);

word_list!(
    /// A movement an exercise is made of.
    Pattern {
        VerticalJump = "vertical-jump", "vertical jump";
        HorizontalJump = "horizontal-jump", "horizontal jump";
        LateralJump = "lateral-jump", "lateral jump";
        Ankle = "ankle", "ankle";
        Squat = "squat", "squat";
        Hinge = "hinge", "hinge";
        Split = "split", "split stance";
        KneeFlexion = "knee-flexion", "knee flexion";
        Push = "push", "push";
        VerticalPush = "vertical-push", "vertical push";
        Pull = "pull", "pull";
        Rotation = "rotation", "rotation";
        TrunkFlexion = "trunk-flexion", "trunk flexion";
        TrunkExtension = "trunk-extension", "trunk extension";
        LegDrive = "leg-drive", "leg drive";
        Catch = "catch", "catch";
        Brace = "brace", "brace";
        Neck = "neck", "neck";
        Hand = "hand", "hand and wrist";
        Locomotion = "locomotion", "locomotion";
        Striking = "striking", "striking";
    }
);

word_list!(
    /// A quality an exercise trains.
    Quality {
        MaximalStrength = "maximal-strength", "maximal strength";
        StrengthSpeed = "strength-speed", "strength-speed";
        Power = "power", "power";
        SpeedStrength = "speed-strength", "speed-strength";
        Reactive = "reactive", "reactive strength";
        EarlyForce = "early-force", "early force";
        Isometric = "isometric", "isometric strength";
        Trunk = "trunk", "trunk";
        Neck = "neck", "neck";
        Robustness = "robustness", "robustness";
        Aerobic = "aerobic", "aerobic";
        Anaerobic = "anaerobic", "anaerobic";
        Mobility = "mobility", "mobility";
    }
);

word_list!(
    /// A part of the body that may be hurt.
    BodyPart {
        Hand = "hand", "hand";
        Wrist = "wrist", "wrist";
        Elbow = "elbow", "elbow";
        Shoulder = "shoulder", "shoulder";
        Neck = "neck", "neck";
        Rib = "rib", "rib";
        Back = "back", "back";
        Groin = "groin", "groin";
        Hamstring = "hamstring", "hamstring";
        Knee = "knee", "knee";
        Shin = "shin", "shin";
        Calf = "calf", "calf";
        Achilles = "achilles", "Achilles tendon";
        Ankle = "ankle", "ankle";
    }
);

word_list!(
    /// Whether two sides are logged apart, and by which names.
    Sides {
        None = "none", "both at once";
        EachSide = "each-side", "left and right";
        LeadRear = "lead-rear", "lead and rear, by stance";
    }
);

word_list!(
    /// What 'the load' of an exercise means.
    LoadModel {
        None = "none", "nothing is lifted or thrown";
        BarPlusPlates = "bar-plus-plates", "bar and plates";
        /// Momentum is of their sum.
        SystemMass = "system-mass", "body and load fly together";
        /// What the hand meets follows from lever arms.
        LandmineLever = "landmine-lever", "one end of the bar pivots";
        BodyMassOnly = "body-mass-only", "the body alone";
        Isometric = "isometric", "against what does not move";
        /// Balls, bells, bands, sleds, machines.
        Other = "other", "the number on the thing";
    }
);
