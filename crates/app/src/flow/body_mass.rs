//! The way to a limit: weighings, trend, check-weights, and the jump beside them.

use crate::flow::act::{self, Answer};
use crate::flow::house::House;
use crate::flow::progress;
use cornerwork_core::camp::body_mass::{
    CheckWeight, MassLimit, Trend, WayToLimit, WeighIn, Weighing, check_weights, way_to_limit,
};
use cornerwork_core::camp::camp_plan::Mark as DayMark;
use cornerwork_core::entry::{About, Expected, Prediction};
use cornerwork_core::exercise::MeasureKind;
use cornerwork_core::note::Noted;
use cornerwork_core::report::figure::Point;
use cornerwork_core::report::figure::{
    Axis, CurvePoint, Decimals, Event, Mark, Signal, Slope, Target, Trace,
};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::stats::median::median;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Weeks the pictures reach back.
const WEEKS_SHOWN: i64 = 12;
/// Pictures span at least this much (ours: what food and water move within days), so that noise is
/// not stretched until it looks like a trend.
const LEAST_SPAN_KG: f64 = 4.0;
/// The same for the jump drawn beside it (ours: some typical errors of a day).
const LEAST_SPAN_CM: f64 = 4.0;
/// A test this near the weigh-in is not comparable: a day before to a day after (common practice,
/// no source).
const DAYS_NOT_COMPARABLE: i32 = 1;

/// "72.57 kg (160 lb)".
pub fn in_both(mass: Mass) -> String {
    let kilograms = mass.in_kilograms();
    let pounds = mass.in_pounds();
    let whole = (pounds - pounds.round()).abs() < 0.05;
    let digits = usize::from(!whole);
    format!("{kilograms:.2} kg ({pounds:.digits$} lb)")
}

/// What the page says.
#[derive(Debug)]
pub struct MassView {
    /// Days with their median weighing, oldest first.
    pub weighings: Vec<Weighing>,
    /// The trend, or why there is none.
    pub trend: Result<Trend, String>,
    /// The limit; never for a minor.
    pub limit: Option<MassLimit>,
    /// Its check-weights, with the words of their source.
    pub checks: Vec<CheckWeight>,
    /// Where the check-weights were read.
    pub check_source: Option<String>,
    /// Where its weigh-in lies.
    pub weigh_in: Option<WeighIn>,
    /// The way to the limit, while one lies ahead.
    pub way: Option<Noted<WayToLimit>>,
    /// Whether limits are spoken of at all.
    pub is_minor: bool,
}

/// Body mass of an athlete as the page shows it.
pub fn view(house: &House, gym: &Gym, athlete: &Athlete) -> MassView {
    view_of(house, gym, athlete, gym.safety().limit(&athlete.id).cloned())
}

/// The same on the way to a limit that is agreed, or would be.
pub fn view_of(house: &House, gym: &Gym, athlete: &Athlete, limit: Option<MassLimit>) -> MassView {
    let weighings = weighings(house, gym, &athlete.id);
    let trend = Trend::of(&weighings).map_err(|error| error.to_string());
    let today = house.clock().today();
    let is_minor = athlete.is_junior(today);
    let limit = limit.filter(|_| !is_minor);
    let rules = &house.safety.rules;
    let checks = limit.as_ref().map_or_else(Vec::new, |limit| checks_of(house, limit));
    let check_source = limit.as_ref().and_then(|limit| {
        let body = limit.check_body.as_deref()?;
        let rule = rules.check_weights.iter().find(|rule| rule.body == body)?;
        let mark = if rule.confirmed { "" } else { "; to be confirmed in the current rules" };
        Some(format!("{body}, {}{mark}", rule.source))
    });
    let way =
        trend.as_ref().ok().zip(limit.as_ref()).and_then(|(trend, limit)| {
            way_to_limit(trend, limit, &checks, &rules.loss_limits, today)
        });
    let weigh_in = limit.as_ref().map(|limit| limit.weigh_in_from(today));
    MassView { weighings, trend, limit, checks, check_source, weigh_in, way, is_minor }
}

/// The check-weights of a limit by the rules of the body it names.
pub fn checks_of(house: &House, limit: &MassLimit) -> Vec<CheckWeight> {
    let rules = limit.check_body.as_deref().map(|body| house.safety.rules.checks_of(body));
    check_weights(limit.limit, limit.bout, &rules.unwrap_or_default())
}

/// One weighing a day: the median where there were several.
fn weighings(house: &House, gym: &Gym, athlete: &AthleteId) -> Vec<Weighing> {
    let mut by_day: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
    for (at, mass) in gym.body_masses(athlete) {
        by_day.entry(house.clock().date_of(*at)).or_default().push(mass.in_kilograms());
    }
    let of_day = |(date, masses): (Date, Vec<f64>)| {
        Some(Weighing { date, mass: Mass::kilograms(median(&masses)?) })
    };
    by_day.into_iter().filter_map(of_day).collect()
}

/// Weigh-in and bout that a form for a limit begins with: those agreed, else those of the next
/// bout's camp.
pub fn days_for_a_limit(
    house: &House,
    gym: &Gym,
    view: &MassView,
    athlete: &AthleteId,
) -> (Option<Date>, Option<Date>) {
    if let (Some(limit), Some(WeighIn::Ahead(_) | WeighIn::Today)) = (&view.limit, view.weigh_in) {
        return (Some(limit.weigh_in), Some(limit.bout));
    }
    let bout = gym.next_bout(athlete, house.clock().today());
    let plan = bout.and_then(|bout| gym.camps.plan(&bout.id));
    let weigh_in = plan.and_then(|plan| plan.days_of(DayMark::WeighIn).next());
    (weigh_in, bout.map(|bout| bout.date))
}

/// On the line or off it, for those who may know that and no more.
pub fn in_a_word(view: &MassView) -> &'static str {
    match (&view.way, view.weigh_in) {
        (_, Some(WeighIn::Today)) => "weigh-in today",
        (None, _) => "no line",
        (Some(way), _) if way.value.chance >= 0.5 => "on the line",
        (Some(_), _) => "off the line: speak with the nutritionist and the doctor",
    }
}

/// Whether it falls, stays or grows, without a number of a limit.
pub fn trend_in_words(view: &MassView) -> String {
    let rate = match &view.trend {
        Ok(trend) => trend.percent_a_week().interval,
        Err(reason) => return reason.clone(),
    };
    let word = if rate.high < 0.0 {
        "falls"
    } else if rate.low > 0.0 {
        "grows"
    } else {
        "is steady, as far as the weighings tell"
    };
    format!("Over the last four weeks body mass {word}.")
}

/// The way in one sentence.
pub fn sentence(view: &MassView) -> String {
    if let (Some(limit), Some(WeighIn::Passed | WeighIn::Today)) = (&view.limit, view.weigh_in) {
        return at_or_after_the_weigh_in(view, limit);
    }
    let (Some(limit), Some(way)) = (&view.limit, &view.way) else {
        return match (&view.trend, view.is_minor) {
            (Ok(trend), true) => {
                let rate = trend.percent_a_week();
                let falls = rate.interval.high < 0.0;
                if falls {
                    "Body mass falls. Speak with the guardian and the nutritionist.".to_owned()
                } else {
                    "Body mass is steady or grows, as it should at this age.".to_owned()
                }
            }
            (Ok(_), false) => "No limit is agreed.".to_owned(),
            (Err(reason), _) => reason.clone(),
        };
    };
    let predicted = way.value.at_weigh_in;
    format!(
        "At this rate {:.1} kg at the weigh-in on {} ({:.1} to {:.1} kg, 90 % sure). The limit is {}. Chance of making it: {}.",
        predicted.value.in_kilograms(),
        words::day(limit.weigh_in),
        predicted.interval.low.in_kilograms(),
        predicted.interval.high.in_kilograms(),
        in_both(limit.limit),
        in_percent(way.value.chance)
    )
}

/// A weigh-in that is today or past is not spoken of as to come.
fn at_or_after_the_weigh_in(view: &MassView, limit: &MassLimit) -> String {
    let most = in_both(limit.limit);
    if view.weigh_in == Some(WeighIn::Passed) {
        let day = words::day_and_year(limit.weigh_in);
        return format!("The weigh-in of {day} has passed (limit {most}). No limit lies ahead.");
    }
    let last = view.weighings.last().map(|one| {
        let (mass, day) = (one.mass.in_kilograms(), words::day(one.date));
        format!(" Last on the gym's scale: {mass:.1} kg on {day}.")
    });
    format!("Weigh-in today: at most {most}.{}", last.unwrap_or_default())
}

/// The limit, while its weigh-in is not past.
fn ahead(view: &MassView) -> Option<&MassLimit> {
    view.limit.as_ref().filter(|_| view.weigh_in != Some(WeighIn::Passed))
}

fn in_percent(chance: f64) -> String {
    match chance {
        low if low < 0.01 => "under 1 %".to_owned(),
        high if high > 0.99 => "over 99 %".to_owned(),
        other => format!("{:.0} %", other * 100.0),
    }
}

/// The picture of the line: weighings, trend with its interval, the limit as a level.
pub fn slope(view: &MassView, today: Date) -> Option<Slope> {
    let trend = view.trend.as_ref().ok()?;
    let end = ahead(view).map_or(today, |limit| limit.weigh_in);
    let day = |date: Date| f64::from((date - end).get_days());
    let (from, _) = trend.days();
    let span = (end - from).get_days().max(1);
    let steps = 24.min(span);
    let line = (0..=steps)
        .map(|step| {
            let date = from.saturating_add(i64::from(step * span / steps).days());
            let at = trend.on(date).map(Mass::in_kilograms);
            CurvePoint::new(day(date), at.value, at.interval.low, at.interval.high)
        })
        .collect();
    let shown = |one: &&Weighing| (today - one.date).get_days() <= 7 * WEEKS_SHOWN as i32;
    Some(Slope {
        title: "Body mass".to_owned(),
        description: sentence(view),
        across: Axis::dates(end),
        up: Axis::new("body mass", "kg", Decimals::UpTo(1)).spanning(LEAST_SPAN_KG),
        points: view
            .weighings
            .iter()
            .filter(shown)
            .map(|one| Point::new(day(one.date), one.mass.in_kilograms()))
            .collect(),
        line,
        level: cornerwork_core::estimate::Level::USUAL,
        target: ahead(view).map(|limit| Target {
            at: limit.limit.in_kilograms(),
            name: "limit".to_owned(),
            load: None,
        }),
        last: None,
        behind: None,
    })
}

/// Body mass and jump height on one time axis, up to today, with the check-weights passed.
pub fn joint(house: &House, gym: &Gym, athlete: &Athlete, view: &MassView) -> Option<Trace> {
    let today = house.clock().today();
    let end = ahead(view).map_or(today, |limit| limit.weigh_in);
    let day = |date: Date| f64::from((date - end).get_days());
    let since = today.saturating_sub((7 * WEEKS_SHOWN).days());
    let masses: Vec<CurvePoint> = view
        .weighings
        .iter()
        .filter(|one| one.date >= since)
        .map(|one| CurvePoint::bare(day(one.date), one.mass.in_kilograms()))
        .collect();
    let jumps: Vec<CurvePoint> = progress::daily_means_cm(house, gym, &athlete.id)
        .into_iter()
        .filter(|(date, _)| *date >= since && is_comparable(view, *date))
        .map(|(date, mean)| CurvePoint::bare(day(date), mean))
        .collect();
    if masses.len() < 2 || jumps.len() < 2 {
        return None;
    }
    let limit = ahead(view)
        .into_iter()
        .map(|limit| Mark { at: limit.limit.in_kilograms(), name: "limit".to_owned() });
    let mass = Signal {
        axis: Axis::new("body mass", "kg", Decimals::UpTo(1)).spanning(LEAST_SPAN_KG),
        lines: Vec::new(),
        mean: masses,
        mean_name: String::new(),
        levels: limit.collect(),
    };
    let jump = Signal {
        axis: Axis::new("unloaded jump", "cm", Decimals::UpTo(1)).spanning(LEAST_SPAN_CM),
        lines: Vec::new(),
        mean: jumps,
        mean_name: String::new(),
        levels: Vec::new(),
    };
    let events: Vec<Event> = view
        .checks
        .iter()
        .filter(|check| (since..=today).contains(&check.date))
        .map(|check| Event {
            at: day(check.date),
            name: format!("{:.2} kg", check.most.in_kilograms()),
        })
        .collect();
    Some(Trace {
        title: "Body mass and jump".to_owned(),
        description:
            "Body mass above, the mean of each day's unloaded jumps below, on the same days."
                .to_owned(),
        time: Axis::dates(end),
        signals: vec![mass, jump],
        phases: Vec::new(),
        events,
    })
}

/// Whether a test on a day may be compared with others: not around the weigh-in.
pub fn is_comparable(view: &MassView, date: Date) -> bool {
    let near = |limit: &MassLimit| (date - limit.weigh_in).get_days().abs() <= DAYS_NOT_COMPARABLE;
    !view.limit.as_ref().is_some_and(near)
}

/// A limit as typed, in kilograms or pounds, held against the athlete's own mass: a limit of 130
/// for a boxer of 64 kg asks whether pounds were meant.
///
/// # Errors
/// The question or the refusal for whoever typed it.
pub fn read_limit(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    typed: &str,
    chosen: Option<f64>,
) -> Result<Mass, Answer> {
    let measure = house
        .exercises
        .measure(MeasureKind::ContractWeight)
        .ok_or_else(|| Answer::Refused("The library does not say how a limit is typed.".into()))?;
    let own = gym.body_mass(athlete).map(|(_, mass)| mass.in_kilograms());
    // A limit lies near the athlete's mass: within a tenth of it, one standard deviation.
    let prediction = own.map(|mean_si| Prediction { mean_si, sd_si: mean_si * 0.1 });
    let expected = Expected { prediction, ..Expected::default() };
    // A contract in pounds is written down as kilograms easily: "kg" settles nothing here.
    let typed = typed.trim().trim_end_matches("kg");
    let about = About { whose: format!("{}, limit", gym.given_name(athlete)), ..About::default() };
    act::read_expecting(typed, measure, chosen, &expected, &about).map(Mass::kilograms)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn view(weigh_in: Date) -> MassView {
        MassView {
            weighings: Vec::new(),
            trend: Err("No trend.".to_owned()),
            limit: Some(MassLimit {
                limit: Mass::kilograms(72.57),
                weigh_in,
                bout: weigh_in,
                check_body: None,
            }),
            checks: Vec::new(),
            check_source: None,
            weigh_in: None,
            way: None,
            is_minor: false,
        }
    }

    #[test]
    fn a_jump_around_the_weigh_in_is_not_compared() {
        let view = view(date(2026, 11, 20));
        let comparable = |day| is_comparable(&view, date(2026, 11, day));
        assert_eq!([18, 19, 20, 21, 22].map(comparable), [true, false, false, false, true]);
    }

    #[test]
    fn a_weigh_in_that_is_today_or_past_is_not_to_come() {
        let past = MassView { weigh_in: Some(WeighIn::Passed), ..view(date(2026, 11, 20)) };
        let words = "The weigh-in of 20 November 2026 has passed (limit 72.57 kg (160 lb)). \
                     No limit lies ahead.";
        assert_eq!(sentence(&past), words);
        assert_eq!(ahead(&past), None);
        let today = MassView { weigh_in: Some(WeighIn::Today), ..past };
        assert_eq!(sentence(&today), "Weigh-in today: at most 72.57 kg (160 lb).");
        assert_eq!(in_a_word(&today), "weigh-in today");
    }

    // 1 lb is 0.453 592 37 kg exactly (international yard and pound agreement, 1959).
    #[test]
    fn both_units_are_said() {
        assert_eq!(in_both(Mass::kilograms(72.574_779_2)), "72.57 kg (160 lb)");
        assert_eq!(in_both(Mass::kilograms(74.75)), "74.75 kg (164.8 lb)");
    }
}
