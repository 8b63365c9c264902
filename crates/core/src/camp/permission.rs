//! Who may see what, and whose word ends what: one table, from which every page asks.

/// What a person in the gym is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// The strength and conditioning coach.
    Coach,
    /// An assistant who runs a station.
    Assistant,
    /// The head boxing coach.
    HeadCoach,
    /// The physiotherapist.
    Physio,
    /// The doctor.
    Doctor,
    /// The nutritionist.
    Nutritionist,
    /// The parent or guardian of a minor: sees that child alone.
    Guardian,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 7] = [
        Self::Coach,
        Self::Assistant,
        Self::HeadCoach,
        Self::Physio,
        Self::Doctor,
        Self::Nutritionist,
        Self::Guardian,
    ];

    /// Short stable name.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Coach => "coach",
            Self::Assistant => "assistant",
            Self::HeadCoach => "head-coach",
            Self::Physio => "physio",
            Self::Doctor => "doctor",
            Self::Nutritionist => "nutritionist",
            Self::Guardian => "guardian",
        }
    }

    /// The role of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.code() == code)
    }

    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Coach => "strength and conditioning coach",
            Self::Assistant => "assistant",
            Self::HeadCoach => "head coach",
            Self::Physio => "physio",
            Self::Doctor => "doctor",
            Self::Nutritionist => "nutritionist",
            Self::Guardian => "guardian",
        }
    }

    /// Whether this word ends a restriction that needs clearance: the doctor's any, the physio's
    /// one of the body, nobody else's.
    pub const fn clears(self, needs: Clearance) -> bool {
        match needs {
            Clearance::Doctor => matches!(self, Self::Doctor),
            Clearance::PhysioOrDoctor => matches!(self, Self::Doctor | Self::Physio),
        }
    }

    /// How much of a matter this role sees.
    pub const fn sees(self, matter: Matter) -> Sight {
        use Matter as M;
        use Role as R;
        use Sight::{All, IfShared, Nothing, Part};
        match (matter, self) {
            (M::Training, R::Coach) => All,
            (M::Training, R::Assistant) => Part("today's station"),
            (M::Training, R::HeadCoach) => Part("summary and trend"),
            (M::Training, _) => Part("summary"),

            (M::Peers, R::Coach) => All,
            (M::Peers, R::HeadCoach) => IfShared,
            (M::Peers, _) => Nothing,

            (M::BodyMass, R::Coach | R::Physio | R::Doctor | R::Nutritionist) => All,
            (M::BodyMass, R::HeadCoach) => Part("on the line or off it"),
            (M::BodyMass, R::Guardian) => Part("the trend"),
            (M::BodyMass, R::Assistant) => Nothing,

            (M::Availability, _) => All,

            (M::Diagnosis, R::Physio | R::Doctor | R::Guardian) => All,
            (M::Diagnosis, R::Coach | R::Assistant) => {
                Part("what is barred, and what to do instead")
            }
            // What a diagnosis means for eating is for the doctor to tell.
            (M::Diagnosis, R::HeadCoach | R::Nutritionist) => Nothing,

            (M::HeadInjury, R::Physio | R::Doctor | R::Guardian) => All,
            (M::HeadInjury, R::Coach | R::HeadCoach) => Part("the earliest date"),
            (M::HeadInjury, R::Assistant) => Part("that it is barred"),
            (M::HeadInjury, R::Nutritionist) => Nothing,

            (M::CycleAndMood, R::Coach | R::Physio | R::Doctor | R::Nutritionist) => IfShared,
            (M::CycleAndMood, R::Assistant | R::HeadCoach | R::Guardian) => Nothing,

            (M::History, R::Coach | R::Doctor | R::Guardian) => Part("their own people's"),
            (M::History, _) => Nothing,
        }
    }
}

/// Whose word ends a restriction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clearance {
    /// A doctor's alone: after a blow to the head, and what a stop-now sign of the head, the heart
    /// or the nerves began.
    Doctor,
    /// A doctor's or a physio's.
    PhysioOrDoctor,
}

impl Clearance {
    /// "a doctor", for "until ... clears".
    pub const fn who(self) -> &'static str {
        match self {
            Self::Doctor => "a doctor",
            Self::PhysioOrDoctor => "a physio or a doctor",
        }
    }
}

/// What may be seen about an athlete.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Matter {
    /// Plan, reps, tests.
    Training,
    /// Where the athlete stands among comparable others.
    Peers,
    /// Body mass and its line.
    BodyMass,
    /// In, limited or out, and until when.
    Availability,
    /// What is wrong, in a medical person's words.
    Diagnosis,
    /// The stand-down after a stoppage.
    HeadInjury,
    /// Notes on the cycle and on mood.
    CycleAndMood,
    /// Who changed what, and when.
    History,
}

impl Matter {
    /// Every matter.
    pub const ALL: [Self; 8] = [
        Self::Training,
        Self::Peers,
        Self::BodyMass,
        Self::Availability,
        Self::Diagnosis,
        Self::HeadInjury,
        Self::CycleAndMood,
        Self::History,
    ];

    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Training => "plan, reps, tests",
            Self::Peers => "place among comparable others",
            Self::BodyMass => "body mass",
            Self::Availability => "in, limited or out",
            Self::Diagnosis => "what is wrong",
            Self::HeadInjury => "stand-down after a stoppage",
            Self::CycleAndMood => "notes on cycle and mood",
            Self::History => "who changed what",
        }
    }
}

/// How much of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// Everything.
    All,
    /// This part of it.
    Part(&'static str),
    /// What the athlete shared with this role, nothing else.
    IfShared,
    /// Nothing, not even that there is something.
    Nothing,
}

impl Sight {
    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Part(part) => part,
            Self::IfShared => "only if shared",
            Self::Nothing => "nothing",
        }
    }
}

/// Someone's word: who said it and in which role.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// The name.
    pub name: String,
    /// In which role.
    pub role: Role,
}

impl Signed {
    /// "Teska Hollowbridge, doctor".
    pub fn words(&self) -> String {
        format!("{}, {}", self.name, self.role.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table as people of the trade agreed it, a row a matter, a column a role in the order of
    /// [`Role::ALL`]: a all, p a part, s if shared, - nothing. Common practice, no source; the
    /// extra protection of health data is that of data-protection law in general.
    const AGREED: [(Matter, &str); 8] = [
        (Matter::Training, "apppppp"),
        (Matter::Peers, "a-s----"),
        (Matter::BodyMass, "a-paaap"),
        (Matter::Availability, "aaaaaaa"),
        (Matter::Diagnosis, "pp-aa-a"),
        (Matter::HeadInjury, "pppaa-a"),
        (Matter::CycleAndMood, "s--sss-"),
        (Matter::History, "p---p-p"),
    ];

    #[test]
    fn who_sees_what_is_the_table_agreed() {
        for (matter, row) in AGREED {
            let seen: String = Role::ALL
                .into_iter()
                .map(|role| match role.sees(matter) {
                    Sight::All => 'a',
                    Sight::Part(_) => 'p',
                    Sight::IfShared => 's',
                    Sight::Nothing => '-',
                })
                .collect();
            assert_eq!(seen, row, "{}", matter.words());
        }
        assert_eq!(AGREED.map(|(matter, _)| matter), Matter::ALL);
    }

    #[test]
    fn only_medical_people_clear_and_only_a_doctor_the_head() {
        let who =
            |needs| Role::ALL.into_iter().filter(|role| role.clears(needs)).collect::<Vec<_>>();
        assert_eq!(who(Clearance::Doctor), [Role::Doctor]);
        assert_eq!(who(Clearance::PhysioOrDoctor), [Role::Physio, Role::Doctor]);
    }

    #[test]
    fn every_role_has_a_name_of_its_own() {
        for role in Role::ALL {
            assert_eq!(Role::from_code(role.code()), Some(role));
        }
        assert_eq!(Role::from_code("owner"), None);
    }
}
