//! How a box was chosen.

use super::{BoxAnswer, BoxBar, BoxReason, BoxToUse, DepthJumpRules, DepthJumper};
use crate::units::Length;
use crate::working::{Input, Working};

impl BoxAnswer {
    /// How the box was chosen.
    pub fn working(&self, jumper: &DepthJumper, rules: &DepthJumpRules) -> Working {
        let best = jumper.best_jump.in_centimetres();
        let mut inputs = vec![
            Input::new("best countermovement jump", format!("{best:.1} cm")),
            Input::new("body mass", format!("{:.1} kg", jumper.body_mass.in_kilograms())),
            Input::new("age", format!("{} years", jumper.age_years)),
        ];
        let mut steps = vec![format!(
            "a box matches at {best:.1} x {} = {:.1} cm of rebound; the aim is {:.1} cm",
            rules.matching_share,
            best * rules.matching_share,
            best * rules.aim_share
        )];
        match self {
            Self::Use(chosen) => {
                inputs.extend(tested(chosen));
                steps.push(why(chosen, jumper.best_jump));
            }
            Self::Barred(bar) => steps.push(why_not(*bar).into()),
        }
        Working {
            title: "box for the depth jump".into(),
            method: "depth-jump-box",
            version: 1,
            inputs,
            steps,
            source: "common practice, no source",
            doubt: match self {
                Self::Use(BoxToUse { trend: Some(trend), .. }) => format!(
                    "rebound changes by {:+.2} cm for each cm of box, {} interval {:+.2} to \
                     {:+.2}",
                    trend.gain.value,
                    trend.gain.level,
                    trend.gain.interval.low,
                    trend.gain.interval.high
                ),
                _ => "a rule, not a fit; the real drop is not the height of the box".into(),
            },
        }
    }
}

fn tested(chosen: &BoxToUse) -> impl Iterator<Item = Input> {
    chosen.tested.iter().map(|summary| {
        let contact = summary
            .mean_contact
            .map_or(String::new(), |time| format!(", {:.2} s on the ground", time.in_seconds()));
        Input::new(
            format!("box {:.0} cm", summary.box_height.in_centimetres()),
            format!(
                "rebound {:.1} cm{contact}, mean of {}",
                summary.mean_rebound.in_centimetres(),
                summary.jumps
            ),
        )
    })
}

fn why(chosen: &BoxToUse, best_jump: Length) -> String {
    let now = chosen.now.in_centimetres();
    match chosen.reason {
        BoxReason::OwnJumpHeight => format!(
            "nothing tested: the highest box up to the own jump of {:.1} cm, {now:.0} cm",
            best_jump.in_centimetres()
        ),
        BoxReason::ReachesAim => format!("the lowest box that reaches the aim: {now:.0} cm"),
        BoxReason::HighestMatching => format!("the highest box that matches: {now:.0} cm"),
        BoxReason::BelowFailed => format!("no tested box matched: one lower, {now:.0} cm"),
    }
}

const fn why_not(bar: BoxBar) -> &'static str {
    match bar {
        BoxBar::BoutTooClose { .. } => "too close to the bout",
        BoxBar::NoLowEnoughBox => "no box here is low enough",
        BoxBar::StrengthFirst => "no box gives a rebound that matches: strength first",
    }
}
