//! First evenings of invented athletes in empty gyms: whoever has nothing on record works up with
//! the loaded jump, and every change passes the same judgement as in a real gym.
//!
//! What hangs is what the load test asks for within the ramp. Now and then the coach takes another
//! load from the rack instead, or types a height that is not the one that was jumped.

use crate::jumping_athlete::{JumpingAthlete, Truth};
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::safety_change::SafetyChange;
use cornerwork_core::exercise::{
    Direction, Dose, Exercise, ExerciseId, Family, LoadModel, Measure, MeasureKind, Permissions,
    Sides, Span, Unit,
};
use cornerwork_core::kit::{Bar, BarKind, Loadable, Plate, PlateRack, PlateStack, loadable};
use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, next_load};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumPriors, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::evening::{EveningPlan, Station};
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_core::session::rep::{Load, Method, RepEntry};
use cornerwork_core::units::{Duration, Length, Mass};
use jiff::civil::{Date, date};
use jiff::{SignedDuration, Timestamp};
use rand::seq::IndexedRandom;
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Who has the first evening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// An adult who trains with weights.
    TrainedAdult,
    /// An adult new to it.
    Novice,
    /// Sixteen years old.
    Junior,
}

impl Group {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::TrainedAdult, Self::Novice, Self::Junior];

    /// For a table.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TrainedAdult => "trained adults",
            Self::Novice => "novices",
            Self::Junior => "juniors",
        }
    }
}

/// How one evening went.
#[derive(Clone, Debug)]
pub struct FirstEvening {
    /// Who.
    pub group: Group,
    /// Body mass.
    pub body_mass: Mass,
    /// Whether it was on record.
    pub weighed: bool,
    /// Steps advised from one load to a heavier one, the bare bar to begin with left out.
    pub steps_advised: Vec<Mass>,
    /// Steps that were hung, whoever asked for them.
    pub steps_hung: Vec<Mass>,
    /// Loads that were advised and refused.
    pub offers_refused: usize,
    /// Other loads the coach took, and those of them that were refused.
    pub other_loads: (usize, usize),
    /// Jumps made with a load.
    pub loaded_jumps: usize,
}

/// Jumps of an evening at most.
const MOST_JUMPS: usize = 14;
/// How often the coach takes another load than the one advised.
const OTHER_LOAD: f64 = 0.15;
/// How often a height is typed that was not jumped.
const WRONG_HEIGHT: f64 = 0.05;
/// Share of athletes nobody weighed, for whom the jumps are reckoned with a guess.
const NOT_WEIGHED: f64 = 0.10;
const TODAY: Date = date(2026, 10, 6);
const EVENING: i64 = 1_791_300_000;

/// The first evening of an athlete by number; the same for the same seed.
pub fn first_evening(seed: u64, number: u64) -> FirstEvening {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    random.set_stream(number);
    let group = Group::ALL[usize::try_from(number % 3).unwrap_or(0)];
    let body_mass = Mass::kilograms(random.random_range(48.0..120.0));
    let truth = Truth::ALL[random.random_range(0..Truth::ALL.len())];
    let jumper = JumpingAthlete::draw(truth, &mut random).with_body_mass(body_mass);
    let weighed = random.random::<f64>() >= NOT_WEIGHED;
    let mut evening = Evening::begin(group, weighed.then_some(body_mass), &mut random);
    let mut told = FirstEvening {
        group,
        body_mass,
        weighed,
        steps_advised: Vec::new(),
        steps_hung: Vec::new(),
        offers_refused: 0,
        other_loads: (0, 0),
        loaded_jumps: 0,
    };
    for _ in 0..MOST_JUMPS {
        let Some(advised) = evening.advised() else { break };
        let before = evening.heaviest();
        if let Some(before) = before.filter(|before| advised > *before) {
            told.steps_advised.push(advised - before);
        }
        if evening.hang(advised).is_err() {
            told.offers_refused += 1;
            break;
        }
        let mut hung = advised;
        if random.random::<f64>() < OTHER_LOAD
            && let Some(other) = evening.loads.choose(&mut random).map(Loadable::total)
        {
            told.other_loads.0 += 1;
            match evening.hang(other) {
                Ok(()) => hung = other,
                Err(_) => told.other_loads.1 += 1,
            }
        }
        if let Some(before) = before.filter(|before| hung > *before) {
            told.steps_hung.push(hung - before);
        }
        told.loaded_jumps += usize::from(hung > Mass::ZERO);
        evening.jump(&jumper, hung, &mut random);
    }
    told
}

/// A gym with one bar rack, one athlete and the evening that runs.
struct Evening {
    ledger: Ledger,
    library: Vec<Exercise>,
    athlete: AthleteId,
    bars: Vec<Bar>,
    loads: Vec<Loadable>,
    jumps: Vec<LoadedJump>,
    body_mass: Mass,
    minute: i64,
}

impl Evening {
    fn begin(group: Group, weighed: Option<Mass>, random: &mut impl Rng) -> Self {
        let (bars, rack) = kit(random);
        let loads = bars.iter().flat_map(|bar| loadable(bar, &rack)).collect();
        let athlete = athlete(group);
        let mut evening = Self {
            ledger: Ledger::default(),
            library: vec![loaded_jump()],
            athlete: athlete.id.clone(),
            bars: bars.clone(),
            loads,
            jumps: Vec::new(),
            body_mass: weighed.unwrap_or(Mass::kilograms(75.0)),
            minute: 0,
        };
        let at = evening.now();
        let id = athlete.id.clone();
        let weighing =
            weighed.map(|mass| Change::BodyMassMeasured { athlete: id.clone(), mass, at });
        let consent = (group == Group::Junior).then(|| {
            Change::Safety(SafetyChange::Consented(Consent {
                athlete: id.clone(),
                to: ConsentTo::Training,
                given: true,
                giver: Giver::Guardian,
                name: "guardian".to_owned(),
                shared_with: Vec::new(),
                on: TODAY,
            }))
        });
        let opened = Change::EveningOpened(EveningPlan {
            date: TODAY,
            stations: vec![Station {
                number: 1,
                exercise: evening.library[0].id.clone(),
                bars: bars.iter().map(|bar| bar.id.clone()).collect(),
                sets: 12,
                reps: 1,
                rest: Duration::seconds(60.0),
            }],
            groups: vec![vec![id.clone()]],
            session: None,
            rounds: Vec::new(),
        });
        let set_up = [Change::AthleteEntered(athlete), Change::PlatesCounted(rack)]
            .into_iter()
            .chain(bars.into_iter().map(Change::BarWeighed))
            .chain(weighing)
            .chain(consent)
            .chain([opened]);
        for change in set_up {
            let fits = evening.submit(change);
            debug_assert!(fits.is_ok(), "{fits:?}");
        }
        evening
    }

    fn now(&self) -> Timestamp {
        Timestamp::UNIX_EPOCH
            + SignedDuration::from_secs(EVENING)
            + SignedDuration::from_mins(self.minute)
    }

    fn submit(&mut self, change: Change) -> Result<(), Refusal> {
        self.minute += 1;
        let id = OperationId(u128::from(self.minute.unsigned_abs()));
        let operation = Operation { id, at: self.now(), author: "coach".into(), change };
        self.ledger.check(&operation, TODAY, self.library.as_slice())?;
        self.ledger.append(operation);
        Ok(())
    }

    /// The heaviest load done by what is on record; `None` before the first.
    fn heaviest(&self) -> Option<Mass> {
        self.ledger.gym().ramp(&self.athlete, &self.library[0], self.now()).heaviest_done
    }

    /// The load of the next jump; `None` once the test is over and its load has been jumped with.
    fn advised(&self) -> Option<Mass> {
        let settings = LoadMomentumSettings {
            priors: LoadMomentumPriors::HEX_BAR,
            ..LoadMomentumSettings::default()
        };
        let profile = LoadMomentumProfile::fit(self.body_mass, &self.jumps, &settings).ok();
        let profile = profile.map(|noted| noted.value);
        let ramp = self.ledger.gym().ramp(&self.athlete, &self.library[0], self.now());
        let masses: Vec<Mass> = self.loads.iter().map(Loadable::total).collect();
        let rules = NextLoadRules::SESSION;
        match next_load(profile.as_ref(), &masses, ramp.heaviest_next(), &rules) {
            NextLoad::Test(test) => Some(test.load),
            NextLoad::Stop(end) => end.use_load,
        }
    }

    fn load(&self, total: Mass) -> Load {
        let of_bar = |bar: &&Bar| loadable(bar, &self.ledger.gym().plates);
        let found = self.bars.iter().find_map(|bar| {
            let loads = of_bar(&bar);
            let one = loads.iter().find(|load| load.total() == total)?;
            Some(Load::hung(bar, one))
        });
        found.unwrap_or_else(Load::none)
    }

    fn hang(&mut self, total: Mass) -> Result<(), Refusal> {
        let load = self.load(total);
        self.submit(Change::LoadHung { station: 1, athlete: self.athlete.clone(), load })
    }

    fn jump(&mut self, jumper: &JumpingAthlete, load: Mass, random: &mut impl Rng) {
        let Some(jump) = jumper.jump(load, random) else { return };
        let mut height = jump.height(cornerwork_core::units::STANDARD_GRAVITY);
        if random.random::<f64>() < WRONG_HEIGHT {
            height = Length::metres(random.random_range(0.05..0.80));
        }
        self.jumps.push(LoadedJump::of_height(load, height, HeightMethod::FlightTime));
        let entry = RepEntry {
            athlete: self.athlete.clone(),
            exercise: self.library[0].id.clone(),
            station: Some(1),
            load: self.load(load),
            box_height: None,
            side: None,
            value: Some(height.in_metres()),
            contact_time: None,
            method: Method::FlightTime,
            at: self.now(),
        };
        let fits = self.submit(Change::RepRecorded(entry));
        debug_assert!(fits.is_ok(), "{fits:?}");
    }
}

/// One or two bars, and of each plate none to three pairs: odd kits are part of it.
fn kit(random: &mut impl Rng) -> (Vec<Bar>, PlateRack) {
    let masses = [7.5, 10.0, 15.0, 20.0, 25.0, 30.0];
    let count = random.random_range(1..=2);
    let bars = (0..count).filter_map(|number| {
        let mass = Mass::kilograms(masses[random.random_range(0..masses.len())]);
        Bar::weighed(format!("hex-{number}"), format!("hex {number}"), mass, BarKind::Hex).ok()
    });
    let bars: Vec<Bar> = bars.collect();
    let stacks = [25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 1.25].into_iter().filter_map(|kilograms| {
        let plate = Plate::kilograms(kilograms).ok()?;
        Some(PlateStack { plate, count: 2 * random.random_range(0..=3) })
    });
    let rack = PlateRack::of(stacks.collect::<Vec<_>>());
    (bars, rack)
}

fn athlete(group: Group) -> Athlete {
    let (years, level) = match group {
        Group::TrainedAdult => (24, "amateur elite"),
        Group::Novice => (24, "novice"),
        Group::Junior => (16, "amateur"),
    };
    Athlete {
        id: AthleteId::new("A01").unwrap_or_else(|| unreachable!("a code")),
        name: "Invented".to_owned(),
        sex: Sex::Female,
        born: Born::Aged { years, on: TODAY },
        stance: Stance::Orthodox,
        level: level.to_owned(),
    }
}

/// The loaded jump as far as loads are concerned.
fn loaded_jump() -> Exercise {
    let span = |low: f64, high: f64| Span { low, high };
    Exercise {
        id: ExerciseId::new("trap-bar-jump").unwrap_or_else(|| unreachable!("a name")),
        name: "Loaded jump".to_owned(),
        also_called: Vec::new(),
        family: Family::Jumps,
        patterns: Vec::new(),
        qualities: Vec::new(),
        test: true,
        sides: Sides::None,
        measure: Measure {
            kind: MeasureKind::JumpHeight,
            direction: Direction::HigherIsBetter,
            unit: Unit::Centimetre,
            decimals: 1,
            hard_si: span(0.03, 1.0),
            usual_si: span(0.15, 0.60),
        },
        also_measured: Vec::new(),
        load_model: LoadModel::SystemMass,
        targets: Vec::new(),
        dose: Dose {
            sets: Span { low: 3, high: 5 },
            repetitions: Span { low: 1, high: 3 },
            hold: None,
            distance: None,
            rest: Span { low: Duration::seconds(60.0), high: Duration::seconds(180.0) },
            intensity: None,
        },
        stop: None,
        cues: Vec::new(),
        faults: Vec::new(),
        cautions: Vec::new(),
        kit: Vec::new(),
        permissions: Permissions::default(),
        swaps: Vec::new(),
        facts: Vec::new(),
        source: "common practice, no source".to_owned(),
    }
}
