//! Bouts and camps over HTTP: agreed, laid out, moved, cancelled, taken back, at the dates of one
//! story.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

mod support;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{ACCEPT, CONTENT_TYPE, HOST, LOCATION};
use axum::http::{Request, StatusCode};
use cornerwork::flow::clock::Clock;
use cornerwork_io::store::{SqliteStore, StoreError};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::Value;
use tempfile::TempDir;
use tower::ServiceExt;

/// A gym in London whose days pass by opening it again.
struct Gym {
    folder: TempDir,
    router: Router,
}

async fn opened(folder: &TempDir, day: &str) -> Router {
    let story: Timestamp = format!("{day}T16:40:00Z").parse().unwrap();
    let zone = TimeZone::get("Europe/London").unwrap();
    let clock = Clock::telling(story, Timestamp::now(), zone);
    support::pages(support::house(folder.path(), clock).await)
}

/// Waits until the task that keeps the store of the day before has let go of its folder.
async fn released(folder: &TempDir) {
    loop {
        match SqliteStore::open_existing(folder.path()).await {
            Ok(store) => return store.close().await,
            Err(StoreError::InUse { .. }) => tokio::task::yield_now().await,
            Err(error) => panic!("{error}"),
        }
    }
}

impl Gym {
    async fn on(day: &str) -> Self {
        let folder = TempDir::new().unwrap();
        let router = opened(&folder, day).await;
        let gym = Self { folder, router };
        for (code, name) in [("B01", "Ottilie Marrowby"), ("B05", "Perrin Askelow")] {
            let form =
                format!("code={code}&name={name}&age=23&sex=female&stance=orthodox&level=elite");
            assert_eq!(gym.post("/athlete", &form).await["kept"], true);
        }
        gym
    }

    /// Camp B of the demo, agreed and laid out on 31 August for 21 November 2026.
    async fn with_a_camp() -> Self {
        let gym = Self::on("2026-08-31").await;
        let form =
            "name=Lantern+Night&day=2026-11-21&bell=19:30&rounds=8+x+3&athlete=B01&athlete=B05";
        let told = gym.post("/plan", form).await;
        assert_eq!(told["go"], "/plan/lantern-night");
        let form = "what=accept&begins=2026-08-31&sparring-asked=yes&sparring=Tue&sparring=Thu";
        assert_eq!(gym.post("/plan/lantern-night", form).await["kept"], true);
        gym
    }

    async fn day(self, day: &str) -> Self {
        // The store of the day before is let go of before it is opened again.
        let Self { folder, router } = self;
        drop(router);
        released(&folder).await;
        let router = opened(&folder, day).await;
        Self { folder, router }
    }

    async fn send(&self, request: Request<Body>) -> (StatusCode, Option<String>, String) {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let bytes = to_bytes(body, usize::MAX).await.unwrap();
        let to = parts.headers.get(LOCATION).map(|to| to.to_str().unwrap().to_owned());
        (parts.status, to, String::from_utf8(bytes.to_vec()).unwrap())
    }

    async fn get(&self, path: &str) -> String {
        self.send(Request::get(path).body(Body::empty()).unwrap()).await.2
    }

    /// A page without its clock.
    async fn page(&self, path: &str) -> String {
        self.get(path).await.split_once("<title>").unwrap().1.to_owned()
    }

    async fn post(&self, path: &str, form: &str) -> Value {
        let request = Request::post(path)
            .header(HOST, "gym.local")
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header("content-length", form.len())
            .header(ACCEPT, "application/json")
            .body(Body::from(form.to_owned()))
            .unwrap();
        serde_json::from_str(&self.send(request).await.2).unwrap()
    }

    async fn refused(&self, path: &str, form: &str) -> String {
        let told = self.post(path, form).await;
        assert_eq!(told["kept"], false, "{form}");
        told["refused"].as_str().unwrap().to_owned()
    }

    /// The operation that "take back" of a sentence on a page would take back.
    async fn operation(&self, path: &str, sentence: &str) -> String {
        let page = self.get(path).await;
        let before = page.split(&format!("take back: {sentence}")).next().unwrap();
        let value = before.rsplit("name=\"operation\" value=\"").next().unwrap();
        value[..32].to_owned()
    }
}

#[tokio::test]
async fn the_desk_says_how_far_the_bout_is_and_which_day_of_the_phase_it_is() {
    let gym = Gym::on("2026-09-23").await;
    let form = "name=Harbour&day=2026-10-17&athlete=B01";
    assert_eq!(gym.post("/plan", form).await["kept"], true);
    let desk = gym.get("/").await;
    assert!(desk.contains("24 days to the bout, no evening open."), "before a camp is laid out");
    let form = "what=accept&begins=2026-08-10";
    assert_eq!(gym.post("/plan/harbour", form).await["kept"], true);
    // 14 September to 3 October are twenty days, the 23rd is the tenth.
    let sentence = "24 days to the bout, power day 10 of 21, no evening open.";
    assert!(gym.get("/").await.contains(sentence));
    assert!(gym.get("/plan").await.contains("24 days to the bout, power day 10 of 21."));
}

#[tokio::test]
async fn a_debut_moves_by_two_weeks() {
    let gym = Gym::with_a_camp().await.day("2026-10-24").await;
    let before = gym.page("/plan/lantern-night").await;
    // What would change, before anything does.
    let shown = gym.get("/plan/lantern-night/change?to=2026-12-05&athlete=B05").await;
    for sentence in [
        "The bout is on Sat 5 December 2026 instead of Sat 21 November 2026, 14 days later; 42 days are left.",
        "Taper: 23 Nov to 4 Dec instead of 9 Nov to 20 Nov.",
        "as it is",
        "as it would be",
    ] {
        assert!(shown.contains(sentence), "{sentence}");
    }
    assert_eq!(gym.page("/plan/lantern-night").await, before, "looking changes nothing");

    let form = "what=accept&to=2026-12-05&athlete=B05&reason=opponent+hurt";
    let told = gym.post("/plan/lantern-night", form).await;
    assert_eq!(told["go"], "/plan/lantern-night-b05");
    let hers = gym.get("/plan/lantern-night-b05").await;
    assert!(hers.contains("42 days to the bout, power day 6 of 7."));
    for done in ["Mon 31 Aug to Sun 4 Oct, 35 days", "Mon 5 Oct to Sun 18 Oct, 14 days"] {
        assert!(hers.contains(done), "what is done stays: {done}");
    }
    assert!(!gym.get("/plan/lantern-night").await.contains("Perrin Askelow</a>"));

    let sentence = "moved to Sat 5 Dec 2026 for Perrin: opponent hurt";
    let operation = gym.operation("/plan/lantern-night-b05", sentence).await;
    assert_eq!(gym.post("/undo", &format!("operation={operation}")).await["kept"], true);
    assert_eq!(gym.page("/plan/lantern-night").await, before, "taken back to the letter");
}

#[tokio::test]
async fn a_bout_is_cancelled_and_another_comes_at_short_notice() {
    let gym = Gym::with_a_camp().await.day("2026-10-12").await;
    let why = gym.refused("/plan/lantern-night", "what=cancel&reason=+").await;
    assert_eq!(why, "Say why it is cancelled: the reason is kept with it.");
    let form = "what=cancel&athlete=B01&reason=hall+closed";
    assert_eq!(gym.post("/plan/lantern-night", form).await["go"], "/plan");
    let plan = gym.get("/plan").await;
    assert!(plan.contains("Lantern Night: cancelled for Ottilie: hall closed"));
    assert!(plan.contains("No bout ahead: Ottilie Marrowby."));

    let gym = gym.day("2026-10-31").await;
    let form = "name=Late+Call&day=2026-11-21&standing=offered&athlete=B01";
    assert_eq!(gym.post("/plan", form).await["go"], "/plan/late-call");
    assert!(gym.get("/plan/late-call").await.contains("offered, not confirmed"));
    let shown = gym.get("/plan/late-call/change?begins=2026-10-31").await;
    assert!(shown.contains("Short notice, 21 days"));
    assert!(shown.contains("Strength finds no room: it needs 3 weeks"));
    assert_eq!(gym.post("/plan/late-call", "what=accept&begins=2026-10-31").await["kept"], true);
    assert!(gym.get("/plan/late-call").await.contains("21 days to the bout, power day 1 of 9."));
}

#[tokio::test]
async fn a_tournament_has_bouts_with_opponents_and_results() {
    let gym = Gym::on("2026-08-31").await;
    let form =
        "name=Harbour&day=2026-10-17&more_days=2026-10-18+2026-10-24&athlete=B01&athlete=B05";
    assert_eq!(gym.post("/plan", form).await["go"], "/plan/harbour");
    let gym = gym.day("2026-10-17").await;
    let body = "&body=amateur+(international+text+in+a+Scottish+book)";
    let enter = async |athlete: &str, day: &str, rest: &str| {
        let form = format!("what=contest&athlete={athlete}&day={day}&{rest}{body}");
        gym.post("/plan/harbour", &form).await
    };
    let told = enter("B01", "2026-10-17", "opponent=Odo+Fennick&outcome=won").await;
    assert_eq!(told["kept"], true, "{told}");
    let page = gym.get("/plan/harbour").await;
    assert!(page.contains("Odo Fennick"));
    // Perrin's, of which nothing is known, and Ottilie's next.
    let (_, unknown) = page.split_once("opponents not known: ").unwrap();
    assert!(unknown.split_once("</li>").unwrap().0.contains("Perrin Askelow"), "{unknown}");
    assert!(page.contains("bout of Ottilie on Sat 17 Oct 2026 against Odo Fennick: won"));
    let next = "1 day<span class=\"wide\">, Harbour";
    assert!(gym.get("/").await.contains(next), "the day of the next bout follows");

    // The other is stopped: out of every day that follows, with the date by the rule.
    let stoppage = "01a21507a50371399dd793f7614f8a5d";
    let stopped = format!("outcome=stopped-head-blows&id={stoppage}");
    let told = enter("B05", "2026-10-17", &stopped).await;
    assert_eq!(told["kept"], true, "{told}");
    let page = gym.get("/plan/harbour").await;
    // Four weeks from the 17th of October are the 14th of November.
    assert!(page.contains("14 November"), "{page}");
    let why = enter("B05", "2026-10-18", "opponent=Tilda+Voss").await;
    let why = why["refused"].as_str().unwrap();
    assert!(why.contains("boxing") && why.contains("14 November"), "{why}");
    assert!(page.contains("bout of Perrin on Sat 17 Oct 2026: stopped"), "{page}");
    assert!(!page.contains("take back: bout of Perrin"), "nobody is offered to take it back");
    let why = gym.refused("/undo", &format!("operation={stoppage}")).await;
    assert!(why.contains("doctor"), "{why}");

    // Corrected, and taken back.
    let lost = "opponent=Odo+Fennick&outcome=lost";
    assert_eq!(enter("B01", "2026-10-17", lost).await["kept"], true);
    let next = "enter or correct: Ottilie Marrowby, Sun 18 Oct 2026";
    assert!(!gym.get("/plan/harbour").await.contains(next));
    let sentence = "bout of Ottilie on Sat 17 Oct 2026 against Odo Fennick: lost";
    let operation = gym.operation("/plan/harbour", sentence).await;
    assert_eq!(gym.post("/undo", &format!("operation={operation}")).await["kept"], true);
    assert!(gym.get("/plan/harbour").await.contains(next));

    let before = gym.page("/plan/harbour").await;
    for (form, sentence) in [
        ("athlete=&day=2026-10-17", "Choose who boxes."),
        ("athlete=B01&day=then", "\"then\" is no day. Type it like 2026-11-21."),
        (
            "athlete=B01&day=2026-10-19",
            "Harbour is not on 2026-10-19. Pick one of its days, or add the day under \"Change what is agreed\".",
        ),
        (
            "athlete=B01&day=2026-10-18&outcome=won",
            "2026-10-18 has not come yet: a result waits for it. Leave the result empty to keep the opponent.",
        ),
        ("athlete=B01&day=2026-10-17&outcome=glorious", "Choose the result from the list."),
    ] {
        assert_eq!(gym.refused("/plan/harbour", &format!("what=contest&{form}")).await, sentence);
    }
    let form = "what=contest&athlete=B01&day=2026-10-17&outcome=knocked-out&body=nobody";
    assert!(gym.refused("/plan/harbour", form).await.contains("no rules of \"nobody\""));
    assert_eq!(gym.page("/plan/harbour").await, before, "nothing was changed");
}

#[tokio::test]
async fn a_journey_over_time_zones_is_told_by_both_clocks() {
    let gym = Gym::on("2026-10-01").await;
    let form =
        "name=Garden&day=2026-11-21&bell=19:30&weigh_in=13:00&zone=America/New_York&athlete=B05";
    assert_eq!(gym.post("/plan", form).await["go"], "/plan/garden");
    let limit = "text=72.57+kg&weigh_in=2026-11-20&bout=2026-11-21&body=";
    assert_eq!(gym.post("/athlete/B05/limit", limit).await["kept"], true);
    let journey = "leaves_on=2026-11-17&leaves_at=9:30&arrives_on=2026-11-17&arrives_at=12:40";
    let told = gym.post("/plan/garden", &format!("what=travel&{journey}")).await;
    assert_eq!(told["kept"], true, "{told}");
    let page = gym.get("/plan/garden").await;
    for sentence in [
        "Leaves Tue 17 Nov 09:30 at the gym (04:30 at the venue).",
        // 12:40 in New York are 17:40 in London: 8 h 10 min on the way.
        "Arrives Tue 17 Nov 12:40 at the venue (17:40 at the gym), after 8 h 10 min.",
        "The venue's clock is 5 h behind then: westward.",
        // Five days after the 17th is the 22nd, one after the bout.
        "until Sun 22 Nov 2026. The bout comes 1 day before that",
        "at the weigh-in of Fri 20 Nov 2026, 13:00 at the venue (18:00 at the gym)",
        "journey agreed, leaving Tue 17 Nov 2026",
    ] {
        assert!(page.contains(sentence), "{sentence}: {page}");
    }
    // Between the two changes of the clocks it is four hours, and five again on the day.
    let early = "leaves_on=2026-10-28&leaves_at=9:30&arrives_on=2026-10-28&arrives_at=13:40";
    assert_eq!(gym.post("/plan/garden", &format!("what=travel&{early}")).await["kept"], true);
    let page = gym.get("/plan/garden").await;
    assert!(page.contains("The venue's clock is 4 h behind then"), "{page}");
    assert!(page.contains("Clocks change before the bout: on its day the venue's is 5 h behind."));
    let operation = gym.operation("/plan/garden", "journey agreed, leaving Wed 28 Oct 2026").await;
    assert_eq!(gym.post("/undo", &format!("operation={operation}")).await["kept"], true);
    assert!(gym.get("/plan/garden").await.contains("after 8 h 10 min"), "taken back");

    let city = gym.refused("/plan", "name=X&day=2026-11-21&zone=new+york&athlete=B05").await;
    assert_eq!(city, "\"new york\" is no time zone. Is it America/New_York? Then type that.");
    let before = gym.page("/plan/garden").await;
    for (form, says) in [
        (journey.replace("9:30", ""), "Type day and time of both ends"),
        (journey.replace("9:30", "noon"), "\"noon\" is no time. Type it like 19:30."),
        (journey.replace("leaves_on=2026-11-17", "leaves_on=2026-11-31"), "is no day"),
        (journey.replace("12:40", "04:00"), "arrives before it leaves, by true time"),
        (journey.replace("leaves_on=2026-11-17", "leaves_on=2026-11-01"), "72 hours at most"),
        (
            journey.replace("2026-11-17", "2026-11-22"),
            "That arrives on Sun 22 Nov 2026, after the first day, Sat 21 Nov 2026.",
        ),
    ] {
        let why = gym.refused("/plan/garden", &format!("what=travel&{form}")).await;
        assert!(why.contains(says), "{form}: {why}");
    }
    assert_eq!(gym.page("/plan/garden").await, before, "nothing was changed");
    let emptied = "what=travel&leaves_on=&leaves_at=&arrives_on=&arrives_at=";
    assert_eq!(gym.post("/plan/garden", emptied).await["kept"], true);
    assert!(!gym.get("/plan/garden").await.contains("after 8 h 10 min"));
}

/// Five hours of the clock, so about five days out of step: what is jumped then is no change of the
/// camp. The day before the journey is compared as ever.
#[tokio::test]
async fn jumps_after_a_journey_over_time_zones_are_not_compared() {
    let mut gym = Gym::on("2026-10-01").await;
    let form = "name=Garden&day=2026-11-28&zone=America/New_York&athlete=B05";
    assert_eq!(gym.post("/plan", form).await["go"], "/plan/garden");
    let journey = "leaves_on=2026-11-17&leaves_at=9:30&arrives_on=2026-11-17&arrives_at=12:40";
    let told = gym.post("/plan/garden", &format!("what=travel&{journey}")).await;
    assert_eq!(told["kept"], true, "{told}");
    let why = "because it was made 1 day after the journey to Garden, whose clock is 5 h behind";
    for (day, compared) in
        [("2026-10-05", true), ("2026-11-16", true), ("2026-11-18", false), ("2026-11-23", true)]
    {
        gym = gym.day(day).await;
        for height in ["33.5", "34.0", "33.8"] {
            let kept = gym.post("/athlete/B05/jump", &format!("load=none&text={height}")).await;
            assert_eq!(kept["kept"], true, "{kept}");
        }
        let page = gym.get("/athlete/B05").await;
        assert_eq!(!page.contains(why), compared, "{day}: {page}");
    }
}

#[tokio::test]
async fn a_camp_is_seen_with_its_reasons_before_it_is_accepted() {
    let gym = Gym::on("2026-08-31").await;
    let form = "name=Lantern+Night&day=2026-11-21&athlete=B01";
    gym.post("/plan", form).await;
    let shown = gym.get("/plan/lantern-night/change?begins=2026-08-31").await;
    for reason in ["less than three weeks of heavy work doesn't last", "Bosquet and others 2007"] {
        assert!(shown.contains(reason), "{reason}: {shown}");
    }
    let remark = "Test day and open sparring on the same day: Mon 31 Aug, Mon 5 Oct, Mon 9 Nov.";
    assert!(!shown.contains(remark));
    let with_sparring =
        "/plan/lantern-night/change?begins=2026-08-31&sparring-asked=1&sparring=Mon";
    assert!(gym.get(with_sparring).await.contains(remark));
    gym.post("/plan/lantern-night", "what=cancel&reason=hall+closed").await;
    assert!(gym.get("/plan/lantern-night").await.contains("Lantern Night is cancelled"));
}

#[tokio::test]
async fn every_slip_is_one_sentence_and_changes_nothing() {
    let gym = Gym::with_a_camp().await;
    let before = gym.page("/plan").await;
    let bout = |fields: &str| format!("name=X&day=2026-12-01&athlete=B01&{fields}");
    for (form, sentence) in [
        ("name=&day=2026-12-01&athlete=B01".to_owned(), "Give the bout a name, like Harbour Open."),
        (
            "name=X&day=21.11.&athlete=B01".to_owned(),
            "\"21.11.\" is no day. Type it like 2026-11-21.",
        ),
        (
            "name=X&day=2026-02-30&athlete=B01".to_owned(),
            "\"2026-02-30\" is no day. Type it like 2026-11-21.",
        ),
        (
            "name=X&day=2026-08-30&athlete=B01".to_owned(),
            "Sun 30 Aug 2026 is past. Give a day to come.",
        ),
        (
            "name=X&day=2062-08-30&athlete=B01".to_owned(),
            "Wed 30 Aug 2062 is more than two years off. Is the year right?",
        ),
        ("name=X&day=2026-12-01".to_owned(), "Tick who boxes."),
        (
            "name=X&day=2026-12-01&athlete=Z9".to_owned(),
            "There is no athlete Z9 here. Enter the athlete first.",
        ),
        (bout("rounds=eight"), "\"eight\" are no rounds. Type rounds and minutes like 8 x 3."),
        (bout("rounds=80+x+3"), "\"80 x 3\" are no rounds. Type rounds and minutes like 8 x 3."),
        (bout("bell=half+past"), "\"half past\" is no time. Type it like 19:30."),
        (bout("zone=Atlantis"), "\"Atlantis\" is no time zone. Type it like America/New_York."),
        (bout("more_days=2026-11-30"), "Mon 30 Nov 2026 is not after the first day, 2026-12-01."),
    ] {
        assert_eq!(gym.refused("/plan", &form).await, sentence);
    }
    for (form, sentence) in [
        ("what=accept&to=2026-08-01", "Sat 1 Aug 2026 is past. Give a day to come."),
        ("what=accept&power=many", "\"many\" weeks of power? Type a whole number from 0 to 30."),
        ("what=accept&recovery=-1", "\"-1\" days of recovery? Type a whole number from 0 to 60."),
        (
            "what=accept&athlete=B01",
            "One camp leads to one day: pick another day for those who move.",
        ),
        (
            "what=mark&day=2026-09-01&mark=party",
            "\"party\" cannot be marked. Pick one of the list.",
        ),
        ("what=mark&day=soon&mark=travel", "\"soon\" is no day. Type it like 2026-11-21."),
        ("what=nothing", "That form could not be read. Reload the page and try again."),
    ] {
        assert_eq!(gym.refused("/plan/lantern-night", form).await, sentence);
    }
    assert_eq!(gym.page("/plan").await, before);
    let gone = gym.send(Request::get("/plan/nowhere").body(Body::empty()).unwrap()).await;
    assert_eq!(gone.0, StatusCode::NOT_FOUND);
    let theirs = gym.send(Request::get("/plan/B01").body(Body::empty()).unwrap()).await;
    assert_eq!(theirs.1.as_deref(), Some("/plan/lantern-night"));
}

#[tokio::test]
async fn the_warm_up_follows_the_order_of_bouts_at_the_venue() {
    let gym = Gym::on("2026-11-20").await;
    let form = "name=Far&day=2026-11-21&bell=19:00&rounds=6+x+3&zone=America/New_York&athlete=B01";
    assert_eq!(gym.post("/plan", form).await["kept"], true);
    // Sixth: five bouts of 1 + 8 minutes at least, 23 + 8 at most; 45 - 30 is a quarter of an hour
    // after the bell. New York is five hours behind London in November.
    let sixth = gym.get("/plan/far?place=6").await;
    assert!(sixth.contains("Begin the warm-up at 19:15 (00:15 at the gym): ring walk between 19:45 and 21:35, at the venue."), "{sixth}");
    let fourth = gym.get("/plan/far?place=4").await;
    assert!(fourth.contains("Begin the warm-up at 19:00 (00:00 at the gym): ring walk between 19:27 and 20:33, at the venue."));
    assert!(gym.get("/plan/far?place=6&in_ring=6").await.contains("walk now"));
    let slip = gym.get("/plan/far?place=last").await;
    assert!(slip.contains("Type the place in the running as a whole number from 1 to 40."));
}

#[tokio::test]
async fn a_late_bell_far_away_is_another_day_at_the_gym() {
    let gym = Gym::on("2026-09-23").await;
    let form = "name=Far&day=2026-11-21&bell=22:30&zone=America/New_York&athlete=B01";
    assert_eq!(gym.post("/plan", form).await["kept"], true);
    let page = gym.get("/plan/far").await;
    assert!(page.contains("By the venue&#39;s calendar 59 days, by the gym&#39;s 60: the first bell is Sun 22 Nov 03:30 here.") || page.contains("By the venue's calendar 59 days, by the gym's 60: the first bell is Sun 22 Nov 03:30 here."), "{page}");
}

#[tokio::test]
async fn a_depth_jump_the_day_before_sparring_needs_the_coachs_word_and_a_reason() {
    // Monday 28 September; the camp spars on Tuesdays and Thursdays.
    let gym = Gym::with_a_camp().await.day("2026-09-28").await;
    assert_eq!(gym.post("/evening", "what=open&athlete=B01&athlete=B05").await["kept"], true);
    let sentence = "Ottilie, depth jump for height: open sparring is 1 day away and it is kept 48 hours from sparring. It needs the coach's word and a reason.";
    let rep = "athlete=B01&text=32.4";
    assert_eq!(gym.refused("/floor/1/rep", rep).await, sentence);
    let answer = "athlete=B01&exercise=depth-jump&reason=";
    let why = gym.refused("/floor/answer", answer).await;
    assert_eq!(why, "Say why in a few words: the reason is kept with it.");
    let answer = "athlete=B01&exercise=depth-jump&reason=sparring+moved+to+Wednesday";
    assert_eq!(gym.post("/floor/answer", answer).await["kept"], true);
    assert_eq!(gym.post("/floor/1/box", "athlete=B01&cm=30").await["kept"], true);
    assert_eq!(gym.post("/floor/1/rep", rep).await["kept"], true);
}

#[tokio::test]
async fn an_answer_in_the_session_counts_on_the_floor() {
    let gym = Gym::with_a_camp().await.day("2026-09-28").await;
    let form = "template=power&day=2026-09-28";
    let path = gym.post("/sessions", form).await["go"].as_str().unwrap().to_owned();
    gym.post(&path, "what=people&athlete=B01&athlete=B05").await;
    // The depth jump is the first station of that template.
    let says = "open sparring is 1 day away";
    assert!(gym.get(&path).await.contains(says));
    for athlete in ["B01", "B05"] {
        let answer = "what=except&do=confirm&station=1&reason=light+rounds+only";
        let answer = format!("{answer}&athlete={athlete}");
        assert_eq!(gym.post(&path, &answer).await["kept"], true);
    }
    assert!(!gym.get(&path).await.contains(says));
    assert_eq!(gym.post(&path, "what=open").await["kept"], true);
    assert_eq!(gym.post("/floor/1/box", "athlete=B01&cm=30").await["kept"], true);
    assert_eq!(gym.post("/floor/1/rep", "athlete=B01&text=32.4").await["kept"], true);
}

/// A limit of 72.57 kg for B05 on the morning before the bout, by the check-weights of a body.
async fn with_a_limit() -> Gym {
    let gym = Gym::with_a_camp().await.day("2026-10-24").await;
    let form = "text=72.57+kg&weigh_in=2026-11-20&bout=2026-11-21&body=WBC";
    assert_eq!(gym.post("/athlete/B05/limit", form).await["kept"], true);
    gym
}

#[tokio::test]
async fn weigh_in_and_check_weights_move_with_the_bout_and_back() {
    let gym = with_a_limit().await;
    let mass = gym.page("/athlete/B05/mass").await;
    assert!(mass.contains("72.57 kg (160 lb) at the weigh-in of 20 November 2026"), "{mass}");
    // Thirty, fourteen and seven days before the 21st, counted on a calendar.
    for day in ["22 October 2026", "7 November 2026", "14 November 2026"] {
        assert!(mass.contains(day), "{day}: {mass}");
    }
    let shown = gym.get("/plan/lantern-night/change?to=2026-12-05&athlete=B05").await;
    let line = "Perrin Askelow, 72.57 kg (160 lb): weigh-in on 4 Dec instead of 20 Nov; \
                check-weights on 5 Nov, 21 Nov, 28 Nov instead of 22 Oct, 7 Nov, 14 Nov.";
    assert!(shown.contains(line), "{shown}");
    assert_eq!(gym.page("/athlete/B05/mass").await, mass, "looking changes nothing");

    let form = "what=accept&to=2026-12-05&athlete=B05&reason=opponent+hurt";
    gym.post("/plan/lantern-night", form).await;
    let moved = gym.page("/athlete/B05/mass").await;
    assert!(moved.contains("72.57 kg (160 lb) at the weigh-in of 4 December 2026"), "{moved}");
    for day in ["5 November 2026", "21 November 2026", "28 November 2026"] {
        assert!(moved.contains(day), "{day}: {moved}");
    }
    let hers = gym.get("/plan/lantern-night-b05").await;
    assert!(hers.contains("check-weight 21 Nov at most"), "{hers}");

    let sentence = "moved to Sat 5 Dec 2026 for Perrin: opponent hurt";
    let operation = gym.operation("/plan/lantern-night-b05", sentence).await;
    assert_eq!(gym.post("/undo", &format!("operation={operation}")).await["kept"], true);
    assert_eq!(gym.page("/athlete/B05/mass").await, mass, "taken back to the letter");
}

#[tokio::test]
async fn a_limit_falls_away_with_its_bout_and_stays_when_another_moves() {
    let gym = with_a_limit().await;
    let agreed = "72.57 kg (160 lb) at the weigh-in of 20 November 2026";
    let others = "what=accept&to=2026-12-05&athlete=B01&reason=hand";
    gym.post("/plan/lantern-night", others).await;
    assert!(gym.get("/athlete/B05/mass").await.contains(agreed));
    let cancel = "what=cancel&athlete=B05&reason=no+opponent";
    assert_eq!(gym.post("/plan/lantern-night", cancel).await["go"], "/plan");
    let without = gym.get("/athlete/B05/mass").await;
    assert!(!without.contains(agreed) && without.contains("None agreed."), "{without}");
}
