//! Sessions, rotation and the exercise library over HTTP, in a small gym of invented people.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

#[path = "program/first_evening.rs"]
mod first_evening;
#[path = "program/from_paper.rs"]
mod from_paper;
#[path = "program/ramp.rs"]
mod ramp;
mod support;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{ACCEPT, CONTENT_TYPE, HOST};
use axum::http::{Request, StatusCode};
use cornerwork::flow::clock::Clock;
use cornerwork::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use jiff::tz::TimeZone;
use serde_json::Value;
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

struct Gym {
    router: Router,
    house: Arc<House>,
    _folder: TempDir,
}

impl Gym {
    /// Four athletes, one of them fifteen; a hex bar, two landmines, plates and boxes.
    async fn new() -> Self {
        Self::with(Clock::machine(TimeZone::UTC)).await
    }

    async fn with(clock: Clock) -> Self {
        let gym = Self::empty_with(clock).await;
        gym.athletes().await;
        for (name, kind, mass) in
            [("hex", "hex", "20"), ("long", "landmine", "20"), ("short", "landmine", "15")]
        {
            let form = format!("what=bar&name={name}&kind={kind}&text={mass}&weighed=yes");
            gym.kept("/kit", &form).await;
        }
        gym.kept("/kit", "what=plates&text=20x2,10x3,5x3,2.5x3,1.25x2").await;
        gym.kept("/kit", "what=boxes&text=20,30,40,50").await;
        gym
    }

    /// Nobody and nothing.
    async fn empty() -> Self {
        Self::empty_with(Clock::machine(TimeZone::UTC)).await
    }

    async fn empty_with(clock: Clock) -> Self {
        let folder = TempDir::new().unwrap();
        let house = support::house(folder.path(), clock).await;
        let router = support::pages(Arc::clone(&house));
        Self { router, house, _folder: folder }
    }

    async fn athletes(&self) {
        for (code, name, age) in [
            ("K01", "Ottilie Marrowby", 23),
            ("K02", "Perrin Askelow", 27),
            ("K03", "Juna Tarnbeck", 15),
            ("K04", "Brannoc Silverleigh", 31),
        ] {
            let form =
                format!("code={code}&name={name}&age={age}&sex=female&stance=orthodox&level=elite");
            self.kept("/athlete", &form).await;
        }
    }

    async fn send(&self, request: Request<Body>) -> (StatusCode, String) {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let bytes = to_bytes(response.into_body(), usize::MAX).await.unwrap();
        (status, String::from_utf8_lossy(&bytes).into_owned())
    }

    async fn page(&self, path: &str) -> String {
        let (status, text) = self.send(Request::get(path).body(Body::empty()).unwrap()).await;
        assert_eq!(status, StatusCode::OK, "{path}");
        text
    }

    async fn post(&self, path: &str, form: &str) -> Value {
        let request = Request::post(path)
            .header(HOST, "gym.local:8080")
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(ACCEPT, "application/json")
            .body(Body::from(form.replace(' ', "+")))
            .unwrap();
        let (_, text) = self.send(request).await;
        serde_json::from_str(&text).unwrap_or_else(|_| panic!("{path} {form}: {text}"))
    }

    async fn kept(&self, path: &str, form: &str) -> Value {
        let answer = self.post(path, form).await;
        assert_eq!(answer["kept"], true, "{path} {form}: {answer}");
        answer
    }

    async fn refused(&self, path: &str, form: &str) -> String {
        let before = self.operations().await;
        let answer = self.post(path, form).await;
        assert_eq!(answer["kept"], false, "{path} {form}");
        assert_eq!(self.operations().await, before, "a refusal changes nothing");
        answer["refused"].as_str().unwrap().to_owned()
    }

    async fn operations(&self) -> usize {
        self.house.keeper.ledger().operations().len()
    }

    /// A session for today from a template, with all in who may train; its path.
    async fn session(&self, template: &str) -> String {
        let today = self.house.clock().today();
        let answer = self.kept("/sessions", &format!("template={template}&day={today}")).await;
        answer["go"].as_str().unwrap().to_owned()
    }
}

/// The text of a page without its marks, spaces made single.
fn words(page: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for letter in page.chars() {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            _ if !inside => text.push(letter),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[tokio::test]
async fn a_session_says_what_is_known_and_what_to_do_where_it_is_not() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let page = words(&gym.page(&path).await);
    assert!(page.contains("No number yet"), "{page}");
    assert!(page.contains("start with 20.0 kg, hex: bar alone"), "{page}");
    // 5 loaded jumps of a known athlete: a load with its doubt takes the place of the start.
    gym.kept("/athlete/K01/mass", "text=61").await;
    for (load, height) in
        [("none", "32"), ("hex:20000", "24"), ("hex:40000", "17"), ("hex:60000", "11")]
    {
        gym.kept("/athlete/K01/jump", &format!("load={load}&text={height}")).await;
    }
    let page = words(&gym.page(&path).await);
    assert!(page.contains("are as good") || page.contains("tells most"), "{page}");
}

#[tokio::test]
async fn loads_are_rounded_to_bars_and_plates_that_are_here() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(
        &path,
        "what=station&exercise=back-squat&sets=3&reps=5&rest=3:00&rule=fixed&amount=61",
    )
    .await;
    // There is no straight bar here.
    assert!(
        words(&gym.page(&path).await).contains("no straight bar here: tick one on the Kit page")
    );
    gym.kept("/kit", "what=bar&name=straight&kind=straight&text=20&weighed=yes").await;
    // Nobody has squatted here yet: the bare bar, and where it leads.
    let page = words(&gym.page(&path).await);
    assert!(page.contains("20.0 kg, straight: bar alone"), "{page}");
    assert!(page.contains("20 kg next, on the way to about 61 kg."), "{page}");
    // 61 kg: 20 + 2 x 20 is 60, 20 + 2 x 21.25 is 62.5: the nearest is 60.
    gym.kept("/athlete/K01/mass", "text=92").await;
    for load in ["20000", "40000"] {
        gym.kept("/athlete/K01/jump", &format!("load=hex:{load}&text=20")).await;
    }
    let jump = "what=station&exercise=trap-bar-jump&sets=3&reps=2&rest=3:00&rule=fixed&amount=61";
    gym.kept(&path, jump).await;
    assert!(words(&gym.page(&path).await).contains("60.0 kg, hex: 20 a side"));
}

#[tokio::test]
async fn a_junior_is_stopped_until_the_coach_answers_for_it() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let in_too = "what=people&athlete=K01&athlete=K02&athlete=K03&athlete=K04";
    gym.kept(&path, in_too).await;
    gym.kept(&path, "what=station&exercise=barbell-jump-squat&rule=peak&amount=100").await;
    let says = "Juna is 15: Barbell jump squat under 16 needs the coach's word and a reason.";
    assert!(words(&gym.page(&path).await).contains(says));
    let confirm = "what=except&do=confirm&athlete=K03&station=5&reason=";
    gym.refused(&path, confirm).await;
    gym.kept(&path, &format!("{confirm}light, supervised")).await;
    assert!(!words(&gym.page(&path).await).contains(says));
    // Only for this station and this athlete.
    gym.kept(&path, "what=station&station=6&exercise=bench-throw&rule=fixed&amount=30").await;
    let page = words(&gym.page(&path).await);
    assert!(page.contains("Juna is 15: Bench throw in a guided rack under 18"), "{page}");
    assert!(!page.contains("Perrin is 27"), "{page}");
}

#[tokio::test]
async fn a_restriction_bars_and_offers_what_is_open() {
    use cornerwork::flow::keeper::Submission;
    use cornerwork_core::exercise::ExerciseId;
    use cornerwork_core::session::athlete::AthleteId;
    use cornerwork_core::session::operation::{Change, OperationId};
    use cornerwork_core::session::rep::Side;
    use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let restriction = Restriction {
        id: RestrictionId("hand".into()),
        athlete: AthleteId::new("K02").unwrap(),
        barred: Barred::OneSide {
            exercises: vec![ExerciseId::new("landmine-punch-throw").unwrap()],
            side: Side::Lead,
        },
        from: gym.house.clock().today(),
        earliest_end: None,
        needs_clearance: true,
        ground: "right hand, physio's word".into(),
        instead: None,
    };
    let change = Change::RestrictionSet(restriction);
    let submission = Submission { id: OperationId(7), author: "physio".into(), change };
    gym.house.keeper.submit(submission).await.unwrap();
    let page = gym.page(&path).await;
    assert!(words(&page).contains("Perrin is barred from landmine punch throw with the lead hand"));
    assert!(page.contains("value=\"side:rear\""), "the other hand is offered");
    let swap = "what=except&athlete=K02&station=2&exercise=landmine-punch-throw&do=";
    let sentence = gym.refused(&path, &format!("{swap}side:lead")).await;
    assert!(sentence.contains("barred"), "{sentence}");
    gym.kept(&path, &format!("{swap}side:rear")).await;
    assert!(words(&gym.page(&path).await).contains("rear hand only:"));
    let rotation = words(&gym.page(&format!("{path}/rotation")).await);
    assert!(rotation.contains("Perrin"), "{rotation}");
}

#[tokio::test]
async fn the_evening_opens_with_one_tap_and_follows_the_rotation() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let desk = words(&gym.page("/").await);
    assert!(desk.contains("Open Power with 3 in"), "{desk}");
    gym.kept(&path, "what=open").await;
    let planned = gym.house.keeper.ledger().gym().evening.clone().unwrap();
    assert_eq!(planned.plan.rounds.len(), 4);
    for round in 0..4 {
        for station in 1..=4 {
            let ledger = gym.house.keeper.ledger();
            let evening = ledger.gym().evening.as_ref().unwrap();
            let group = &planned.plan.rounds[round][usize::from(station) - 1];
            assert_eq!(evening.group(station), group.as_slice(), "round {round}");
        }
        gym.kept("/floor/rotate", "").await;
    }
    let refused = gym.refused(&path, "what=no-station&station=4").await;
    assert!(refused.contains("running"), "{refused}");
}

#[tokio::test]
async fn who_leaves_is_gone_from_the_rest_and_what_is_done_stays() {
    use cornerwork_core::session::athlete::AthleteId;
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=people&athlete=K01&athlete=K02").await;
    gym.kept(&path, "what=open").await;
    gym.kept("/floor/rotate", "").await;
    let rounds = |ledger: &cornerwork_core::session::ledger::Ledger| {
        ledger.gym().evening.as_ref().unwrap().plan.rounds.clone()
    };
    let before = rounds(&gym.house.keeper.ledger());
    gym.kept(&path, "what=leaves&athlete=K02&minutes=0").await;
    let after = rounds(&gym.house.keeper.ledger());
    let gone = AthleteId::new("K02").unwrap();
    assert_eq!(after[0], before[0], "the round that is done stays");
    assert!(after[1..].iter().flatten().flatten().all(|id| *id != gone));
    // A minor without the guardian's consent does not; someone else comes after all and visits
    // what is left of the floor.
    let stop = gym.refused(&path, "what=in&athlete=K03").await;
    assert!(stop.contains("guardian's consent"), "{stop}");
    gym.kept(&path, "what=in&athlete=K04").await;
    let late = AthleteId::new("K04").unwrap();
    let joined = rounds(&gym.house.keeper.ledger());
    assert_eq!(joined[..2], after[..2]);
    let visits = joined.iter().filter(|round| round.iter().flatten().any(|id| *id == late)).count();
    assert!(visits >= 1, "{joined:?}");
    let stays = AthleteId::new("K01").unwrap();
    for station in 0..4 {
        let times = joined.iter().filter(|round| round[station].contains(&stays)).count();
        assert_eq!(times, 1, "station {station}");
    }
}

#[tokio::test]
async fn the_rotation_is_a_picture_with_its_words_before_and_during_the_evening() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let day = gym.house.clock().today();
    gym.kept(&path, &format!("what=head&name=Power&day={day}&starts=18:20&minutes=50")).await;
    let before = gym.page(&format!("{path}/rotation")).await;
    // Drawn for a phone, a tablet and a laptop, each with a name and a finding of its own.
    assert_eq!(before.matches("role=\"img\"").count(), 3);
    let ids = ["narrow", "middle", "wide"].map(|size| format!("id=\"turns-{size}-desc\""));
    assert!(ids.iter().all(|id| before.contains(id)));
    let read = words(&before);
    for said in ["round 1, 18:20", "time after 18:20, min", "planned end 19:10", "a set, then rest"]
    {
        assert!(read.contains(said), "{said}: {read}");
    }
    assert!(read.contains("3 athletes in 4 rounds, from 18:20 to "), "{read}");
    gym.kept(&path, "what=open").await;
    gym.kept("/floor/rotate", "").await;
    let during = words(&gym.page(&format!("{path}/rotation")).await);
    assert!(during.contains("round 1, done") && during.contains("round 2, now"), "{during}");
    assert!(during.contains("Round 2 of 4 ends at about"), "{during}");
}

#[tokio::test]
async fn paper_page_and_floor_have_one_rotation_before_during_and_after() {
    use cornerwork::flow::paper::floor_sheet::sheet_rows;
    use cornerwork::flow::program::{resolve, rounds};
    use cornerwork_core::session::athlete::AthleteId;
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let rotation = format!("{path}/rotation");
    let on_paper = || -> Vec<(u8, AthleteId)> {
        let ledger = gym.house.keeper.ledger();
        let plan = ledger.gym().program.sessions().find(|plan| !plan.is_template()).unwrap();
        let rows = sheet_rows(&gym.house, ledger.gym(), plan);
        let mut order: Vec<(u8, AthleteId)> =
            rows.into_iter().map(|row| (row.station, row.athlete)).collect();
        order.dedup();
        order
    };
    let on_the_floor = || -> Vec<(u8, AthleteId)> {
        let ledger = gym.house.keeper.ledger();
        let evening = ledger.gym().evening.as_ref().unwrap();
        let places = evening.plan.stations.iter().enumerate();
        let of = |(place, number): (usize, u8)| {
            let here = evening.plan.rounds.iter().flat_map(move |round| round[place].clone());
            here.map(move |id| (number, id)).collect::<Vec<_>>()
        };
        places.flat_map(|(place, station)| of((place, station.number))).collect()
    };
    let before = on_paper();
    assert!(!words(&gym.page(&rotation).await).contains("rinted"), "never printed, nothing said");
    gym.page(&path.replace("/session/", "/paper/floor/")).await;
    assert!(words(&gym.page(&rotation).await).contains("Printed at "));
    gym.kept(&path, "what=open").await;
    assert_eq!(on_paper(), before);
    assert_eq!(on_the_floor(), before);
    // Loads that change, sets that are closed and rounds that pass move nobody.
    let up = gym.house.keeper.ledger().gym().evening.as_ref().unwrap().up_at(3).cloned().unwrap();
    gym.kept("/floor/3/load", &format!("athlete={up}&load=hex:20000")).await;
    gym.kept("/floor/3/rep", &format!("athlete={up}&text=30.1")).await;
    gym.kept("/floor/3/close", &format!("athlete={up}")).await;
    gym.kept("/floor/rotate", "").await;
    assert_eq!(on_paper(), before);
    assert!(words(&gym.page(&rotation).await).contains("Printed at "));
    gym.kept("/close", "what=end&chosen=1").await;
    assert_eq!(on_paper(), before);
    let over = words(&gym.page(&rotation).await);
    assert!(over.contains("The evening ended in round 2 of 4."), "{over}");
    assert!(over.contains("round 1, done") && over.contains("round 2, ended"), "{over}");
    // Who leaves changes it, and the page names the sheet that is out of date.
    gym.kept(&path, "what=open").await;
    gym.kept(&path, "what=leaves&athlete=K02&minutes=0").await;
    assert_ne!(on_paper(), before);
    assert_eq!(on_paper(), on_the_floor());
    let ledger = gym.house.keeper.ledger();
    let plan = ledger.gym().program.sessions().find(|plan| !plan.is_template()).unwrap();
    let resolved = resolve::session(&gym.house, ledger.gym(), plan);
    let now = rounds::of(&gym.house, ledger.gym(), &resolved).unwrap();
    assert_eq!(now, ledger.gym().evening.as_ref().unwrap().plan.rounds);
    drop(ledger);
    assert!(words(&gym.page(&rotation).await).contains("Changed since the sheets printed at "));
}

#[tokio::test]
async fn a_swap_stands_by_the_name_on_the_page_in_the_picture_and_on_paper() {
    use cornerwork::flow::paper;
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let swap = "what=except&athlete=K01&station=1&exercise=depth-jump&do=swap:box-jump";
    gym.kept(&path, swap).await;
    let name = {
        let ledger = gym.house.keeper.ledger();
        let id = cornerwork_core::exercise::ExerciseId::new("box-jump").unwrap();
        gym.house.exercise_name(ledger.gym(), &id).to_lowercase()
    };
    let page = words(&gym.page(&format!("{path}/rotation")).await);
    let times = page.matches(&name).count();
    assert!(times >= 1 + 1 + 3, "list, table and each size of the picture: {times} in {page}");
    assert!(page.contains("each hand, ") || page.contains("each side, "), "{page}");
    let ledger = gym.house.keeper.ledger();
    let plan = ledger.gym().program.sessions().find(|plan| !plan.is_template()).unwrap();
    let sheet = format!("{:?}", paper::floor_sheet(&gym.house, ledger.gym(), plan));
    assert!(sheet.contains(&format!("Ottilie, {name}")), "{sheet}");
    assert!(sheet.contains(", sheet printed at "), "{sheet}");
}

#[tokio::test]
async fn nothing_is_said_of_loads_that_never_change_and_several_who_come_are_one_line() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=station&exercise=pogo-hops&sets=3&reps=8&rest=1:00&rule=body&amount=")
        .await;
    for station in 1..=4 {
        gym.kept(&path, &format!("what=no-station&station={station}")).await;
    }
    for code in ["K01", "K02"] {
        gym.kept(&path, &format!("what=late&athlete={code}&minutes=5")).await;
    }
    let page = words(&gym.page(&format!("{path}/rotation")).await);
    for empty in ["load change", "alphabetical order needs", "fewer than", "◆"] {
        let told = page.split("why?").next().unwrap();
        assert!(!told.contains(empty), "{empty}: {page}");
    }
    assert!(page.contains("2 expected ") && !page.contains(" comes "), "{page}");
}

/// The session is planned for 18:20 and opened at 17:20: seventy minutes from then is 18:30.
#[tokio::test]
async fn minutes_of_coming_and_leaving_count_from_the_planned_start() {
    let opened = "2026-09-23T17:20:00Z".parse().unwrap();
    let clock = Clock::telling(opened, jiff::Timestamp::now(), TimeZone::UTC);
    let gym = Gym::with(clock).await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=late&athlete=K02&minutes=20").await;
    gym.kept(&path, "what=open").await;
    gym.kept(&path, "what=leaves&athlete=K01&minutes=70").await;
    let rotation = words(&gym.page(&format!("{path}/rotation")).await);
    assert!(rotation.contains("Ottilie leaves 18:30"), "{rotation}");
    assert!(rotation.contains("Perrin comes 18:40"), "{rotation}");
    let page = words(&gym.page(&path).await);
    assert!(page.contains("Perrin K02 from 18:40") && page.contains("K01 until 18:30"), "{page}");
}

#[tokio::test]
async fn who_comes_for_nothing_is_named_once_and_holds_nobody_up() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let rounds = |page: &str| page.matches("<th>18:").count() + page.matches("<th>19:").count();
    let before = rounds(&gym.page(&format!("{path}/rotation")).await);
    gym.kept(&path, "what=late&athlete=K02&minutes=63").await;
    let page = gym.page(&format!("{path}/rotation")).await;
    let read = words(&page);
    assert!(
        read.contains("Perrin is not there long enough for station 1, 2, 3, 4: they are left out."),
        "{read}"
    );
    assert_eq!(rounds(&page), before);
}

#[tokio::test]
async fn every_slip_gets_one_sentence() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    for (form, says) in [
        ("what=head&name=&day=2026-09-23&starts=18:20&minutes=60", "short name"),
        ("what=head&name=X&day=soon&starts=18:20&minutes=60", "is no day"),
        ("what=head&name=X&day=2026-09-23&starts=late&minutes=60", "is no time"),
        ("what=head&name=X&day=2026-09-23&starts=18:20&minutes=5000", "10 to 240"),
        ("what=people&athlete=ZZ9", "no athlete ZZ9"),
        ("what=station&exercise=nothing&rule=body", "Pick an exercise"),
        ("what=station&exercise=depth-jump&rule=peak&amount=100", "no loaded jump"),
        ("what=station&exercise=trap-bar-jump&rule=peak&amount=900", "cannot be 900"),
        ("what=station&exercise=landmine-split-jerk&rule=velocity&amount=1.8 to 1.6", "slower"),
        ("what=station&exercise=depth-jump&rule=box&sets=none", "no number of sets"),
        ("what=station&exercise=depth-jump&rule=box&rest=long", "no rest"),
        ("what=station&exercise=depth-jump&rule=box&stop=99", "1 to 50"),
        ("what=except&do=confirm&athlete=K03&station=1&reason=", "reason"),
        ("what=except&do=lighter:90&athlete=K01", "0 to 50"),
        ("what=station&exercise=landmine-split-jerk&rule=box", "not done with a box"),
        ("what=station&exercise=pogo-hops&rule=hold&amount=5", "is not held"),
        (
            "what=station&exercise=depth-jump&rule=velocity&amount=1.6 to 1.8",
            "not loaded with a bar",
        ),
        ("what=late&athlete=K01&minutes=soon", "no number of minutes"),
        ("what=late&athlete=K01&minutes=-5", "0 to 240"),
        ("what=late&athlete=K01&minutes=90", "lasts 64 minutes"),
        ("what=nothing", "could not be read"),
    ] {
        let sentence = gym.refused(&path, form).await;
        assert!(sentence.contains(says), "{form}: {sentence}");
    }
    assert!(gym.refused("/sessions", "template=power&day=tomorrow").await.contains("is no day"));
    assert!(gym.refused("/session/power", "what=drop").await.contains("stays"));
    assert!(gym.refused("/session/power", "what=open").await.contains("not planned"));
}

#[tokio::test]
async fn a_session_kept_as_a_template_starts_the_next() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=no-station&station=4").await;
    gym.kept(&path, "what=keep&name=Power short").await;
    assert!(words(&gym.page("/sessions").await).contains("Power short 3 stations"));
    let copy = gym.session("power-short").await;
    assert!(words(&gym.page(&copy).await).contains("Loaded jump with the hex bar"));
    gym.kept("/session/power-short", "what=drop").await;
    assert!(!words(&gym.page("/sessions").await).contains("Power short 3 stations,"));
}

const ROPE: &str = "name=Rope climb&family=strength&patterns=pull&qualities=maximal-strength\
    &sides=none&load=body-mass-only&measures=time&sets=3 to 5&repetitions=1&rest_s=120\
    &cues=Pull the ceiling down&kit=rope&swaps=shoulder: box-jump";

#[tokio::test]
async fn an_exercise_of_ones_own_is_entered_changed_used_and_taken_away() {
    let gym = Gym::new().await;
    let entered = gym.kept("/exercises", &format!("what=enter&{ROPE}")).await;
    assert_eq!(entered["go"], "/exercise/rope-climb");
    let page = words(&gym.page("/exercise/rope-climb").await);
    assert!(page.contains("Pull the ceiling down") && page.contains("your own"), "{page}");
    assert!(gym.refused("/exercises", &format!("what=enter&{ROPE}")).await.contains("already"));
    let changed = ROPE.replace("Pull the ceiling down", "Climb to the bell");
    gym.kept("/exercise/rope-climb", &format!("what=change&{changed}")).await;
    assert!(gym.page("/exercise/rope-climb").await.contains("Climb to the bell"));
    assert!(gym.page("/exercises?words=rope").await.contains("/exercise/rope-climb"));
    assert!(
        !gym.page("/exercises?words=rope&pattern=squat").await.contains("/exercise/rope-climb")
    );
    let path = gym.session("power").await;
    gym.kept(&path, "what=station&exercise=rope-climb&rule=body").await;
    let refused = gym.refused("/exercise/rope-climb", "what=drop").await;
    assert!(refused.contains("stands in \"Power\""), "{refused}");
    gym.kept(&path, "what=no-station&station=5").await;
    gym.kept("/exercise/rope-climb", "what=drop").await;
    assert!(!gym.page("/exercises").await.contains("/exercise/rope-climb"));
}

#[tokio::test]
async fn an_exercise_that_breaks_a_rule_is_refused_by_the_same_words_as_a_file() {
    let gym = Gym::new().await;
    for (from, to, says) in [
        ("Pull the ceiling down", "one two three four five six seven eight nine", "9 words"),
        ("sets=3 to 5", "sets=5 to 3", "lower number first"),
        ("sets=3 to 5", "sets=many", "no range of sets"),
        ("shoulder: box-jump", "shoulder: moon-jump", "not in the library"),
        ("shoulder: box-jump", "soul: box-jump", "is no hurt part"),
        ("patterns=pull", "patterns=fly", "is no pattern"),
        ("name=Rope climb", "name=", "Give the exercise a name"),
        ("sets=3 to 5", "sets=", "how many sets"),
        ("patterns=pull", "patterns=", "at least one movement"),
        ("qualities=maximal-strength", "qualities=", "at least one thing it trains"),
        ("kit=rope", "kit=rope&stop=200", "1 to 50 percent"),
    ] {
        let form = format!("what=enter&{}", ROPE.replace(from, to));
        let sentence = gym.refused("/exercises", &form).await;
        assert!(sentence.contains(says), "{to}: {sentence}");
    }
    let nothing = gym.refused("/exercises", "what=file&text=").await;
    assert!(nothing.contains("empty"), "{nothing}");
    let broken = gym.refused("/exercises", "what=file&text=[[exercise]]%0Aid %3D 3").await;
    assert!(broken.contains("line"), "{broken}");
}

#[tokio::test]
async fn the_librarys_own_entry_comes_back_when_the_version_of_the_gym_goes() {
    let gym = Gym::new().await;
    let library = words(&gym.page("/exercise/pogo-hops").await);
    let form = "what=change&name=Pogo hops&family=jumps&patterns=ankle&qualities=reactive\
        &sides=none&load=body-mass-only&measures=contact-time,reactive-strength&sets=2\
        &repetitions=8&rest_s=45&cues=Stiff as a post&kit=floor&cautions=&swaps=";
    gym.kept("/exercise/pogo-hops", form).await;
    assert!(gym.page("/exercise/pogo-hops").await.contains("Stiff as a post"));
    gym.kept("/exercise/pogo-hops", "what=drop").await;
    assert_eq!(words(&gym.page("/exercise/pogo-hops").await), library);
}

#[tokio::test]
async fn planned_stands_beside_performed() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=open").await;
    let station = {
        let ledger = gym.house.keeper.ledger();
        ledger.gym().evening.as_ref().unwrap().up_at(1).unwrap().clone()
    };
    gym.kept("/floor/1/box", &format!("athlete={station}&cm=30")).await;
    gym.kept("/floor/1/rep", &format!("athlete={station}&text=31.2")).await;
    gym.kept("/floor/1/rep", &format!("athlete={station}&text=32.6")).await;
    let page = words(&gym.page(&path).await);
    assert!(page.contains("Planned and done") && page.contains("2 of 12"), "{page}");
    assert!(page.contains("32.6 cm"), "{page}");
}

#[tokio::test]
async fn a_planned_load_stands_until_it_was_lifted() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let fixed = "what=station&station=3&exercise=trap-bar-jump&sets=3&reps=2&rest=3:00\
        &rule=fixed&amount=40";
    gym.kept(&path, fixed).await;
    for code in ["K01", "K02", "K04"] {
        gym.kept(&format!("/athlete/{code}/jump"), "load=hex:20000&text=25").await;
    }
    gym.kept(&path, "what=open").await;
    let up = || {
        let ledger = gym.house.keeper.ledger();
        ledger.gym().evening.as_ref().unwrap().up_at(3).cloned()
    };
    while up().is_none() {
        gym.kept("/floor/rotate", "").await;
    }
    let athlete = up().unwrap();
    let planned = "Planned: 40 kg.";
    assert!(words(&gym.page("/floor/3").await).contains(planned));
    // A warm-up with the bar alone leaves the plan where it is.
    let rep = format!("athlete={athlete}&text=");
    gym.kept("/floor/3/rep", &format!("{rep}24.5")).await;
    assert!(words(&gym.page("/floor/3").await).contains(planned));
    gym.kept("/floor/3/load", &format!("athlete={athlete}&load=hex:40000")).await;
    gym.kept("/floor/3/rep", &format!("{rep}18.2")).await;
    assert!(!words(&gym.page("/floor/3").await).contains(planned));
}

#[tokio::test]
async fn who_does_the_same_stands_in_one_line_and_a_held_session_is_not_opened_by_mistake() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    let fixed = "what=station&exercise=pogo-hops&sets=3&reps=8&rest=1:00&rule=body&amount=";
    gym.kept(&path, fixed).await;
    let page = words(&gym.page(&path).await);
    assert!(page.contains("Ottilie, Perrin, Brannoc body weight"), "{page}");
    gym.kept(&path, "what=open").await;
    gym.kept("/close", "what=end").await;
    let page = words(&gym.page(&path).await);
    assert!(page.contains("Its evening is over."), "{page}");
    assert!(page.contains("Open it again"), "{page}");
    assert!(!page.contains("Open the evening with"), "{page}");
}

#[tokio::test]
async fn an_evening_opened_again_goes_on_with_its_rounds_sets_and_loads() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=open").await;
    gym.kept("/floor/rotate", "").await;
    let up = |ledger: &cornerwork_core::session::ledger::Ledger| {
        ledger.gym().evening.as_ref().and_then(|evening| evening.up_at(3).cloned()).unwrap()
    };
    let who = up(&gym.house.keeper.ledger());
    gym.kept("/floor/3/load", &format!("athlete={who}&load=hex:20000")).await;
    gym.kept("/floor/3/rep", &format!("athlete={who}&text=30.1")).await;
    gym.kept("/floor/3/close", &format!("athlete={who}")).await;
    let floor = || async { words(&gym.page("/floor/3").await) };
    let (before, rotation) = (floor().await, format!("{path}/rotation"));
    let round = words(&gym.page(&rotation).await);
    gym.kept("/close", "what=end&chosen=1").await;
    for way in [(path.as_str(), "what=open"), ("/evening", "what=again")] {
        gym.kept(way.0, way.1).await;
        {
            let ledger = gym.house.keeper.ledger();
            let evening = ledger.gym().open_evening().unwrap();
            assert_eq!((evening.rotations, evening.sets_closed(3, &who)), (1, 1));
            assert!(evening.hung(3, &who).is_some());
            assert_eq!(ledger.gym().reps_at(3).count(), 1);
        }
        assert_eq!(floor().await, before);
        assert_eq!(words(&gym.page(&rotation).await), round);
        gym.kept("/close", "what=end&chosen=1").await;
    }
    // Whoever was put on the list meanwhile stands in the rounds to come; done ones stay.
    let done = gym.house.keeper.ledger().gym().evening.clone().unwrap().plan.rounds;
    gym.kept(&path, "what=people&athlete=K01&athlete=K02").await;
    gym.kept(&path, "what=open").await;
    let ledger = gym.house.keeper.ledger();
    let evening = ledger.gym().open_evening().unwrap();
    assert_eq!(evening.plan.rounds[..2], done[..2]);
    let gone = cornerwork_core::session::athlete::AthleteId::new("K04").unwrap();
    assert!(evening.plan.rounds[2..].iter().flatten().flatten().all(|id| *id != gone));
}

#[tokio::test]
async fn an_evening_ends_in_one_place_that_names_who_is_not_rated() {
    let gym = Gym::new().await;
    let path = gym.session("power").await;
    gym.kept(&path, "what=open").await;
    for page in ["/", "/floor", path.as_str()] {
        assert!(gym.page(page).await.contains("href=\"/close\">End the evening<"), "{page}");
    }
    let who = |station: u8| {
        let ledger = gym.house.keeper.ledger();
        let evening = ledger.gym().evening.as_ref().unwrap();
        (1..=4).filter(|one| *one != station).find_map(|one| evening.up_at(one).cloned()).unwrap()
    };
    let first = who(0);
    gym.kept("/floor/3/load", &format!("athlete={first}&load=hex:20000")).await;
    gym.kept("/floor/3/rep", &format!("athlete={first}&text=30.1")).await;
    let name = gym.house.keeper.ledger().gym().given_name(&first);
    let open = format!("1 not rated yet: {name}.");
    assert!(words(&gym.page("/close").await).contains(&open));
    let asked = gym.post("/close", &format!("what=end&minutes-{first}=60")).await;
    assert_eq!(asked["ask"], open);
    assert_eq!(asked["offers"][0]["sentence"], "End without them");
    assert!(gym.house.keeper.ledger().gym().open_evening().is_some(), "nothing changed");
    // A slip in one line keeps nothing of any.
    let slip = format!("what=end&felt-K01=12&minutes-K01=60&felt-{first}=7&minutes-{first}=60");
    let sentence = gym.refused("/close", &slip).await;
    assert!(sentence.contains("from 0 to 10"), "{sentence}");
    gym.kept("/close", "what=end&chosen=1").await;
    let desk = words(&gym.page("/").await);
    assert!(desk.contains(&open) && desk.contains("The evening is over."), "{desk}");
    gym.kept(
        "/close",
        &format!("what=save&felt-{first}=7&minutes-{first}=60&next-{first}=same again"),
    )
    .await;
    assert!(!words(&gym.page("/").await).contains("not rated yet"));
    assert!(words(&gym.page("/close").await).contains("Everyone who trained is rated."));
    let before = gym.operations().await;
    gym.kept(
        "/close",
        &format!("what=save&felt-{first}=7&minutes-{first}=60&next-{first}=same again"),
    )
    .await;
    assert_eq!(gym.operations().await, before, "the same again changes nothing");
}

#[tokio::test]
async fn the_desk_of_a_new_gym_says_where_to_begin_and_who_is_not_weighed_in_one_line() {
    let gym = Gym::new().await;
    let desk = words(&gym.page("/").await);
    assert!(desk.contains("To begin Name the gym"), "{desk}");
    assert!(!desk.contains("Weigh the bars"), "bars and plates are entered: {desk}");
    assert_eq!(desk.matches("not weighed yet").count(), 1, "{desk}");
    gym.kept("/kit", "what=name&text=Quarry Lane").await;
    assert!(!words(&gym.page("/").await).contains("To begin"));
    // Consent is settled on the card, not on the page of numbers.
    let desk = gym.page("/").await;
    assert!(desk.contains("href=\"/people/K03\">Juna Tarnbeck</a> — guardian"), "{desk}");
}
