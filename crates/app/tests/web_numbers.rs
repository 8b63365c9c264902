//! Honest numbers on the pages of the demo gym: among whom, whose set, whether the sensor moved,
//! what may not be compared.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

mod support;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{ACCEPT, CONTENT_TYPE, HOST};
use axum::http::{Request, StatusCode};
use cornerwork::demo;
use cornerwork::flow::clock::Clock;
use cornerwork::flow::expected;
use cornerwork::flow::house::House;
use cornerwork::flow::profiles::{self, PROFILE_DAYS};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::Operation;
use cornerwork_core::session::rep::{Load, Method, Rep, RepEntry, Side};
use cornerwork_io::store::SqliteStore;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::sync::{Arc, LazyLock};
use tempfile::TempDir;
use tower::ServiceExt;

static STORY: LazyLock<Vec<Operation>> = LazyLock::new(|| demo::operations(23));

/// The throwing station of the demo evening.
const THROWS: &str = "/floor/2";

struct Gym {
    house: Arc<House>,
    router: Router,
    _folder: TempDir,
}

impl Gym {
    /// The demo gym on its evening, before the first set.
    async fn demo() -> Self {
        let folder = TempDir::new().unwrap();
        let store = SqliteStore::open(folder.path()).await.unwrap();
        for batch in STORY.chunks(2000) {
            store.append(batch).await.unwrap();
        }
        let story: Timestamp = "2026-09-23T16:40:00Z".parse().unwrap();
        let zone = TimeZone::posix("GMT0BST,M3.5.0/1,M10.5.0").unwrap();
        let clock = Clock::telling(story, Timestamp::now(), zone);
        drop(store);
        let house = support::house(folder.path(), clock).await;
        let router = support::pages(Arc::clone(&house));
        Self { house, router, _folder: folder }
    }

    async fn get(&self, path: &str) -> String {
        let request = Request::get(path).body(Body::empty()).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        assert_eq!(response.status(), StatusCode::OK, "{path}");
        let bytes = to_bytes(response.into_body(), usize::MAX).await.unwrap();
        String::from_utf8(bytes.to_vec()).unwrap()
    }

    async fn post(&self, path: &str, form: &str) -> String {
        let request = Request::post(path)
            .header(HOST, "gym.local:8080")
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header("content-length", form.len())
            .header(ACCEPT, "application/json")
            .body(Body::from(form.to_owned()))
            .unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let bytes = to_bytes(response.into_body(), usize::MAX).await.unwrap();
        String::from_utf8(bytes.to_vec()).unwrap()
    }

    async fn kept(&self, path: &str, form: &str) {
        let answer = self.post(path, form).await;
        assert!(answer.contains("\"kept\":true"), "{path} {form}: {answer}");
    }

    /// Rear-hand throws of one set, each as read and confirmed, and the set closed.
    async fn throws(&self, athlete: &str, values: &[f64]) {
        self.kept(&format!("{THROWS}/turn"), &format!("athlete={athlete}")).await;
        for value in values {
            let form = format!("athlete={athlete}&side=rear&text={value:.2}&chosen={value:.2}");
            self.kept(&format!("{THROWS}/rep"), &form).await;
        }
        self.kept(&format!("{THROWS}/close"), &format!("athlete={athlete}")).await;
    }

    /// What every number of the evening, every best and every model rests on.
    async fn record(&self) -> Vec<String> {
        let ledger = self.house.keeper.ledger();
        let gym = ledger.gym();
        let mut lines = Vec::new();
        for id in gym.athletes.keys() {
            for rep in gym.reps_of(id) {
                let RepEntry { exercise, side, load, box_height, value, .. } = &rep.entry;
                let set = rep.set;
                lines.push(format!(
                    "{id} {exercise} {side:?} {load:?} {box_height:?} {value:?} {set}"
                ));
            }
            for exercise in self.house.exercises.in_order() {
                for side in [None, Some(Side::Rear), Some(Side::Lead)] {
                    let line =
                        profiles::velocity(&self.house, gym, id, exercise, side, PROFILE_DAYS);
                    lines.extend(line.ok().map(|line| format!("{id} {:?}", line.value)));
                }
                let momentum =
                    self.house.profiles.momentum(&self.house, gym, id, exercise, PROFILE_DAYS);
                lines.extend(
                    momentum
                        .ok()
                        .map(|momentum| format!("{id} {:?}", momentum.profile.value.peak())),
                );
            }
            for station in 1..=4 {
                let closed = gym.evening.as_ref().unwrap().sets_closed(station, id);
                lines.push(format!("{id} closed {closed} at {station}"));
            }
        }
        lines
    }

    /// What the history says a rear throw of an athlete would be tonight.
    async fn expected_throw(&self, athlete: &str) -> f64 {
        self.expected(athlete, 2, Some(Side::Rear), Method::Sensor).await
    }

    /// What the history says the next rep of an athlete at a station would be, in SI units.
    async fn expected(&self, athlete: &str, at: u8, side: Option<Side>, method: Method) -> f64 {
        let ledger = self.house.keeper.ledger();
        let gym = ledger.gym();
        let id = AthleteId::new(athlete).unwrap();
        let station = gym.evening.as_ref().unwrap().plan.station(at).unwrap();
        let entry = RepEntry {
            athlete: id.clone(),
            exercise: station.exercise.clone(),
            station: Some(at),
            load: gym.load_at(station, &id),
            box_height: None,
            side,
            value: None,
            contact_time: None,
            method,
            at: self.house.clock().now(),
        };
        let day = expected::day_share(&self.house, gym, &entry);
        expected::of(&self.house, gym, &entry, entry.at, day).unwrap().expected
    }
}

#[tokio::test]
async fn a_set_of_another_is_asked_about_and_one_tap_makes_it_a_clean_entry() {
    // Three throws of 3.5 while A01 is selected and A04 is in the rotation (the card has A01 at
    // 2.6 and A04 at 3.1 to 3.4 m/s).
    let wrong = Gym::demo().await;
    wrong.throws("A01", &[3.50, 3.46, 3.52]).await;
    let page = wrong.get(THROWS).await;
    let asked = between(&page, "? Was this", "Method wrong-athlete-likelihood");
    assert!(asked.contains("Ikembe (A04)"), "the question is put: {asked}");
    assert!(asked.contains("Yes, Ikembe"), "and is one tap from its answer: {asked}");
    assert!(wrong.get("/").await.contains("Ikembe (A04)"), "and on the desk");
    let first = first_rep(&wrong, "A01").await;
    wrong.kept(&format!("{THROWS}/whose"), &format!("athlete=A04&rep={first}")).await;
    assert!(!wrong.get(THROWS).await.contains("Was this"), "it is settled");

    let clean = Gym::demo().await;
    clean.throws("A04", &[3.50, 3.46, 3.52]).await;
    assert_eq!(wrong.record().await, clean.record().await);
}

#[tokio::test]
async fn a_no_is_kept_and_changes_nothing() {
    let gym = Gym::demo().await;
    gym.throws("A01", &[3.50, 3.46, 3.52]).await;
    let before = gym.record().await;
    let first = first_rep(&gym, "A01").await;
    gym.kept(&format!("{THROWS}/whose"), &format!("athlete=A01&rep={first}")).await;
    assert_eq!(gym.record().await, before);
    assert!(!gym.get(THROWS).await.contains("Was this"));
    let again = gym.post(&format!("{THROWS}/whose"), &format!("athlete=A04&rep={first}")).await;
    assert!(again.contains("settled already"), "{again}");
}

#[tokio::test]
async fn ones_own_set_is_not_asked_about() {
    let gym = Gym::demo().await;
    for athlete in ["A01", "A04", "A07"] {
        let usual = gym.expected_throw(athlete).await;
        gym.throws(athlete, &[usual, usual * 1.03, usual * 0.97]).await;
        assert!(!gym.get(THROWS).await.contains("Was this"), "{athlete}");
    }
    assert!(!gym.get("/").await.contains("sensor was moved"));
}

#[tokio::test]
async fn three_athletes_up_together_are_a_moved_sensor() {
    let gym = Gym::demo().await;
    for athlete in ["A03", "A05", "A07"] {
        let usual = gym.expected_throw(athlete).await;
        gym.throws(athlete, &[usual + 0.12, usual + 0.13, usual + 0.11]).await;
    }
    for page in [THROWS, "/"] {
        let page = gym.get(page).await;
        assert!(page.contains("check whether the sensor was moved"));
        assert!(page.contains("Put it back on its mark"), "and what to do");
    }
}

#[tokio::test]
async fn a_jump_far_above_the_expected_is_asked_about_and_kept_until_someone_says() {
    let gym = Gym::demo().await;
    let usual_m = gym.expected("A03", 3, None, Method::FlightTime).await;
    gym.kept("/floor/3/turn", "athlete=A03").await;
    let rep =
        |height_m: f64| format!("athlete=A03&text={:.1}&chosen={height_m:.3}", 100.0 * height_m);
    gym.kept("/floor/3/rep", &rep(usual_m)).await;
    assert!(!gym.get("/floor/3").await.contains("Was it landed bent"), "a usual jump is not");
    gym.kept("/floor/3/rep", &rep(1.3 * usual_m)).await;
    let page = gym.get("/floor/3").await;
    let asked = between(&page, "Was it landed bent?", "Method rep-surprise");
    let first = between(asked, "name=\"rep\" value=\"", "\">");
    let id = first.rsplit('"').next().unwrap();
    let counts = || async {
        let ledger = gym.house.keeper.ledger();
        ledger.gym().rep(id.parse().unwrap()).unwrap().counts()
    };
    assert!(counts().await, "it is offered for a look, not dropped");
    gym.kept("/floor/3/fault", &format!("rep={id}&fault=bent-landing")).await;
    assert!(!counts().await);
    assert!(!gym.get("/floor/3").await.contains("Was it landed bent"), "it is settled");
}

#[tokio::test]
async fn women_are_ranked_among_women_with_body_mass_taken_out() {
    let gym = Gym::demo().await;
    let page = gym.get("/athlete/A01").await;
    let peers = between(&page, "id=\"peers\"", "</section>");
    let pull = between(peers, "Isometric pull", "why-peers-pull");
    assert!(pull.contains("among 5 women of all levels"), "{pull}");
    assert!(pull.contains("Adjusted for body mass, to the power 0.67"), "{pull}");
    assert!(pull.contains("third (anywhere "), "few peers are said in thirds: {pull}");
    assert!(peers.contains("No published figures"));
    assert!(peers.contains("8 of the other sex are not ranked with these"));
}

#[tokio::test]
async fn the_squad_page_has_everyone_once_a_yardstick_and_sorts_without_script() {
    let gym = Gym::demo().await;
    let page = gym.get("/squad?sort=name").await;
    for yardstick in ["jump", "momentum", "pull", "throw"] {
        let section = between(&page, &format!("id=\"{yardstick}\""), "</section>");
        for code in gym.house.keeper.ledger().gym().athletes.keys() {
            let link = format!("href=\"/athlete/{code}");
            assert_eq!(section.matches(&link).count(), 1, "{yardstick} {code}");
        }
    }
    let jump = between(&page, "id=\"jump\"", "</section>");
    let place = |name: &str| jump.find(name).unwrap();
    // Women first, then men, each in the order of names.
    let names = ["Mirelle", "Oriel", "Suhaila", "Tindra", "Yevka", "Zofka", "Bram", "Callow"];
    assert!(names.windows(2).all(|pair| place(pair[0]) < place(pair[1])));
    assert!(jump.contains("/squad?sort=mass#jump"), "headings are links");
}

#[tokio::test]
async fn two_methods_are_not_mixed_and_the_known_offset_is_one_tap_away() {
    let gym = Gym::demo().await;
    let page = gym.get("/athlete/A03").await;
    assert!(page.contains("No change is claimed: method was take-off velocity before"));
    assert!(page.contains("methods=aligned\">Compare with the mat"), "the offset is offered");
    let aligned = gym.get("/athlete/A03?days=28&methods=aligned").await;
    assert!(!aligned.contains("No change is claimed"));
    assert!(aligned.contains("doubt of the conversion is in the answer"));
}

#[tokio::test]
async fn the_desk_names_at_most_three_tests_that_fit_twelve_minutes() {
    let gym = Gym::demo().await;
    let page = gym.get("/").await;
    let tests = between(&page, "Tests worth doing", "</section>");
    let count = tests.matches("chance to change whether").count();
    assert!((1..=3).contains(&count), "{count}");
    let minutes: f64 = tests
        .split(" min): ")
        .filter_map(|before| before.rsplit_once('(')?.1.parse::<f64>().ok())
        .sum();
    assert!(minutes > 0.0 && minutes <= 12.0, "{minutes}");
}

#[tokio::test]
async fn sides_camps_and_primers_are_answered_each_with_its_doubt() {
    let gym = Gym::demo().await;
    let model_pupil = gym.get("/athlete/A04").await;
    assert!(model_pupil.contains("than test noise (two equal sides differ by about "));
    assert!(model_pupil.contains("Method sides-log-ratio"));
    let primer = between(&model_pupil, "id=\"primer\"", "</section>");
    // The story adds most at eight minutes.
    assert!(primer.contains("Best 8 min after the primer"), "{primer}");
    for delay in ["4 min", "8 min", "12 min"] {
        assert!(primer.contains(&format!("<td class=\"number\">{delay}</td>")), "{delay}");
    }
    let veteran = gym.get("/athlete/B01").await;
    let camps = between(&veteran, "From earlier camps", "Method within-athlete-priors");
    assert!(camps.contains("From 3 own camps") && camps.contains("% own"), "{camps}");
    assert!(!model_pupil.contains("From earlier camps"), "who has none is told nothing");
}

#[tokio::test]
async fn a_newcomer_borrows_from_the_squad_and_is_told_how_much() {
    let gym = Gym::demo().await;
    let entered = "code=K01&name=Ottmar+Greywether&age=22&sex=male&stance=orthodox&level=elite";
    gym.kept("/athlete", entered).await;
    gym.kept("/athlete/K01/mass", "text=71.5").await;
    gym.kept("/athlete/K01/jump", "load=none&text=40.5").await;
    let page = gym.get("/athlete/K01").await;
    let borrowed = between(&page, "Most momentum at", "</p>");
    assert!(borrowed.contains("1 own jump"), "{borrowed}");
    assert!(borrowed.contains("squad members"), "{borrowed}");
    assert!(page.contains("Method pooled-load-momentum"));
    assert!(page.contains("A change needs a test day before the block"));
    // What is known of others is no place among them.
    assert!(
        gym.get("/squad")
            .await
            .contains("Ottmar Greywether</a>, not known yet, no jump with a load")
    );
}

async fn first_rep(gym: &Gym, athlete: &str) -> String {
    let ledger = gym.house.keeper.ledger();
    let id = AthleteId::new(athlete).unwrap();
    let of_station = |rep: &&Rep| rep.entry.station == Some(2) && rep.set == 1;
    let gym = ledger.gym();
    let rep = gym.reps_at(2).filter(|rep| rep.entry.athlete == id).find(of_station).unwrap();
    assert_ne!(rep.entry.load, Load::none());
    rep.id.to_string()
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let start = text.find(from).unwrap_or_else(|| panic!("no {from}"));
    let rest = &text[start..];
    &rest[..rest.find(to).unwrap_or(rest.len())]
}
