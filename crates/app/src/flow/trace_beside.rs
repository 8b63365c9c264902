//! Which recordings can be laid over one, and which are unless the coach picks others.

use crate::flow::house::House;
use crate::flow::trials::Asked;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::trial::Kind;
use cornerwork_core::units::Mass;
use cornerwork_core::words;

/// Offered of the same athlete, and of all others together, newest first.
const OFFERED: usize = 24;
/// Laid over one at once, at most: more lines hide each other.
pub const LAID_OVER: usize = 7;

/// A recording that can be laid over another.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Which.
    pub id: OperationId,
    /// What its line is called: "trial 2", "14 Sep, 40 kg, trial 1".
    pub name: String,
    /// Whether it is of the same set: laid over unless others are picked.
    pub of_set: bool,
    /// Whether it is of the same athlete.
    pub of_athlete: bool,
    /// What is asked of it.
    pub asked: Asked,
}

/// Those of the same kind that count and show a trial: the set, then the athlete's other days, then everybody
/// else's, newest first.
pub fn candidates(house: &House, gym: &Gym, trace: &FiledRecording) -> Vec<Candidate> {
    let (clock, trials) = (house.clock(), &house.profiles.trials);
    let fits = |other: &&FiledRecording| {
        let (one, two) = (&trace.filing, &other.filing);
        // A press lies over no squat: the kind of trial alone says too little of a bar.
        let alike = one.kind == two.kind && (one.kind != Kind::Bar || one.exercise == two.exercise);
        let shows = || trials.known(gym, clock, other).is_none_or(|found| found.is_ok());
        other.id != trace.id && alike && other.counts() && shows()
    };
    let of_athlete = |other: &FiledRecording| other.filing.athlete == trace.filing.athlete;
    let all = gym.traces.all().filter(fits);
    let (mut own, mut others): (Vec<_>, Vec<_>) = all.partition(|other| of_athlete(other));
    let day = |other: &&FiledRecording| std::cmp::Reverse(other.filing.day);
    own.sort_by_key(|other| (!trace.same_set(other), day(other), other.id));
    others.sort_by_key(|other| (day(other), other.id));
    let chosen = own.into_iter().take(OFFERED).chain(others.into_iter().take(OFFERED));
    chosen
        .filter_map(|other| {
            Some(Candidate {
                id: other.id,
                name: name(gym, trace, other),
                of_set: trace.same_set(other),
                of_athlete: of_athlete(other),
                asked: Asked::of(gym, clock, other)?,
            })
        })
        .collect()
}

fn name(gym: &Gym, trace: &FiledRecording, other: &FiledRecording) -> String {
    let filing = &other.filing;
    let set = gym.traces.set_of(other);
    let place = set.iter().position(|one| one.id == other.id).map_or(1, |place| place + 1);
    if trace.same_set(other) {
        return format!("trial {place}");
    }
    let whose = match filing.athlete == trace.filing.athlete {
        true => None,
        false => gym.athlete(&filing.athlete).map(|athlete| athlete.name.clone()),
    };
    let load = filing.load;
    let day = if filing.day.year() == trace.filing.day.year() {
        words::short_day(filing.day)
    } else {
        words::short_day_and_year(filing.day)
    };
    let parts = [
        whose,
        Some(day),
        (load > Mass::ZERO).then(|| format!("{:.1} kg", load.in_kilograms())),
        filing.box_height.map(|height| format!("box {:.0} cm", height.in_centimetres())),
        (set.len() > 1).then(|| format!("trial {place}")),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
