//! Recordings over HTTP: handed in, confirmed, remembered, put right, set aside, taken back.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

mod support;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{ACCEPT, CONTENT_TYPE};
use axum::http::{Request, StatusCode};
use cornerwork::flow::clock::Clock;
use cornerwork_testkit::synthetic::bar_stroke::Stroke;
use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use cornerwork_testkit::synthetic::hops::half_sines;
use cornerwork_testkit::synthetic::isometric::exponential;
use jiff::tz::TimeZone;
use serde_json::Value;
use tempfile::TempDir;
use tower::ServiceExt;

struct Gym {
    router: Router,
    _folder: TempDir,
}

impl Gym {
    /// With two athletes.
    async fn open() -> Self {
        let folder = TempDir::new().unwrap();
        let house = support::house(folder.path(), Clock::machine(TimeZone::UTC)).await;
        let gym = Self { router: support::pages(house), _folder: folder };
        for (code, name) in [("B01", "Ottilie Marrowby"), ("B02", "Perrin Askelow")] {
            let form =
                format!("code={code}&name={name}&age=23&sex=female&stance=orthodox&level=elite");
            assert_eq!(gym.post("/athlete", &form).await["kept"], true);
        }
        gym
    }

    async fn send(&self, request: Request<Body>) -> (StatusCode, Vec<u8>) {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let status = response.status();
        (status, to_bytes(response.into_body(), usize::MAX).await.unwrap().to_vec())
    }

    async fn page(&self, path: &str) -> String {
        let (_, bytes) = self.send(Request::get(path).body(Body::empty()).unwrap()).await;
        String::from_utf8(bytes).unwrap()
    }

    async fn post(&self, path: &str, form: &str) -> Value {
        let request = Request::post(path)
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(ACCEPT, "application/json")
            .body(Body::from(form.to_owned()))
            .unwrap();
        serde_json::from_slice(&self.send(request).await.1).unwrap()
    }

    /// Files handed in, each with what is said of all of them.
    async fn hand_in(&self, said: &[(&str, &str)], files: &[(&str, &[u8])]) -> Value {
        let request = multipart().header(ACCEPT, "application/json");
        let body = body_of(said, files);
        let (_, bytes) = self.send(request.body(Body::from(body)).unwrap()).await;
        serde_json::from_slice(&bytes).unwrap()
    }

    /// One jump of B01 on file with its numbers; its address.
    async fn jump(&self) -> String {
        let told = self.hand_in(&JUMP_OF_B01, &[("jump.csv", &file(75.0))]).await;
        let path = told["files"][0]["trace"].as_str().unwrap().to_owned();
        let form = format!("{}&{CONFIRM}", waits(&path));
        assert_eq!(self.post("/traces/columns", &form).await["kept"], true);
        path
    }
}

const BOUNDARY: &str = "a-line-that-stands-in-no-file";
const JUMP_OF_B01: [(&str, &str); 2] = [("athlete", "B01"), ("kind", "countermovement-jump")];
const CONFIRM: &str = "column=time_ms&role=time&unit=ms&column=force_n&role=force&unit=N";

fn waits(path: &str) -> String {
    format!("trace={}", path.trim_start_matches("/trace/"))
}

fn multipart() -> axum::http::request::Builder {
    let kind = format!("multipart/form-data; boundary={BOUNDARY}");
    Request::post("/traces").header(CONTENT_TYPE, kind)
}

fn body_of(said: &[(&str, &str)], files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, value) in said {
        let part =
            format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n");
        body.extend(format!("{part}{value}\r\n").into_bytes());
    }
    for (name, bytes) in files {
        let head = format!(
            "--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\r\n"
        );
        body.extend(head.into_bytes());
        body.extend(*bytes);
        body.extend(b"\r\n");
    }
    body.extend(format!("--{BOUNDARY}--\r\n").into_bytes());
    body
}

/// A jump whose every number is known, as a plate would write it.
fn file(mass_kg: f64) -> Vec<u8> {
    let force = SmoothJump { mass_kg, ..SmoothJump::default() }.force_n(1000.0);
    let rows: String = force.iter().enumerate().map(|(i, f)| format!("{i},{f:.2}\n")).collect();
    format!("time_ms,force_n\n{rows}").into_bytes()
}

/// The words in a page without its tags.
fn words(page: &str) -> String {
    let mut inside = false;
    let kept = page.chars().filter(|letter| {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                return false;
            }
            _ => {}
        }
        !inside
    });
    kept.collect()
}

#[tokio::test]
async fn a_file_waits_for_its_columns_and_the_next_one_does_not() {
    let gym = Gym::open().await;
    let told =
        gym.hand_in(&JUMP_OF_B01, &[("one.csv", &file(70.0)), ("two.csv", &file(71.0))]).await;
    assert_eq!(told["files"][0]["state"], "confirm");
    let page = gym.page("/traces").await;
    assert!(page.contains("Which column is what?") && page.contains("2 files"), "{page}");
    assert!(page.contains("option value=\"force\" selected"), "the guess stands there");
    assert!(page.contains("<td class=\"number\">686.4"), "beside the first rows: {page}");

    let traces: Vec<&str> = (0..2).map(|i| told["files"][i]["trace"].as_str().unwrap()).collect();
    let form =
        format!("{}&{}&{CONFIRM}&name=Plate in the corner", waits(traces[0]), waits(traces[1]));
    assert_eq!(gym.post("/traces/columns", &form).await["kept"], true);
    let page = gym.page("/traces").await;
    assert!(!page.contains("Which column is what?"));
    // SmoothJump: v²/(2g) of its own formulas.
    let height_cm = SmoothJump::default().truth().height_m * 100.0;
    assert_eq!(page.matches(&format!("{height_cm:.1} cm")).count(), 2, "{page}");

    let told = gym.hand_in(&JUMP_OF_B01, &[("three.csv", &file(72.0))]).await;
    assert_eq!(told["files"][0]["state"], "filed");
    let said = told["files"][0]["words"].as_str().unwrap();
    assert!(said.contains("read as \"Plate in the corner\""), "{said}");
}

#[tokio::test]
async fn the_same_file_is_known_again_and_what_is_none_is_refused_with_a_sentence() {
    let gym = Gym::open().await;
    let path = gym.jump().await;
    let told =
        gym.hand_in(&[("athlete", "B02"), ("kind", "bar")], &[("again.csv", &file(75.0))]).await;
    assert_eq!(told["files"][0]["state"], "here");
    assert_eq!(told["files"][0]["trace"], path.as_str());
    for (said, name, bytes, why) in [
        (&JUMP_OF_B01[..], "empty.csv", &b""[..], "empty"),
        (&JUMP_OF_B01[..], "words.csv", b"no,numbers\nhere,at all\n", "rows of numbers"),
        (&JUMP_OF_B01[..], "zero.bin", b"\0\0\0\0\0\0", "zero byte"),
        (&[("athlete", ""), ("kind", "squat-jump")][..], "x.csv", b"1\n2\n3\n", "Whose"),
        (&[("athlete", "Z99"), ("kind", "squat-jump")][..], "x.csv", b"1\n2\n3\n", "no athlete"),
        (
            &[("athlete", "by-name"), ("kind", "squat-jump")][..],
            "x.csv",
            b"1\n2\n",
            "names no athlete",
        ),
        (&[("athlete", "B01"), ("kind", "by-name")][..], "x.csv", b"1\n2\n3\n", "names no kind"),
        (&[("athlete", "B01"), ("kind", "bar")][..], "x.csv", b"1\n2\n3\n", "Which exercise"),
        (&[JUMP_OF_B01[0], JUMP_OF_B01[1], ("load", "heavy")][..], "x.csv", b"1\n2\n", "no load"),
        (
            &[JUMP_OF_B01[0], JUMP_OF_B01[1], ("load", "4000")][..],
            "x.csv",
            b"1\n2\n",
            "0 to 400 kg",
        ),
        (&[JUMP_OF_B01[0], JUMP_OF_B01[1], ("day", "tomorrow")][..], "x.csv", b"1\n2\n", "no day"),
        (
            &[JUMP_OF_B01[0], JUMP_OF_B01[1], ("day", "2999-01-01")][..],
            "x.csv",
            b"1\n2\n",
            "not come yet",
        ),
    ] {
        let told = gym.hand_in(said, &[(name, bytes)]).await;
        assert_eq!(told["files"][0]["state"], "refused", "{told}");
        let sentence = told["files"][0]["words"].as_str().unwrap();
        assert!(sentence.contains(why), "{why}: {sentence}");
    }
    assert_eq!(gym.page("/traces").await.matches("href=\"/trace/").count(), 1, "nothing was kept");
}

#[tokio::test]
async fn a_rate_is_asked_for_and_never_taken_for_granted() {
    let gym = Gym::open().await;
    let force = SmoothJump::default().force_n(500.0);
    let rows: String = force.iter().map(|f| format!("{f:.2}\n")).collect();
    let told =
        gym.hand_in(&JUMP_OF_B01, &[("bare.csv", format!("Fz (N)\n{rows}").as_bytes())]).await;
    let path = told["files"][0]["trace"].as_str().unwrap().to_owned();
    assert!(gym.page("/traces").await.contains("the file does not say"));
    let form = format!("{}&column=1&role=force&unit=N", waits(&path));
    let told = gym.post("/traces/columns", &form).await;
    assert!(told["refused"].as_str().unwrap().contains("How many samples a second?"), "{told}");
    for (rate, why) in
        [("fast", "no rate"), ("0", "no rate"), ("-1", "no rate"), ("1e9", "no rate")]
    {
        let told = gym.post("/traces/columns", &format!("{form}&rate={rate}")).await;
        assert!(told["refused"].as_str().unwrap().contains(why), "{told}");
    }
    assert_eq!(gym.post("/traces/columns", &format!("{form}&rate=500")).await["kept"], true);
    assert!(words(&gym.page(&path).await).contains("at 500 samples a second"));
}

#[tokio::test]
async fn a_comma_that_could_be_either_is_asked_about() {
    let gym = Gym::open().await;
    let force = SmoothJump::default().force_n(1000.0);
    let rows: String = force.iter().map(|f| format!("{f:.2}\n").replace('.', ",")).collect();
    let told = gym.hand_in(&JUMP_OF_B01, &[("bare.csv", rows.as_bytes())]).await;
    assert_eq!(told["files"][0]["state"], "confirm", "{told}");
    let path = told["files"][0]["trace"].as_str().unwrap().to_owned();
    let page = gym.page("/traces").await;
    assert!(words(&page).contains("two columns, or one number with a decimal comma"), "{page}");
    assert_eq!(page.matches("name=\"column\"").count(), 2);
    let page = gym.page("/traces?decimal=comma").await;
    assert_eq!(page.matches("name=\"column\"").count(), 1);
    assert!(page.contains(&format!("<td class=\"number\">{:.1}", force[0])), "{page}");
    assert!(page.contains("name=\"decimal\" value=\"comma\""));

    let form = "column=1&role=force&unit=N&rate=1000&decimal=comma&name=the old plate";
    let told = gym.post("/traces/columns", &format!("{}&{form}", waits(&path))).await;
    assert_eq!(told["kept"], true, "{told}");
    let page = gym.page(&path).await;
    assert!(words(&page).contains("with decimal commas, at 1000 samples a second"));
    let height_cm = SmoothJump::default().truth().height_m * 100.0;
    assert!(gym.page("/traces").await.contains(&format!("{height_cm:.1} cm")));
    // The next of the kind is known by its columns as they are found.
    let rows = rows.replacen('1', "2", 1);
    let told = gym.hand_in(&JUMP_OF_B01, &[("next.csv", rows.as_bytes())]).await;
    assert_eq!(told["files"][0]["state"], "filed", "{told}");
}

/// A remembered way of reading may be the wrong one for a file: it is chosen anew, and taken back.
#[tokio::test]
async fn a_recording_that_is_read_already_is_read_anew() {
    let gym = Gym::open().await;
    let path = gym.jump().await;
    let page = gym.page(&path).await;
    let anew = format!("/traces?anew={}", path.trim_start_matches("/trace/"));
    assert!(page.contains(&format!("href=\"{anew}\"")), "{page}");
    let mass = |page: &str| {
        let row = page.split("<th scope=\"row\">body mass</th>").nth(1).unwrap();
        row.split('>').nth(1).unwrap().split(['<', ' ']).next().unwrap().parse::<f64>().unwrap()
    };
    assert!((mass(&page) - 75.0).abs() < 0.01);
    let form = gym.page(&anew).await;
    assert!(words(&form).contains("is read already; read it anew") && form.contains(&path));
    // Pounds of force instead of newtons: a mass nobody has, and told as such.
    let kgf = "column=time_ms&role=time&unit=ms&column=force_n&role=force&unit=lbf";
    let told = gym.post("/traces/columns", &format!("{}&{kgf}", waits(&path))).await;
    assert_eq!(told["kept"], true, "{told}");
    let read_anew = gym.page(&path).await;
    // One pound-force is 4.4482216152605 N exactly (NIST SP 811, appendix B).
    assert!((mass(&read_anew) - 75.0 * 4.448_221_615_260_5).abs() < 0.05, "{}", mass(&read_anew));
    let newest = &read_anew.split("name=\"operation\" value=\"").nth(1).unwrap()[..32];
    assert_eq!(gym.post("/undo", &format!("operation={newest}")).await["kept"], true);
    assert!((mass(&gym.page(&path).await) - 75.0).abs() < 0.01);
}

#[tokio::test]
async fn a_way_of_reading_is_forgotten_and_remembered_again() {
    let gym = Gym::open().await;
    let path = gym.hand_in(&JUMP_OF_B01, &[("one.csv", &file(70.0))]).await;
    let path = path["files"][0]["trace"].as_str().unwrap().to_owned();
    let form = format!("{}&{CONFIRM}&name=Plate in the corner", waits(&path));
    assert_eq!(gym.post("/traces/columns", &form).await["kept"], true);
    let state = async |mass_kg: f64| {
        let told = gym.hand_in(&JUMP_OF_B01, &[("next.csv", &file(mass_kg))]).await;
        told["files"][0]["state"].as_str().unwrap().to_owned()
    };
    assert_eq!(state(71.0).await, "filed");

    let told = gym.post("/traces/forget", "name=some other").await;
    assert!(told["refused"].as_str().unwrap().contains("No way of reading"), "{told}");
    assert_eq!(gym.post("/traces/forget", "name=plate in the corner").await["kept"], true);
    let page = gym.page("/traces").await;
    assert!(words(&page).contains("Forgotten: “Plate in the corner”"), "{page}");
    assert!(words(&gym.page(&path).await).contains("flight time"), "what was read stays read");
    assert_eq!(state(72.0).await, "confirm");

    let by = page.split("Forgotten:").nth(1).unwrap();
    let by = &by.split("name=\"operation\" value=\"").nth(1).unwrap()[..32];
    assert_eq!(gym.post("/undo", &format!("operation={by}")).await["kept"], true);
    assert!(!gym.page("/traces").await.contains("Forgotten:"));
    assert_eq!(state(73.0).await, "filed");
}

#[tokio::test]
async fn the_coach_picks_which_trials_are_laid_over_each_other() {
    let gym = Gym::open().await;
    let path = gym.jump().await;
    let mut others = Vec::new();
    for (athlete, day, mass_kg) in
        [("B01", "2026-01-05", 76.0), ("B01", "2026-01-06", 77.0), ("B02", "2026-01-07", 61.0)]
    {
        let said = [("athlete", athlete), ("kind", "countermovement-jump"), ("day", day)];
        let told = gym.hand_in(&said, &[("other.csv", &file(mass_kg))]).await;
        let other = told["files"][0]["trace"].as_str().unwrap().to_owned();
        let form = format!("{}&{CONFIRM}", waits(&other));
        assert_eq!(gym.post("/traces/columns", &form).await["kept"], true);
        others.push(other.trim_start_matches("/trace/").to_owned());
    }
    let drawn = |page: &str| words(page).contains("trials laid over each other at take-off");
    let page = gym.page(&path).await;
    assert!(!drawn(&page), "no other is of the set of that day");
    assert_eq!(page.matches("type=\"checkbox\" name=\"with\"").count(), 3);
    assert!(words(&page).contains("Perrin Askelow, 7 Jan"), "others are offered by name");

    let two = format!("{path}?picked=yes&with={}&with={}", others[0], others[2]);
    let page = gym.page(&two).await;
    assert!(words(&page).contains("3 trials laid over each other at take-off"), "{page}");
    assert_eq!(page.matches("name=\"with\" value").count(), 3);
    assert_eq!(page.matches("\" checked").count(), 2);
    // Another stretch of time keeps what is picked.
    assert!(
        page.contains(&format!(
            "picked=yes&amp;with={}&amp;with={}&amp;from=",
            others[0], others[2]
        ))
    );

    // The one set aside is offered no more; nonsense in the address picks nothing.
    let aside = format!("/trace/{}", others[0]);
    assert_eq!(gym.post(&aside, "what=aside&reason=stumbled").await["kept"], true);
    let page = gym.page(&two).await;
    assert!(words(&page).contains("2 trials laid over each other"));
    assert!(!drawn(&gym.page(&format!("{path}?picked=yes&with=nonsense")).await));
}

#[tokio::test]
async fn an_event_is_moved_computed_anew_and_taken_back() {
    let gym = Gym::open().await;
    let path = gym.jump().await;
    let flight = |page: &str| {
        let row = page.split("<th scope=\"row\">flight time</th>").nth(1).unwrap();
        let cell = row.split('>').nth(1).unwrap();
        cell.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    let before = gym.page(&path).await;
    let truth = SmoothJump::default().truth();
    let flown_s = truth.landing_s - truth.take_off_s;
    assert!((flight(&before) - flown_s).abs() < 0.002, "{}", flight(&before));

    let form = format!("what=move&event=landing&seconds={:.3}&reason=seen", truth.landing_s - 0.1);
    assert_eq!(gym.post(&path, &form).await["kept"], true);
    let moved = gym.page(&path).await;
    assert!(words(&moved).contains("The landing was set by a person"));
    assert!((flight(&moved) - (flown_s - 0.1)).abs() < 0.002, "{}", flight(&moved));

    for (form, why) in [
        ("what=move&event=landing&seconds=1", "must come before"),
        ("what=move&event=landing&seconds=900", "does not reach there"),
        ("what=move&event=take-off&seconds=1", "nobody is in the air"),
        ("what=move&event=landing&seconds=soon", "no time"),
        ("what=move&event=touch-down&seconds=1", "cannot be moved"),
        ("what=move&event=lunch&seconds=1", "could not be read"),
        ("what=dance", "could not be read"),
    ] {
        let told = gym.post(&path, form).await;
        assert!(told["refused"].as_str().unwrap().contains(why), "{form}: {told}");
    }

    let newest = &moved.split("name=\"operation\" value=\"").nth(1).unwrap()[..32];
    assert_eq!(gym.post("/undo", &format!("operation={newest}")).await["kept"], true);
    assert_eq!(flight(&gym.page(&path).await), flight(&before));
}

#[tokio::test]
async fn set_aside_it_feeds_nothing_and_counted_again_it_does() {
    let gym = Gym::open().await;
    assert_eq!(gym.post("/athlete/B01/mass", "text=75.0").await["kept"], true);
    let path = gym.jump().await;
    let profile = words(&gym.page("/athlete/B01").await);
    assert!(profile.contains("1 jump"), "{profile}");
    let told = gym.post(&path, "what=aside&own_reason= ").await;
    assert!(told["refused"].as_str().unwrap().contains("why"), "{told}");
    assert_eq!(gym.post(&path, "what=aside&reason=not a full effort").await["kept"], true);
    assert!(words(&gym.page(&path).await).contains("Set aside: not a full effort"));
    assert!(words(&gym.page("/athlete/B01").await).contains("No jump on record yet."));
    assert_eq!(gym.post(&path, "what=back&own_reason=it was").await["kept"], true);
    assert!(words(&gym.page("/athlete/B01").await).contains("1 jump "));

    let anew = "what=anew&athlete=B02&kind=countermovement-jump&own_reason=mixed up";
    assert_eq!(gym.post(&path, anew).await["kept"], true);
    assert!(words(&gym.page("/athlete/B01").await).contains("No jump on record yet."));
    assert!(words(&gym.page(&path).await).contains("Perrin Askelow"));
}

#[tokio::test]
async fn the_file_comes_back_as_it_was_received_and_a_long_one_is_drawn_thin() {
    let gym = Gym::open().await;
    let path = gym.jump().await;
    let request = Request::get(format!("{path}/file")).body(Body::empty()).unwrap();
    assert_eq!(gym.send(request).await, (StatusCode::OK, file(75.0)));
    assert_eq!(gym.send(Request::get("/trace/00").body(Body::empty()).unwrap()).await.0, 404);

    // A hundred thousand samples: a jump at the end of a long stand.
    let mut force = vec![735.5; 94_000];
    force.extend(SmoothJump::default().force_n(1000.0));
    let rows: String =
        force.iter().enumerate().map(|(i, f)| format!("{i},{:.1}\n", f + (i % 7) as f64)).collect();
    let long = format!("time_ms,force_n\n{rows}");
    let told = gym.hand_in(&JUMP_OF_B01, &[("long.csv", long.as_bytes())]).await;
    let path = told["files"][0]["trace"].as_str().unwrap().to_owned();
    let form = format!("{}&{CONFIRM}", waits(&path));
    assert_eq!(gym.post("/traces/columns", &form).await["kept"], true);
    let page = gym.page(&format!("{path}?from=0&to=200")).await;
    assert!(page.contains("data-from=\"0\""), "the whole recording is shown");
    assert!(page.len() < 700_000, "{} bytes", page.len());
}

/// A set of strokes of least jerk as a sensor on the bar writes it, in millimetres.
fn bar_file(stroke: Stroke) -> Vec<u8> {
    let position_m = stroke.set(3).sample(1000.0);
    let rows: String =
        position_m.iter().enumerate().map(|(i, x)| format!("{i},{:.3}\n", x * 1000.0)).collect();
    format!("time (ms),position (mm)\n{rows}").into_bytes()
}

/// The row of a data table that begins with these words: its cells.
fn row(page: &str, name: &str) -> Vec<String> {
    let mut rows = page.split("<tr").skip(1);
    let row = rows.find(|row| words(&format!("<tr{row}")).trim_start().starts_with(name));
    let cells = row.unwrap_or_else(|| panic!("no row {name}")).split("</td>");
    cells.map(|cell| words(&format!("<tr{cell}"))).collect()
}

impl Gym {
    /// A file of B01 on file with its numbers; its address.
    async fn filed(
        &self,
        said: &[(&str, &str)],
        name: &str,
        bytes: &[u8],
        columns: &str,
    ) -> String {
        let said = [&[("athlete", "B01"), ("day", "2026-09-20")], said].concat();
        let told = self.hand_in(&said, &[(name, bytes)]).await;
        let path =
            told["files"][0]["trace"].as_str().unwrap_or_else(|| panic!("{told}")).to_owned();
        if told["files"][0]["state"] == "confirm" {
            let form = format!("{}&{columns}", waits(&path));
            assert_eq!(self.post("/traces/columns", &form).await["kept"], true);
        }
        path
    }
}

const BAR_COLUMNS: &str = "column=time (ms)&role=time&unit=ms\
                           &column=position (mm)&role=position&unit=mm&name=cable on the bar";

/// Repetitions of least jerk: their mean has the closed peak 15/8 of range over time, and equal
/// ones leave no band. Another set is laid over by the mean of its own.
#[tokio::test]
async fn repetitions_of_a_bar_lie_over_each_other_at_the_start_of_the_lift() {
    let gym = Gym::open().await;
    let said = |load| [("kind", "bar"), ("exercise", "back-squat"), ("load", load)];
    let (fast, slow) = [0.6, 0.9].map(|duration_s| Stroke { range_m: 0.55, duration_s }).into();
    let path = gym.filed(&said("60"), "60.csv", &bar_file(fast), BAR_COLUMNS).await;
    let other = gym.filed(&said("80"), "80.csv", &bar_file(slow), BAR_COLUMNS).await;
    let press = [("kind", "bar"), ("exercise", "bench-press"), ("load", "60")];
    let lighter = Stroke { range_m: 0.4, ..slow };
    gym.filed(&press, "press.csv", &bar_file(lighter), BAR_COLUMNS).await;

    let page = gym.page(&path).await;
    let said = words(&page);
    assert!(said.contains("3 repetitions laid over each other at the start of the lift"), "{said}");
    assert!(
        said.contains("is drawn in ink") && said.contains("time from the start of the lift, s")
    );
    let mean = row(&page, "velocity, mean of 3, band one standard deviation, highest");
    let peak: f64 = mean[2].split(' ').next().unwrap().parse().unwrap();
    // The smoothing takes up to 3 % of a peak, as the core's tests of bars allow.
    assert!((peak / fast.peak_velocity_m_s() - 1.0).abs() < 0.03, "{mean:?}");
    let time_s: f64 = mean[1].parse().unwrap();
    assert!((time_s - fast.duration_s / 2.0).abs() < 0.05, "{mean:?}");
    let [low, high]: [f64; 2] = mean[2]
        .split(['(', ')'])
        .nth(1)
        .unwrap()
        .split(" to ")
        .map(|end| end.parse().unwrap())
        .collect::<Vec<_>>()
        .try_into()
        .unwrap();
    assert!(high - low < 0.02, "equal repetitions have no band: {mean:?}");
    assert_eq!(page.matches("name=\"with\" value").count(), 1, "no press is laid over a squat");

    let with = other.trim_start_matches("/trace/");
    let page = gym.page(&format!("{path}?picked=yes&with={with}")).await;
    let other = row(&page, "velocity, 20 Sep, 80.0 kg, mean of 3, highest");
    let peak: f64 = other[2].split(' ').next().unwrap().parse().unwrap();
    assert!((peak / slow.peak_velocity_m_s() - 1.0).abs() < 0.03, "{other:?}");
    // Every number of the set stands under its own name, with its own way to 'why?'.
    assert!(words(&page).contains("mean velocity, m/s"));
    assert_eq!(page.matches("id=\"why-mean_velocity_m_s\"").count(), 1);
    assert!(page.contains("cut the range short") && !page.contains("landed off the plate"));
}

/// Half-sines of contact: the peak of each is π/2 of the weight times (flight/contact + 1), half
/// a contact before take-off.
#[tokio::test]
async fn hops_lie_over_each_other_at_take_off() {
    let gym = Gym::open().await;
    let force = half_sines(70.0, &[(0.2, 0.5); 11], 1000.0);
    let rows: String = force.iter().enumerate().map(|(i, f)| format!("{i},{f:.2}\n")).collect();
    let file = format!("time_ms,force_n\n{rows}");
    let path = gym.filed(&[("kind", "repeated-jump")], "hops.csv", file.as_bytes(), CONFIRM).await;
    let page = gym.page(&path).await;
    assert!(words(&page).contains("10 hops laid over each other at take-off"), "{}", words(&page));
    let mean = row(&page, "force, mean of 10, band one standard deviation, highest");
    let peak: f64 = mean[2].split(' ').next().unwrap().parse().unwrap();
    let expected = 70.0 * 9.80665 * std::f64::consts::FRAC_PI_2 * 3.5;
    // The mean stands on steps of 5 ms: at most 2.5 ms off the crest, cos(π/80) of it.
    assert!((peak / expected - 1.0).abs() < 1e-3, "{mean:?} of {expected}");
    let time_s: f64 = mean[1].replace('−', "-").parse().unwrap();
    assert!((time_s + 0.1).abs() < 0.01, "{mean:?}");
    // Each hop has a row; the threshold of 5 N is met within 1 ms of the end of a half-sine.
    let hops =
        page.split("<caption>Hops</caption>").nth(1).unwrap().split("</table>").next().unwrap();
    let rows: Vec<Vec<f64>> = hops
        .split("<td")
        .skip(1)
        .map(|cell| words(&format!("<td{}", cell.split("</td>").next().unwrap())).parse().unwrap())
        .collect::<Vec<f64>>()
        .chunks(3)
        .map(<[f64]>::to_vec)
        .collect();
    assert_eq!(rows.len(), 10);
    for hop in rows {
        assert!((hop[0] - 0.2).abs() < 0.001 && (hop[1] - 0.5).abs() < 0.001, "{hop:?}");
    }
    let count = row(&page, "hops");
    assert!(count[0].trim_end().ends_with("hops10"), "{count:?}");
}

/// A rise of closed form: 2000 N (1 - e^(-t/0.1 s)) over 800 N, the same three times.
#[tokio::test]
async fn isometric_efforts_lie_over_each_other_at_onset() {
    let gym = Gym::open().await;
    let mut path = String::new();
    for number in 1..=3 {
        let force = exponential(800.0, 2000.0, 0.1).sample(1000.0);
        // A last row of its own each, so that no file is another's twin.
        let rows: String = force.iter().enumerate().map(|(i, f)| format!("{i},{f:.2}\n")).collect();
        let file = format!("time_ms,force_n\n{rows}{},{}\n", force.len(), 2800 + number);
        let name = format!("pull {number}.csv");
        path = gym
            .filed(
                &[("kind", "isometric")],
                &name,
                file.as_bytes(),
                &format!("{CONFIRM}&name=plate"),
            )
            .await;
    }
    let page = gym.page(&path).await;
    assert!(words(&page).contains("3 trials laid over each other at onset"), "{}", words(&page));
    let mean = row(&page, "force, mean of 3, band one standard deviation, highest");
    let (time_s, peak): (f64, f64) =
        (mean[1].parse().unwrap(), mean[2].split(' ').next().unwrap().parse().unwrap());
    // 1.2 s after onset all but e^-12 of the rise is there.
    assert!((peak - 2800.0).abs() < 2.0 && (1.0..=1.21).contains(&time_s), "{mean:?}");
    assert!(page.contains("grip or strap slipped"));
}

/// What shows no trial is not offered to be laid over one, and says why without the options of a
/// command line.
#[tokio::test]
async fn a_recording_without_a_trial_is_not_laid_over_others() {
    let gym = Gym::open().await;
    let path = gym.jump().await;
    let day =
        gym.page("/traces").await.split("name=\"day\" value=\"").nth(1).unwrap()[..10].to_owned();
    let flat = format!(
        "time_ms,force_n\n{}",
        (0..3000).map(|i| format!("{i},735.5\n")).collect::<String>()
    );
    let said = [("athlete", "B01"), ("kind", "countermovement-jump"), ("day", day.as_str())];
    let told = gym.hand_in(&said, &[("flat.csv", flat.as_bytes())]).await;
    let flat = told["files"][0]["trace"].as_str().unwrap().to_owned();
    let form = format!("{}&{CONFIRM}", waits(&flat));
    assert_eq!(gym.post("/traces/columns", &form).await["kept"], true);
    assert!(words(&gym.page("/traces").await).contains("No flight found"));
    assert_eq!(gym.page(&path).await.matches("name=\"with\" value").count(), 0);

    let force = SmoothJump::default().force_n(1000.0);
    let rows: String =
        force.iter().map(|f| format!("{:.1}\t{:.1}\n", f * 0.52, f * 0.48)).collect();
    let told = gym.hand_in(&said, &[("two.tsv", format!("Fz1\tFz2\n{rows}").as_bytes())]).await;
    assert_eq!(told["files"][0]["state"], "confirm");
    let page = words(&gym.page("/traces").await);
    assert!(page.contains("2 plates are added up. Say which is under which foot."), "{page}");
    assert!(!page.contains("--"), "a page names no options");
}

/// From files of a bar to the line on the athlete's page, nothing typed at a rack. The mean
/// velocity of a stroke of least jerk between its edges of 0.02 m/s has a closed form.
#[tokio::test]
async fn recorded_bars_make_a_load_velocity_profile() {
    let gym = Gym::open().await;
    let confirm = BAR_COLUMNS;
    let mut velocities = Vec::new();
    for (load, duration_s) in [("60", 0.50), ("80", 0.65), ("100", 0.90)] {
        let stroke = Stroke { range_m: 0.55, duration_s };
        let edge = stroke.edge(0.02);
        velocities.push(stroke.mean_velocity_m_s(edge, 1.0 - edge));
        let said = [
            ("athlete", "B01"),
            ("kind", "bar"),
            ("exercise", "back-squat"),
            ("load", load),
            ("day", "2026-09-20"),
        ];
        let told = gym.hand_in(&said, &[(&format!("squat {load}.csv"), &bar_file(stroke))]).await;
        let state = told["files"][0]["state"].as_str().unwrap();
        if velocities.len() == 1 {
            assert_eq!(state, "confirm", "{told}");
            let path = told["files"][0]["trace"].as_str().unwrap();
            let form = format!("{}&{confirm}", waits(path));
            assert_eq!(gym.post("/traces/columns", &form).await["kept"], true);
        } else {
            assert_eq!(state, "filed", "{told}");
        }
    }
    let page = gym.page("/athlete/B01").await;
    let table = page.split("id=\"slope-back-squat-both-data\"").nth(1).unwrap();
    let table = table.split("</table>").next().unwrap();
    let measured = table.split("<tr").filter(|row| row.contains("measured"));
    let points: Vec<(f64, f64)> = measured
        .map(|row| {
            let cells: Vec<String> = row.split("</td>").map(words).collect();
            (cells[1].parse().unwrap(), cells[2].parse().unwrap())
        })
        .collect();
    assert_eq!(points.len(), 9, "three of each load: {table}");
    for (index, (load, found)) in points.into_iter().enumerate() {
        let (expected, velocity) = ([60.0, 80.0, 100.0][index / 3], velocities[index / 3]);
        assert_eq!(load, expected);
        // The smoothing takes up to 3 % of a mean, as the core's tests of bars allow.
        assert!((found / velocity - 1.0).abs() < 0.03, "{found} m/s with {load} kg, {velocity}");
    }
    assert!(words(&page).contains("Velocity falls as the load grows"));
}

/// The plate takes the profile over from the mat once it covers three loads, and the page says
/// which was left out; set aside, the mat has it back.
#[tokio::test]
async fn the_profile_goes_over_from_mat_to_plate() {
    let gym = Gym::open().await;
    assert_eq!(gym.post("/athlete/B01/mass", "text=75.0").await["kept"], true);
    for height_cm in ["38", "37", "38.5"] {
        let typed = format!("load=none&text={height_cm}");
        assert_eq!(gym.post("/athlete/B01/jump", &typed).await["kept"], true);
    }
    let stands_on = async || words(&gym.page("/athlete/B01").await);
    assert!(stands_on().await.contains("3 jumps by flight time"));

    let mut newest = String::new();
    for (load, drive) in [(0.0, 1.45), (20.0, 1.30), (40.0, 1.15)] {
        let drive = (drive, 0.42);
        let jump = SmoothJump { mass_kg: 75.0 + load, drive, ..SmoothJump::default() };
        let force = jump.force_n(1000.0);
        let rows: String = force.iter().enumerate().map(|(i, f)| format!("{i},{f:.2}\n")).collect();
        let file = format!("time_ms,force_n\n{rows}");
        let load = load.to_string();
        let said = [JUMP_OF_B01[0], JUMP_OF_B01[1], ("load", load.as_str())];
        let told = gym.hand_in(&said, &[("plate.csv", file.as_bytes())]).await;
        newest = told["files"][0]["trace"].as_str().unwrap().to_owned();
        let form = format!("{}&{CONFIRM}", waits(&newest));
        assert_eq!(gym.post("/traces/columns", &form).await["kept"], true, "{told}");
        if load == "20" {
            let page = stands_on().await;
            assert!(page.contains("3 jumps by flight time"), "two loads are not enough: {page}");
            assert!(
                page.contains("2 by impulse on a force platform of the same weeks are left out"),
                "{page}"
            );
        }
    }
    let page = stands_on().await;
    assert!(page.contains("3 jumps by impulse on a force platform"), "{page}");
    assert!(page.contains("3 by flight time of the same weeks are left out"), "{page}");
    assert_eq!(gym.post(&newest, "what=aside&reason=stumbled").await["kept"], true);
    assert!(stands_on().await.contains("3 jumps by flight time"));
}

#[tokio::test]
async fn a_box_typed_for_a_batch_is_that_of_its_drop_jumps() {
    let gym = Gym::open().await;
    let said = [("athlete", "B01"), ("kind", "by-name"), ("box", "40"), ("horizontal", "yes")];
    let files: [(&str, &[u8]); 2] = [("cmj 1.csv", &file(75.0)), ("drop jump 1.csv", &file(75.2))];
    let told = gym.hand_in(&said, &files).await;
    let page = async |place: usize| gym.page(told["files"][place]["trace"].as_str().unwrap()).await;
    assert!(!page(0).await.contains("40 cm"), "no box under a jump from standing");
    assert!(page(1).await.contains("40 cm"));
}
