//! The hill: a peaked quantity against load, with its flat top along the ground.

use super::{Axis, CurvePoint, Point, Table, behind_rows, rows_against_load, tested};
use crate::estimate::{Interval, Level};

/// Momentum, or any quantity with a peak, against load.
#[derive(Clone, Debug, PartialEq)]
pub struct Hill {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// The load.
    pub across: Axis,
    /// The peaked quantity.
    pub up: Axis,
    /// As measured, one a trial.
    pub points: Vec<Point>,
    /// The curve with its interval, in order of load; what lies outside the tested loads fades.
    pub curve: Vec<CurvePoint>,
    /// The probability the curve's interval is built for.
    pub level: Level,
    /// The load where the curve peaks; `None` when no peak can be told.
    pub peak: Option<f64>,
    /// The loads that cost next to nothing of the peak.
    pub flat_top: Option<FlatTop>,
    /// Loads that stand out: today's, the next to test.
    pub posts: Vec<Post>,
    /// What lies behind the curve: where those of others lie.
    pub behind: Option<Behind>,
}

/// The curves of others, behind the one it is about.
#[derive(Clone, Debug, PartialEq)]
pub struct Behind {
    /// What it is: "squad, nine in ten".
    pub name: String,
    /// Their middle with the stretch around it, in order of load.
    pub curve: Vec<CurvePoint>,
}

/// The loads near the peak that give nearly all of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatTop {
    /// From the lightest to the heaviest.
    pub loads: Interval<f64>,
    /// The share of the peak that the ends lose: 0.01 for one per cent.
    pub loss_fraction: f64,
}

impl FlatTop {
    /// What the band means: "within 1 % of the peak".
    pub fn meaning(&self) -> String {
        let percent = self.loss_fraction * 100.0;
        format!("within {} % of the peak", (percent * 10.0).round() / 10.0)
    }
}

/// One load that stands out.
#[derive(Clone, Debug, PartialEq)]
pub struct Post {
    /// The load.
    pub at: f64,
    /// What it is, in a word or two, without the number: "today".
    pub name: String,
    /// Why it stands out.
    pub kind: PostKind,
}

/// Why a load stands out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PostKind {
    /// The load to lift today.
    Today,
    /// The load to test next.
    Next,
}

impl Hill {
    /// The lightest to the heaviest load that was tested and counted.
    pub fn tested(&self) -> Option<Interval<f64>> {
        tested(&self.points)
    }
    /// Measured points, the curve, then what stands out.
    pub fn table(&self) -> Table {
        let mut table = rows_against_load(&self.across, &self.up, &self.points, &self.curve);
        let load = |load: f64| self.across.number(load);
        if let Some(peak) = self.peak {
            table.row(["peak", &load(peak), "", "", ""]);
        }
        if let Some(top) = &self.flat_top {
            table.row([&top.meaning(), &load(top.loads.low), "", "", ""]);
            table.row([&top.meaning(), &load(top.loads.high), "", "", ""]);
        }
        for post in &self.posts {
            table.row([post.name.as_str(), &load(post.at), "", "", ""]);
        }
        if let Some(behind) = &self.behind {
            behind_rows(&mut table, behind, &self.across, &self.up);
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hill() -> Hill {
        Hill {
            title: "Momentum".into(),
            description: "Momentum peaks near 48 kg.".into(),
            across: Axis::load(),
            up: Axis::new("momentum", "kg m/s", super::super::Decimals::Exactly(0)),
            points: vec![
                Point::new(20.0, 210.0),
                Point::new(60.0, 240.0),
                Point::set_aside(90.0, 100.0),
                Point::new(f64::NAN, 1.0),
            ],
            curve: (0..100).map(|i| CurvePoint::new(f64::from(i), 200.0, 190.0, 210.0)).collect(),
            level: Level::USUAL,
            peak: Some(48.0),
            flat_top: Some(FlatTop {
                loads: Interval { low: 37.3, high: 58.2 },
                loss_fraction: 0.01,
            }),
            behind: None,
            posts: vec![Post { at: 50.0, name: "today".into(), kind: PostKind::Today }],
        }
    }

    #[test]
    fn a_jump_set_aside_or_missing_does_not_widen_the_tested_loads() {
        assert_eq!(hill().tested(), Some(Interval { low: 20.0, high: 60.0 }));
    }

    #[test]
    fn the_table_holds_every_measured_point_and_both_ends_of_the_curve() {
        let rows = hill().table().rows;
        let starts = |start: &str| rows.iter().filter(|row| row[0].starts_with(start)).count();
        assert_eq!(starts("measured"), 3);
        let curve: Vec<_> = rows.iter().filter(|row| row[0] == "curve").collect();
        assert!(curve.len() <= 13);
        assert_eq!((curve[0][1].as_str(), curve[curve.len() - 1][1].as_str()), ("0", "99"));
        assert!(
            rows.contains(
                &["within 1 % of the peak", "58.2", "", "", ""].map(String::from).to_vec()
            )
        );
        assert!(rows.contains(&["today", "50", "", "", ""].map(String::from).to_vec()));
    }
}
