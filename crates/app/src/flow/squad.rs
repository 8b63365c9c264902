//! The squad: by each yardstick everyone on one scale, women and men apart, and who is missing.

use crate::flow::house::House;
use crate::flow::peers::{self, Field, Measured, Yardstick, same_implement};
use cornerwork_core::profile::peers::{Peer, Scaled, scaled};
use cornerwork_core::report::figure::Strip;
use cornerwork_core::session::athlete::{Athlete, Sex};
use cornerwork_core::session::gym::Gym;

/// By what rows are sorted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Order {
    /// As numbers compare with body mass taken out, the highest first.
    #[default]
    Place,
    /// By name.
    Name,
    /// By body mass, the lightest first.
    Mass,
    /// By day, the latest first.
    Date,
}

impl Order {
    /// All, each with the heading it stands under.
    pub const ALL: [Self; 4] = [Self::Place, Self::Name, Self::Mass, Self::Date];

    /// Name for an address.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Name => "name",
            Self::Mass => "mass",
            Self::Date => "date",
        }
    }

    /// From an address.
    pub fn from_code(code: &str) -> Self {
        Self::ALL.into_iter().find(|order| order.code() == code).unwrap_or_default()
    }
}

/// The squad by one yardstick.
#[derive(Debug)]
pub struct ByYardstick<'a> {
    /// Which.
    pub yardstick: Yardstick,
    /// Women and men apart, and each implement by itself.
    pub groups: Vec<Group<'a>>,
    /// Who has no number, and why.
    pub missing: Vec<(&'a Athlete, String)>,
}

/// People on one scale.
#[derive(Debug)]
pub struct Group<'a> {
    /// "women", "men".
    pub who: String,
    /// The scale with everyone on it.
    pub strip: Strip,
    /// Exponent of body mass with its doubt and the body mass all are read at.
    pub scaled: Scaled,
    /// One row a person.
    pub rows: Vec<Row<'a>>,
}

/// One person in a line.
#[derive(Debug)]
pub struct Row<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// As measured.
    pub measured: Measured,
    /// At the body mass of the scale.
    pub scaled: f64,
    /// Place among the others, in a few words.
    pub place: String,
}

/// The squad by every yardstick.
pub fn view<'a>(house: &House, gym: &'a Gym, order: Order) -> Vec<ByYardstick<'a>> {
    Field::all(house, gym).iter().map(|field| by(house, field, order)).collect()
}

fn by<'a>(house: &House, field: &Field<'a>, order: Order) -> ByYardstick<'a> {
    let mut missing = Vec::new();
    let mut measured = Vec::new();
    for (athlete, number) in &field.people {
        match number {
            Ok(found) => measured.push((*athlete, *found)),
            Err(reason) => missing.push((*athlete, reason.clone())),
        }
    }
    let mut groups = Vec::new();
    while let Some((first, own)) = measured.first().copied() {
        let alike = |(other, one): &(&Athlete, Measured)| {
            other.sex == first.sex && same_implement(&own, one)
        };
        let (here, rest): (Vec<_>, Vec<_>) = measured.into_iter().partition(alike);
        measured = rest;
        groups.extend(group(house, field, &here, order));
    }
    groups.sort_by_key(|group| group.rows.first().map(|row| row.athlete.sex == Sex::Male));
    ByYardstick { yardstick: field.yardstick, groups, missing }
}

fn group<'a>(
    house: &House,
    field: &Field<'a>,
    people: &[(&'a Athlete, Measured)],
    order: Order,
) -> Option<Group<'a>> {
    let yardstick = field.yardstick;
    let values: Vec<Peer<()>> = people
        .iter()
        .map(|(_, one)| Peer { kind: (), body_mass_kg: one.body_mass_kg, value: one.value })
        .collect();
    let scaled = scaled(&values, &yardstick.scaling())?;
    let (first, own) = people.first()?;
    let sex = if first.sex == Sex::Female { "women" } else { "men" };
    let bar_kg = own.implement.in_kilograms();
    let who = if bar_kg > 0.0 { format!("{sex}, bar of {bar_kg:.0} kg") } else { sex.to_owned() };
    let mut rows: Vec<Row<'a>> = people
        .iter()
        .zip(&scaled.values)
        .map(|((athlete, measured), at_reference)| Row {
            athlete,
            measured: *measured,
            scaled: *at_reference,
            place: match peers::standing(house, athlete, field) {
                Ok(standing) => {
                    let place = &standing.place.value;
                    peers::place_in_short(&place.place, place.peers)
                }
                Err(reason) => reason,
            },
        })
        .collect();
    sort(&mut rows, order);
    let strip = peers::squad_strip(yardstick, &scaled, &who);
    Some(Group { who, strip, scaled, rows })
}

fn sort(rows: &mut [Row<'_>], order: Order) {
    rows.sort_by(|one, other| match order {
        Order::Place => other.scaled.total_cmp(&one.scaled),
        Order::Name => one.athlete.name.cmp(&other.athlete.name),
        Order::Mass => one.measured.body_mass_kg.total_cmp(&other.measured.body_mass_kg),
        Order::Date => other.measured.date.cmp(&one.measured.date),
    });
}
