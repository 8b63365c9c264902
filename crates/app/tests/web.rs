//! What the pages promise over HTTP, without a browser: who may post, what comes back, what is
//! never let through.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

mod support;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{
    ACCEPT, CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, LOCATION, ORIGIN, REFERER,
};
use axum::http::{HeaderMap, Request, StatusCode};
use cornerwork::flow::clock::Clock;
use jiff::tz::TimeZone;
use serde_json::Value;
use tempfile::TempDir;
use tower::ServiceExt;

/// An empty gym in a folder of its own.
struct Gym {
    router: Router,
    _folder: TempDir,
}

/// What came back.
struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    text: String,
}

impl Answer {
    fn header(&self, name: impl axum::http::header::AsHeaderName) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    fn json(&self) -> Value {
        assert_eq!(self.header(CONTENT_TYPE), "application/json");
        serde_json::from_str(&self.text).unwrap()
    }
}

impl Gym {
    async fn empty() -> Self {
        let folder = TempDir::new().unwrap();
        let house = support::house(folder.path(), Clock::machine(TimeZone::UTC)).await;
        Self { router: support::pages(house), _folder: folder }
    }

    /// With two athletes and the evening open: both stand at station 1 and 2.
    async fn open() -> Self {
        let gym = Self::empty().await;
        for (code, name) in [("B01", "Ottilie Marrowby"), ("B02", "Perrin Askelow")] {
            let form =
                format!("code={code}&name={name}&age=23&sex=female&stance=orthodox&level=elite");
            assert_eq!(gym.post("/athlete", &form).await.json()["kept"], true);
        }
        let form = "what=open&athlete=B01&athlete=B02";
        assert_eq!(gym.post("/evening", form).await.json()["kept"], true);
        for code in ["B01", "B02"] {
            let form = format!("athlete={code}&cm=30");
            assert_eq!(gym.post("/floor/1/box", &form).await.json()["kept"], true);
        }
        gym
    }

    async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let bytes = to_bytes(body, usize::MAX).await.unwrap();
        let text = String::from_utf8(bytes.to_vec()).unwrap();
        Answer { status: parts.status, headers: parts.headers, text }
    }

    async fn get(&self, path: &str) -> Answer {
        self.send(Request::get(path).body(Body::empty()).unwrap()).await
    }

    /// A form as the script sends it.
    async fn post(&self, path: &str, form: &str) -> Answer {
        self.send(form_to(path, form).header(ACCEPT, "application/json").body(body(form)).unwrap())
            .await
    }

    /// A form as a browser without script sends it from a page.
    async fn post_plain(&self, path: &str, form: &str, from: &str) -> Answer {
        let referer = format!("http://gym.local:8080{from}");
        self.send(form_to(path, form).header(REFERER, referer).body(body(form)).unwrap()).await
    }

    /// What the record holds of B01, as the page says it.
    async fn reps(&self) -> usize {
        let page = self.get("/athlete/B01").await.text;
        page.matches("href=\"/rep/").count()
    }
}

fn form_to(path: &str, form: &str) -> axum::http::request::Builder {
    Request::post(path)
        .header(HOST, "gym.local:8080")
        .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
        .header("content-length", form.len())
}

fn body(form: &str) -> Body {
    Body::from(form.to_owned())
}

#[tokio::test]
async fn a_page_of_another_site_may_not_change_the_record() {
    let gym = Gym::open().await;
    let form = "athlete=B01&text=32.4";
    for (name, value) in [
        ("origin", "http://elsewhere.example"),
        ("origin", "http://gym.local:9090"),
        ("origin", "null"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
    ] {
        let request = form_to("/floor/1/rep", form).header(name, value).body(body(form)).unwrap();
        let answer = gym.send(request).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{name}: {value}");
    }
    assert_eq!(gym.reps().await, 0);
    let own = form_to("/floor/1/rep", form)
        .header(ORIGIN, "http://gym.local:8080")
        .header("sec-fetch-site", "same-origin")
        .body(body(form))
        .unwrap();
    assert_eq!(gym.send(own).await.status, StatusCode::SEE_OTHER);
    assert_eq!(gym.reps().await, 1);
}

#[tokio::test]
async fn every_page_comes_with_a_policy_that_keeps_other_scripts_out() {
    let gym = Gym::open().await;
    for path in ["/", "/floor", "/floor/1", "/wall", "/join", "/athlete/B01", "/nowhere"] {
        let answer = gym.get(path).await;
        let policy = answer.header(CONTENT_SECURITY_POLICY);
        assert!(policy.contains("default-src 'self'"), "{path}: {policy}");
        assert!(policy.contains("frame-ancestors 'none'"), "{path}: {policy}");
        let scripts = policy.split(';').any(|part| part.trim().starts_with("script-src"));
        assert!(!scripts && !policy.contains("unsafe-eval"), "{path}: {policy}");
        assert_eq!(answer.header("x-content-type-options"), "nosniff", "{path}");
    }
}

#[tokio::test]
async fn what_is_not_here_is_not_found() {
    let gym = Gym::open().await;
    for path in [
        "/nowhere",
        "/athlete/NOBODY",
        "/athlete/%3Cscript%3E",
        "/floor/9",
        "/rep/00000000000000000000000000000001",
        "/rep/none",
        "/assets/style.css",
        "/assets/..%2f..%2fCargo.toml",
    ] {
        assert_eq!(gym.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    let answer = gym.post("/floor/9/rep", "athlete=B01&text=32.4").await;
    assert_eq!(answer.json()["refused"], "There is no such station tonight. Reload the page.");
}

#[tokio::test]
async fn a_rep_is_answered_in_json_and_once() {
    let gym = Gym::open().await;
    let form = "id=019977770000700080000000000000a1&athlete=B01&text=32.4";
    for _ in 0..2 {
        let answer = gym.post("/floor/1/rep", form).await;
        assert_eq!((answer.status, &answer.json()["kept"]), (StatusCode::OK, &Value::Bool(true)));
    }
    assert_eq!(gym.reps().await, 1);
}

#[tokio::test]
async fn a_slip_is_answered_with_what_may_have_been_meant() {
    let gym = Gym::open().await;
    let answer = gym.post("/floor/1/rep", "athlete=B01&text=275").await.json();
    assert_eq!(answer["kept"], false);
    assert_eq!(answer["ask"], "Ottilie, station 1: 275? That cannot be.");
    assert_eq!(answer["offers"][0]["sentence"], "27.5 cm?");
    assert_eq!(answer["offers"][0]["fields"][0], serde_json::json!(["chosen", "0.275"]));
    assert_eq!(gym.reps().await, 0);
    let chosen = gym.post("/floor/1/rep", "athlete=B01&text=275&chosen=0.275").await;
    assert_eq!(chosen.json()["kept"], true);
    assert_eq!(gym.reps().await, 1);
}

#[tokio::test]
async fn two_events_of_one_rep_are_flagged_and_the_second_can_be_dropped() {
    let gym = Gym::open().await;
    // Sent together, done within half a second of each other by the device's own clock.
    gym.post("/floor/1/rep", "athlete=B01&text=32.4&age_ms=5000").await;
    gym.post("/floor/1/rep", "athlete=B01&text=32.9&age_ms=5200").await;
    let page = gym.get("/floor/1").await.text;
    assert!(page.contains("Drop the second, 32.9 cm"), "{page}");
    assert_eq!(gym.reps().await, 2, "nothing is dropped silently");
    let operation = page.split("name=\"operation\" value=\"").nth(1).unwrap();
    let operation = operation.split('"').next().unwrap();
    gym.post("/undo", &format!("operation={operation}")).await;
    assert_eq!(gym.reps().await, 1);
    // A rep later is a rep.
    gym.post("/floor/1/rep", "athlete=B01&text=33.4").await;
    assert!(!gym.get("/floor/1").await.text.contains("counted twice"));
}

#[tokio::test]
async fn what_cannot_be_is_refused_even_when_chosen() {
    let gym = Gym::open().await;
    for chosen in ["2.75", "-0.3", "NaN", "inf", "1e300"] {
        let answer = gym.post("/floor/1/rep", &format!("athlete=B01&text=1&chosen={chosen}")).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{chosen}");
        assert_eq!(answer.json()["refused"], "That value cannot be. Type it again.");
    }
    assert_eq!(gym.reps().await, 0);
}

#[tokio::test]
async fn a_box_is_one_that_can_be() {
    let gym = Gym::open().await;
    for cm in ["NaN", "inf", "-30", "0", "3000", "", "high"] {
        let answer = gym.post("/floor/1/box", &format!("athlete=B01&cm={cm}")).await;
        assert_eq!(answer.json()["kept"], false, "{cm}");
    }
    let answer = gym.post("/floor/1/box", "athlete=B01&cm=40").await;
    assert_eq!(answer.json()["kept"], true);
    assert!(gym.get("/floor/1").await.text.contains("box 40 cm"));
}

#[tokio::test]
async fn entries_that_make_no_sense_get_a_sentence() {
    let gym = Gym::open().await;
    for (path, form) in [
        ("/floor/1/rep", "text=32.4"),
        ("/floor/1/rep", "athlete=B99&text=32.4"),
        ("/floor/1/rep", "athlete=B01&text="),
        ("/floor/1/rep", "athlete=B01&text=fast"),
        ("/floor/1/load", "athlete=B01&load=no-bar:20000"),
        ("/floor/1/load", "athlete=B01&load=NaN:NaN"),
        ("/floor/1/fault", "rep=1&fault=heels-slap"),
        ("/floor/1/dance", "athlete=B01"),
        ("/athlete/B01/mass", "text=heavy"),
        ("/athlete/B99/mass", "text=61.4"),
        ("/athlete/B01/jump", "load=none&text="),
        ("/athlete", "code=B01&name=Again&age=23"),
        ("/athlete", "code=B-1&name=Odd&age=23"),
        ("/athlete", "code=B03&name=&age=23"),
        ("/athlete", "code=B03&name=Young&age=two"),
        ("/undo", "operation=019977770000700080000000000000ff"),
        ("/evening", "what=open&athlete=B01"),
    ] {
        let answer = gym.post(path, form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path} {form}");
        let answer = answer.json();
        let sentence = answer["refused"].as_str().unwrap();
        assert!(sentence.ends_with('.') && sentence.len() > 12, "{path} {form}: {sentence}");
    }
    assert_eq!(gym.reps().await, 0);
}

#[tokio::test]
async fn a_form_has_a_largest_size() {
    let gym = Gym::open().await;
    let long = format!("athlete=B01&text=32.4&author={}", "x".repeat(70_000));
    let answer = gym.post("/floor/1/rep", &long).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(gym.reps().await, 0);
}

#[tokio::test]
async fn a_name_is_text_wherever_it_stands() {
    let gym = Gym::empty().await;
    let hostile = "%3Cscript%3Ealert(1)%3C/script%3E%22onload=%22x";
    let form = format!("code=B01&name={hostile}&age=23&level={hostile}&sex=female&stance=orthodox");
    assert_eq!(gym.post("/athlete", &form).await.json()["go"], "/athlete/B01");
    gym.post("/evening", "what=open&athlete=B01").await;
    gym.post("/floor/1/box", "athlete=B01&cm=30").await;
    gym.post("/floor/1/rep", &format!("athlete=B01&text=32.4&author={hostile}")).await;
    let station = gym.get("/floor/1").await.text;
    let story = station.split("href=\"/rep/").nth(1).and_then(|rest| rest.split('"').next());
    let rep = format!("/rep/{}", story.unwrap());
    for path in ["/", "/floor", "/floor/1", "/wall", "/athlete/B01", &rep] {
        let page = gym.get(path).await.text;
        assert!(!page.contains("<script>alert"), "{path}");
        assert!(!page.contains("\"onload=\""), "{path}");
        assert!(page.contains("&lt;script&gt;"), "{path} shows the name as text");
    }
    let question = gym
        .post_plain("/floor/1/rep", &format!("athlete=B01&text=275&author={hostile}"), "/floor/1")
        .await;
    assert!(question.text.contains("Which was meant?"));
    assert!(!question.text.contains("<script>alert"));
}

#[tokio::test]
async fn without_script_a_form_leads_back_to_its_page() {
    let gym = Gym::open().await;
    let kept = gym.post_plain("/floor/1/rep", "athlete=B01&text=32.4", "/floor/1").await;
    assert_eq!((kept.status, kept.header(LOCATION)), (StatusCode::SEE_OTHER, "/floor/1"));

    let question = gym.post_plain("/floor/1/rep", "athlete=B01&text=275", "/floor/1").await;
    assert_eq!(question.status, StatusCode::OK);
    assert!(question.text.contains("name=\"back\" value=\"/floor/1\""), "{}", question.text);
    let form = "athlete=B01&text=275&chosen=0.275&back=/floor/1";
    let answered = gym.post_plain("/floor/1/rep", form, "/floor/1/rep").await;
    assert_eq!(answered.header(LOCATION), "/floor/1");

    for elsewhere in ["//elsewhere.example/", "/%5Celsewhere.example/", "http://elsewhere.example/"]
    {
        let form = format!("athlete=B01&back={elsewhere}");
        let lured = gym.post_plain("/floor/1/missed", &form, "/floor/1").await;
        assert_eq!(lured.header(LOCATION), "/floor/1", "never to another site");
    }
}

#[tokio::test]
async fn style_and_script_may_be_kept_and_pages_may_not_be_stale() {
    let gym = Gym::empty().await;
    let page = gym.get("/").await;
    assert_eq!(page.header(CACHE_CONTROL), "no-store");
    for ending in [".css\"", ".js\""] {
        let at = page.text.find(ending).unwrap() + ending.len() - 1;
        let address = page.text[..at].rsplit('"').next().unwrap();
        let asset = gym.get(address).await;
        assert_eq!(asset.status, StatusCode::OK, "{address}");
        assert!(asset.header(CACHE_CONTROL).contains("immutable"), "{address}");
    }
}
