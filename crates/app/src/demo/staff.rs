//! Who works in the demo gym, and the numbers they sign in with.

use super::journal::{ASSISTANT, COACH, DOCTOR, PHYSIO};
use cornerwork_core::camp::permission::Role;

/// The guardian of the youngest.
pub(super) const GUARDIAN: &str = "Ines Merrowdene";

/// The head coach of the amateurs, and of the professionals.
pub(super) const AMATEURS_COACH: &str = "Dorran Pikestaff";
pub(super) const PROFESSIONALS_COACH: &str = "Marl Ettenwick";

/// Someone of the demo gym.
pub(super) struct Staff {
    pub(super) name: &'static str,
    pub(super) role: Role,
    /// The number, and the hash that is kept of it.
    pub(super) number: Option<(&'static str, &'static str)>,
}

const fn staff(name: &'static str, role: Role, pin: &'static str, kept: &'static str) -> Staff {
    Staff { name, role, number: Some((pin, kept)) }
}

/// The coach has no number: the demo opens on the coach's device. The hashes were made with
/// argon2-cffi 25.1.0, another implementation than the program's, on 2026-11-25; a test holds them
/// to the numbers.
pub(super) const STAFF: [Staff; 8] = [
    Staff { name: COACH, role: Role::Coach, number: None },
    staff(
        ASSISTANT,
        Role::Assistant,
        "200200",
        "argon2id:19456:2:696e76656e7465643030323030323030:bc69b4c051222429eb6d867b3f33aba3ca3a67ef8b042a4fe7c0ce3c921a53d4",
    ),
    staff(
        AMATEURS_COACH,
        Role::HeadCoach,
        "300300",
        "argon2id:19456:2:696e76656e7465643030333030333030:b2e35492f095472f6124d06001c68800a58746fea4f442f2ef488236e915f88f",
    ),
    staff(
        PROFESSIONALS_COACH,
        Role::HeadCoach,
        "300301",
        "argon2id:19456:2:696e76656e7465643030333030333031:6d8892935c33b201fd52e9adf8b681bcccc19708f32fd1cc8b21c3d31cbc5da6",
    ),
    staff(
        PHYSIO,
        Role::Physio,
        "400400",
        "argon2id:19456:2:696e76656e7465643030343030343030:b0151c2b2c045d1852b373cb3a7309782adedd33c2d9c1deed96de0204119ec4",
    ),
    staff(
        DOCTOR,
        Role::Doctor,
        "500500",
        "argon2id:19456:2:696e76656e7465643030353030353030:4770f074f30b3e167cd081130b6acb430c8602eac2b74d55a5205f12bb6497b5",
    ),
    staff(
        "Calla Munderfield",
        Role::Nutritionist,
        "600600",
        "argon2id:19456:2:696e76656e7465643030363030363030:4c4896c80f48462bf48570c6a937238f542eeeaf929968a12a984e22b70a54e8",
    ),
    staff(
        GUARDIAN,
        Role::Guardian,
        "700700",
        "argon2id:19456:2:696e76656e7465643030373030373030:12de1fce73e49fd72048da8d2ecf0368b947a37f1f92dc73c9717691fadb4a4c",
    ),
];

/// Names with their numbers, for the page where one signs in: a real gym's are shown once.
pub fn numbers() -> impl Iterator<Item = (&'static str, &'static str)> {
    STAFF.iter().filter_map(|one| Some((one.name, one.number?.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::pin;

    #[test]
    fn every_number_of_the_demo_opens_by_its_hash() {
        for (pin, kept) in STAFF.iter().filter_map(|one| one.number) {
            assert!(pin::fits(kept, pin), "{pin}");
        }
        assert!(!pin::fits(STAFF[1].number.unwrap().1, "500500"));
    }
}
