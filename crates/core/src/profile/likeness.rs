//! What shifts the whole line of a person in a squad: the kind of person and the body mass, where
//! the squad is wide enough to tell.

use crate::stats::mixed_line::MixedLineError;
use crate::units::Mass;

/// One person as far as likeness goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likeness {
    /// Kind of person, where two kinds are fitted together: -1/2 or +1/2. None where all are alike.
    pub kind: Option<f64>,
    /// Mass of the body on the day.
    pub body_mass: Mass,
}

/// What a squad's lines are shifted by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shifts {
    by_kind: bool,
    /// Middle mass, where mass counts.
    by_mass_about: Option<Mass>,
}

/// People of a kind that tell its shift apart from chance. Common practice, no source.
const FEWEST_OF_A_KIND: usize = 3;
/// People and ratio of masses from which mass counts: in fewer or more alike the fitted shift is
/// chance and costs more than it brings. Common practice, no source.
const FEWEST_FOR_MASS: usize = 20;
const WIDEST_TO_LIGHTEST: f64 = 1.5;

impl Shifts {
    /// What counts in this squad.
    ///
    /// # Errors
    /// [`MixedLineError::FewOfAKind`] when one of two kinds has one or two people.
    pub(super) fn of(squad: &[Likeness]) -> Result<Self, MixedLineError> {
        let stated = || squad.iter().filter_map(|one| one.kind);
        let above = stated().filter(|kind| *kind > 0.0).count();
        let fewer = above.min(stated().count() - above);
        if fewer > 0 && fewer < FEWEST_OF_A_KIND {
            return Err(MixedLineError::FewOfAKind { found: fewer });
        }
        Ok(Self { by_kind: fewer > 0, by_mass_about: middle_mass_of_a_wide_squad(squad) })
    }

    /// The covariates of one person; someone of no stated kind stands half-way between.
    pub(super) fn covariates(&self, one: &Likeness) -> Vec<f64> {
        let kind = self.by_kind.then(|| one.kind.unwrap_or(0.0));
        let mass = self.by_mass_about.map(|middle| (one.body_mass / middle).ln());
        kind.into_iter().chain(mass).collect()
    }

    /// The covariates of someone of middle mass and no stated kind.
    pub(super) fn of_the_middle(&self) -> Vec<f64> {
        vec![0.0; usize::from(self.by_kind) + usize::from(self.by_mass_about.is_some())]
    }

    /// In words, for 'why?'.
    pub(super) fn in_words(&self) -> &'static str {
        match (self.by_kind, self.by_mass_about.is_some()) {
            (false, false) => "nothing: the squad is taken as alike",
            (true, false) => "kind of person",
            (false, true) => "body mass",
            (true, true) => "kind of person and body mass",
        }
    }
}

fn middle_mass_of_a_wide_squad(squad: &[Likeness]) -> Option<Mass> {
    let mut masses: Vec<Mass> = squad.iter().map(|one| one.body_mass).collect();
    masses.sort_by(|one, other| one.partial_cmp(other).unwrap_or(std::cmp::Ordering::Equal));
    let (lightest, heaviest) = (*masses.first()?, *masses.last()?);
    let wide = heaviest / lightest >= WIDEST_TO_LIGHTEST;
    (masses.len() >= FEWEST_FOR_MASS && wide).then(|| masses[masses.len() / 2])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn squad(kinds: [usize; 2], heaviest: f64) -> Vec<Likeness> {
        let kinds = std::iter::repeat_n(-0.5, kinds[0]).chain(std::iter::repeat_n(0.5, kinds[1]));
        let mut squad: Vec<Likeness> = kinds
            .map(|kind| Likeness { kind: Some(kind), body_mass: Mass::kilograms(60.0) })
            .collect();
        squad[0].body_mass = Mass::kilograms(heaviest);
        squad
    }

    #[test]
    fn kind_and_mass_count_where_the_squad_can_tell() {
        let shifts = Shifts::of(&squad([8, 13], 108.0)).unwrap();
        let heavy = Likeness { kind: Some(0.5), body_mass: Mass::kilograms(120.0) };
        assert_eq!(shifts.covariates(&heavy), [0.5, 2.0_f64.ln()]);
        assert!(Shifts::of(&squad([8, 13], 80.0)).unwrap().by_mass_about.is_none());
        assert!(Shifts::of(&squad([0, 9], 108.0)).unwrap().covariates(&heavy).is_empty());
        let refused = Shifts::of(&squad([2, 9], 80.0)).unwrap_err();
        assert_eq!(refused, MixedLineError::FewOfAKind { found: 2 });
    }
}
