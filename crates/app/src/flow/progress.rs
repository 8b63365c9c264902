//! Is the athlete better, and is today a usual day? From the unloaded jumps on record.

use crate::flow::house::House;
use crate::flow::jump_days::{self, Day};
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::estimate::{Interval, Level, USUAL_REACH};
use cornerwork_core::note::Noted;
use cornerwork_core::profile::baseline::{self, Today};
use cornerwork_core::profile::change::{self, Change, ChangeError, Prior, Question, TestNoise};
use cornerwork_core::profile::test_day::TestDay;
use cornerwork_core::report::figure::{Axis, Band, Decimals, Now, Odds, Share, Strip};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Method;
use cornerwork_core::stats::mean::mean;
use cornerwork_core::words;
use jiff::ToSpan;
use jiff::civil::Date;

/// The smallest change of a jump that matters, in cm; the coach's own word would replace it
/// (common practice, no source).
pub const SMALLEST_WORTHWHILE_CM: f64 = 1.0;
/// A block of this many days: what lies before it is what the athlete was like.
const BLOCK_DAYS: i32 = 42;
/// Usual days are those of the last weeks.
const USUAL_DAYS: i32 = 28;
/// Doubt about the mat's offset, in cm (ours: a comparison of a score of jumps leaves about this).
const OFFSET_DOUBT_CM: f64 = 0.3;

/// How days measured another way are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Methods {
    /// Never compared.
    KeptApart,
    /// What was measured by take-off velocity is read as the mat would have, by its known offset.
    Aligned,
}

/// Whether the athlete's jump changed over the block.
///
/// # Errors
/// [`ChangeError`], whose sentence says why nobody can say.
pub fn change(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    squad: &SquadJumps,
    methods: Methods,
) -> Result<Noted<Change>, ChangeError> {
    let days = jump_days::of(house, gym, athlete);
    let Some(last) = days.last() else { return Err(ChangeError::TooFewDays { found: 0 }) };
    let first = days.first().map_or(last.date, |day| day.date);
    let number = |date: Date| f64::from((date - first).get_days());
    let begun = number(last.date) - f64::from(BLOCK_DAYS);
    let tests: Vec<TestDay> = days
        .iter()
        .map(|day| {
            let test = TestDay {
                not_comparable_because: jump_days::unlike_others(house, gym, athlete, day.date),
                ..day.test(number(day.date))
            };
            match methods {
                Methods::KeptApart => test,
                Methods::Aligned => aligned(gym, day, test),
            }
        })
        .collect();
    let noise = squad.noise(gym, athlete, last.method);
    let typical_cm = noise.share() * last.mean_cm();
    let question = Question {
        measure: "jump height",
        unit: "cm",
        since_day: begun.max(0.0),
        smallest_worthwhile: SMALLEST_WORTHWHILE_CM,
        noise: TestNoise::of_day_mean(typical_cm, noise.sentence)
            .known_on(noise.degrees_of_freedom),
        prior: Prior::Flat,
        level_prior: squad.level_of_others(gym, athlete, last.method),
        level: Level::USUAL,
    };
    change::of(&tests, &question)
}

/// The day as the mat would have read it.
fn aligned(gym: &Gym, day: &Day, test: TestDay) -> TestDay {
    if day.method != Method::TakeOffVelocity {
        return test;
    }
    let offset_cm = gym.mat_reads_high_by.in_centimetres();
    test.converted(jump_days::METHOD, Method::FlightTime.words(), offset_cm, OFFSET_DOUBT_CM)
}

/// The mean of each day's unloaded jumps in cm, by the method of the latest day.
pub fn daily_means_cm(house: &House, gym: &Gym, athlete: &AthleteId) -> Vec<(Date, f64)> {
    let days = jump_days::of(house, gym, athlete);
    let Some(method) = days.last().map(|day| day.method) else { return Vec::new() };
    let alike = days.iter().filter(|day| day.method == method);
    alike.map(|day| (day.date, day.mean_cm())).collect()
}

/// The picture of a change.
pub fn odds(change: &Change) -> Odds {
    let share = |name: &str, probability| Share { name: name.to_owned(), probability };
    Odds {
        title: "Change of jump height".to_owned(),
        description: change.sentence.clone(),
        axis: Axis::new("change of jump height", "cm", Decimals::UpTo(1)),
        change: change.change,
        trivial: Interval { low: -SMALLEST_WORTHWHILE_CM, high: SMALLEST_WORTHWHILE_CM },
        below: share("lower", change.odds.fall),
        within: share("no real change", change.odds.no_matter),
        above: share("higher", change.odds.rise),
        word: change.verdict.to_string(),
    }
}

/// Today's jumps against the athlete's usual days.
#[derive(Debug)]
pub struct UsualDay {
    /// Where today lies.
    pub today: Noted<Today>,
    /// The earlier days, in cm.
    pub earlier_cm: Vec<f64>,
    /// The day that is judged.
    pub date: Date,
}

/// The latest day's jumps against those of the weeks before, by the same method.
///
/// # Errors
/// A sentence when there is no jump or too little before it.
pub fn usual_day(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    squad: &SquadJumps,
) -> Result<UsualDay, String> {
    let days = jump_days::of(house, gym, athlete);
    let (last, before) = days.split_last().ok_or("No unloaded jump on record yet.")?;
    let earlier_cm: Vec<f64> = before
        .iter()
        .filter(|day| day.method == last.method && (last.date - day.date).get_days() <= USUAL_DAYS)
        .map(Day::mean_cm)
        .collect();
    let noise = squad.noise(gym, athlete, last.method);
    let known = (noise.share() * last.mean_cm(), noise.degrees_of_freedom);
    let today = baseline::today(&earlier_cm, last.mean_cm(), Some(known), "cm");
    let today = today.map_err(|error| error.to_string())?;
    Ok(UsualDay { today, earlier_cm, date: last.date })
}

/// The picture of a day among usual days.
pub fn strip(day: &UsualDay) -> Strip {
    let today = &day.today.value;
    let readiness = today.readiness;
    Strip {
        title: format!("Jump of {}", words::day(day.date)),
        description: today.sentence.clone(),
        axis: Axis::new("mean of the jumps", "cm", Decimals::UpTo(1)),
        bands: vec![Band { over: today.band, name: "usual".to_owned() }],
        earlier: day.earlier_cm.clone(),
        earlier_name: "earlier days".to_owned(),
        now: Some(Now {
            at: today.value,
            interval: None,
            word: readiness.word().to_owned(),
            asks_for_act: readiness.asks_for_a_decision(),
        }),
        marks: Vec::new(),
    }
}

/// The lesson for the boxer: how far jumps stray when nothing changed, and where today lies.
#[derive(Debug)]
pub struct Lesson {
    /// The picture.
    pub figure: Strip,
    /// One plain sentence.
    pub sentence: String,
}

/// Noise beside change in one picture: the days before the block, how far a day strays by itself,
/// and the last day.
pub fn lesson(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    squad: &SquadJumps,
    change: &Change,
) -> Option<Lesson> {
    let days = jump_days::of(house, gym, athlete);
    let last = days.last()?;
    let begun = last.date.saturating_sub(BLOCK_DAYS.days());
    let first = days.first()?.date.max(begun);
    let before: Vec<f64> = days
        .iter()
        .filter(|day| day.date <= first && day.method == last.method)
        .map(Day::mean_cm)
        .collect();
    let count = f64::from(u32::try_from(before.len()).ok().filter(|count| *count > 0)?);
    let usual = mean(&before);
    let spread = squad.noise(gym, athlete, last.method).share() * usual;
    let reach = USUAL_REACH * spread * (1.0 + 1.0 / count).sqrt();
    let band = Interval { low: usual - reach, high: usual + reach };
    let today = last.mean_cm();
    let difference = today - usual;
    let seen = if band.contains(today) {
        "that can happen with nothing changed"
    } else {
        "that is more than chance usually does"
    };
    let sentence = format!(
        "Your jump moves about {spread:.1} cm from day to day even when nothing has changed. Your \
         last day was {:.1} cm {} your days before the block: {seen}. All your days together: {}.",
        difference.abs(),
        if difference < 0.0 { "below" } else { "above" },
        in_words(change)
    );
    let figure = Strip {
        title: "Noise and change".to_owned(),
        description: sentence.clone(),
        axis: Axis::new("mean of the jumps", "cm", Decimals::UpTo(1)),
        bands: vec![Band { over: band, name: "the same jumper, nothing changed".to_owned() }],
        earlier: before,
        earlier_name: "days before the block".to_owned(),
        now: Some(Now {
            at: today,
            interval: None,
            word: "last day".to_owned(),
            asks_for_act: false,
        }),
        marks: Vec::new(),
    };
    Some(Lesson { figure, sentence })
}

/// The likelier direction in odds a boxer counts with: "3 in 10 chance you jump higher now".
fn in_words(change: &Change) -> String {
    let odds = change.odds;
    let (probability, way) =
        if odds.rise >= odds.fall { (odds.rise, "higher") } else { (odds.fall, "lower") };
    match (probability * 10.0).round() {
        0.0 => format!("hardly a chance you jump {way} now"),
        10.0 => format!("you almost surely jump {way} now"),
        some => format!("{some:.0} in 10 chance you jump {way} now"),
    }
}
