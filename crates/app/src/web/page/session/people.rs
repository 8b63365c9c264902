//! Who is in a session, who comes late or leaves, and whose jump is low today.

use super::View;
use crate::flow::program::{resolve, rotate};
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::program::{Exceptional, Presence};
use jiff::civil::Time;
use maud::{Markup, html};

impl View<'_> {
    pub(super) fn people(&self) -> Markup {
        let action = self.path();
        let everyone: Vec<&Athlete> = self.gym.athletes.values().collect();
        // What all jumps say is looked at once, and only where today's are asked about.
        let is_today = self.plan.date == Some(self.house.clock().today());
        let squad = is_today.then(|| SquadJumps::of_gym(self.house, self.gym));
        html! {
            section {
                h2 { "Who is in" }
                ul.present { @for presence in &self.plan.people { @if let Some(athlete) = self.gym.athlete(&presence.athlete) {
                    li {
                        details id={ "presence-" (athlete.id) } {
                            summary { (athlete.given_name()) span.code { (athlete.id) } (times(self.plan.starts, presence)) }
                            (self.comes(&athlete.id))
                        }
                    }
                } } }
                @for presence in &self.plan.people { @if let Some(athlete) = self.gym.athlete(&presence.athlete) { (self.today(athlete, squad.as_ref())) } }
                @if !self.runs {
                    details.more #people {
                        summary { "Change who is in" }
                        form method="post" action=(action) data-send {
                            input type="hidden" name="what" value="people";
                            fieldset.ticks {
                                legend.unseen { "Who is in" }
                                @for athlete in everyone {
                                    label.tick {
                                        input type="checkbox" name="athlete" value=(athlete.id) checked[self.plan.presence(&athlete.id).is_some()];
                                        span { (athlete.name) }
                                    }
                                }
                            }
                            button { "These are in" }
                        }
                    }
                } @else {
                    details.more #people {
                        summary { "Someone comes after all" }
                        form.choices method="post" action=(action) data-send {
                            input type="hidden" name="what" value="in";
                            @for athlete in everyone.iter().filter(|one| self.plan.presence(&one.id).is_none()) {
                                button name="athlete" value=(athlete.id) { (athlete.given_name()) }
                            }
                        }
                    }
                }
            }
        }
    }

    /// Comes late, goes early, or there the whole time.
    fn comes(&self, athlete: &AthleteId) -> Markup {
        let (late, leaves) = if self.runs {
            ("minutes from now", "minutes from now")
        } else {
            ("minutes after the start", "minutes after the start")
        };
        let form = |what: &str, words: &str, unit: &str, usual: &str| {
            html! {
                form.inline method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value=(what);
                    input type="hidden" name="athlete" value=(athlete);
                    label { (words) ", " (unit) input name="minutes" inputmode="numeric" size="4" required value=(usual) autocomplete="off"; }
                    button { (words) }
                }
            }
        };
        html! {
            div.comes {
                (form("late", "Comes late", late, if self.runs { "0" } else { "20" }))
                (form("leaves", "Leaves", leaves, if self.runs { "0" } else { "45" }))
                form method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="in";
                    button name="athlete" value=(athlete) { @if self.runs { "Here from now to the end" } @else { "There the whole time" } }
                }
            }
        }
    }

    /// A low jump in the warm-up: what the rule would take off, for the coach to decide.
    fn today(&self, athlete: &Athlete, squad: Option<&SquadJumps>) -> Markup {
        let taken = self.plan.exceptions.iter().find_map(|one| match one.what {
            Exceptional::Lighter { fraction } if one.athlete == athlete.id => Some(fraction),
            _ => None,
        });
        let shift = |squad| resolve::shift_for_today(self.house, self.gym, &athlete.id, squad);
        let proposed = squad.and_then(shift);
        let button = |percent: f64, words: &str| {
            html! {
                form method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="except";
                    input type="hidden" name="athlete" value=(athlete.id);
                    button name="do" value={ "lighter:" (percent) } { (words) }
                }
            }
        };
        html! {
            @match (taken, proposed) {
                (Some(fraction), _) if fraction > 0.0 => {
                    div.asked {
                        p { strong { (athlete.given_name()) } (format!(": {:.0} % off every load today.", fraction * 100.0)) }
                        (button(0.0, "As planned after all"))
                    }
                }
                (None, Some((fraction, sentence))) => {
                    div.asked {
                        p { strong { (athlete.given_name()) } ": " (sentence) " Common practice takes " (format!("{:.0}", fraction * 100.0)) " % off the first loads; you decide." }
                        (button(fraction * 100.0, &format!("Take {:.0} % off", fraction * 100.0)))
                        (button(0.0, "As planned"))
                    }
                }
                _ => {}
            }
        }
    }
}

/// " from 18:40 until 19:05", where it is not the whole session.
fn times(starts: Time, presence: &Presence) -> Markup {
    let clock = |minute: u16| rotate::clock_after(starts, rotate::minutes(minute));
    html! {
        @if presence.from_minute > 0 { span.quiet { " from " (clock(presence.from_minute)) } }
        @if let Some(until) = presence.until_minute { span.quiet { " until " (clock(until)) } }
    }
}
