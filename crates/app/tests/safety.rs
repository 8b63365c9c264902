//! What keeps athletes safe, over HTTP: who sees what, who may end what, and what is refused.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

mod support;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::header::{ACCEPT, CONTENT_TYPE, COOKIE, LOCATION, SET_COOKIE};
use axum::http::{Request, StatusCode};
use cornerwork::flow::clock::Clock;
use cornerwork::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::Value;
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

/// A gym on Wednesday 23 September 2026 at 18:00, with an adult, a junior and the evening open.
struct Gym {
    router: Router,
    house: Arc<House>,
    folder: TempDir,
}

struct Answer {
    status: StatusCode,
    cookie: Option<String>,
    location: Option<String>,
    text: String,
}

impl Answer {
    fn json(&self) -> Value {
        serde_json::from_str(&self.text).unwrap()
    }
    fn refused(&self) -> String {
        self.json()["refused"].as_str().unwrap_or_default().to_owned()
    }
    fn kept(&self) -> bool {
        self.json()["kept"] == true
    }
}

impl Gym {
    async fn open() -> Self {
        Self::open_at("2026-09-23T17:00:00Z").await
    }

    async fn open_at(story: &str) -> Self {
        Self::open_in(TempDir::new().unwrap(), story).await
    }

    async fn open_in(folder: TempDir, story: &str) -> Self {
        let story: Timestamp = story.parse().unwrap();
        let clock = Clock::telling(story, Timestamp::now(), TimeZone::UTC);
        let house = support::house(folder.path(), clock).await;
        let router = support::pages(Arc::clone(&house));
        let gym = Self { router, house, folder };
        for (code, name, age) in
            [("A05", "Tavish Quillmarrow", 19), ("A06", "Suhaila Merrowdene", 16)]
        {
            let form =
                format!("code={code}&name={name}&age={age}&sex=female&stance=orthodox&level=elite");
            assert!(gym.post("/athlete", &form).await.kept());
        }
        let form = "what=open&athlete=A05&athlete=A06";
        let unspoken = gym.post("/evening", form).await.refused();
        assert!(unspoken.contains("guardian's consent to train here is not on record"));
        let consent = "to=training&given=yes&giver=guardian&name=Ines Merrowdene";
        assert!(gym.post("/people/A06/consent", consent).await.kept());
        assert!(gym.post("/evening", form).await.kept());
        gym
    }

    async fn send(&self, mut request: Request<Body>, cookie: Option<&str>) -> Answer {
        if let Some(cookie) = cookie {
            request.headers_mut().insert(COOKIE, cookie.parse().unwrap());
        }
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let bytes = to_bytes(body, usize::MAX).await.unwrap();
        let header = |name| parts.headers.get(name).map(|one| one.to_str().unwrap().to_owned());
        Answer {
            status: parts.status,
            cookie: header(SET_COOKIE),
            location: header(LOCATION),
            text: String::from_utf8(bytes.to_vec()).unwrap(),
        }
    }

    async fn get_as(&self, path: &str, cookie: Option<&str>) -> Answer {
        self.send(Request::get(path).body(Body::empty()).unwrap(), cookie).await
    }

    async fn get(&self, path: &str) -> Answer {
        self.get_as(path, None).await
    }

    async fn post_as(&self, path: &str, form: &str, cookie: Option<&str>) -> Answer {
        let request = Request::post(path)
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(ACCEPT, "application/json")
            .body(Body::from(form.replace(' ', "+")))
            .unwrap();
        self.send(request, cookie).await
    }

    async fn post(&self, path: &str, form: &str) -> Answer {
        self.post_as(path, form, None).await
    }

    /// The number on a page that shows it once.
    async fn shown(&self, answer: &Answer) -> String {
        let page = answer.json()["go"].as_str().unwrap().to_owned();
        let text = self.get(&page).await.text;
        let pin = text.split("<strong>").nth(1).unwrap().split('<').next().unwrap();
        assert!(pin.len() == 6 && pin.bytes().all(|byte| byte.is_ascii_digit()), "{pin}");
        let again = self.get(&page).await;
        assert_eq!(again.status, StatusCode::NOT_FOUND);
        assert!(!again.text.contains(pin), "a number is shown once");
        pin.to_owned()
    }

    /// Enters someone: the number the coach is shown.
    async fn numbered(&self, name: &str, role: &str, child: &str) -> String {
        let form = format!("name={name}&role={role}&child={child}");
        let entered = self.post("/people", &form).await;
        assert!(entered.kept(), "{}", entered.text);
        self.shown(&entered).await
    }

    async fn sign_in(&self, name: &str, pin: &str) -> String {
        let answer = self.post("/role", &format!("name={name}&pin={pin}")).await;
        let cookie = answer.cookie.expect("a device is signed in");
        cookie.split(';').next().unwrap().to_owned()
    }

    /// Enters someone and signs in under a number of their own: the cookie of their device.
    async fn enter(&self, name: &str, role: &str, child: &str) -> String {
        let given = self.numbered(name, role, child).await;
        let cookie = self.sign_in(name, &given).await;
        let renewed = self.post_as("/role", "what=renew", Some(&cookie)).await;
        assert_ne!(self.shown(&renewed).await, given);
        cookie
    }

    async fn stopped(&self) {
        let form = "kind=stopped-head-blows&on=2026-09-12&body=amateur (international text in a Scottish book)";
        let answer = self.post("/people/A05/stoppage", form).await;
        assert!(answer.kept(), "{}", answer.text);
    }
}

const STAND_DOWN: &str = "restriction=A05-stand-down-2026-09-12";

#[tokio::test]
async fn a_stoppage_bars_at_once_and_says_the_earliest_date() {
    let gym = Gym::open().await;
    gym.stopped().await;
    let rep = gym.post("/floor/1/rep", "athlete=A05&text=32.4").await;
    assert_eq!(
        rep.refused(),
        "Tavish is barred from all training: medical stand-down. Until a doctor clears, not before 10 October 2026."
    );
    let card = gym.get("/people/A05").await.text;
    assert!(card.contains("✕ out until a doctor clears, not before 10 October 2026"));
    assert!(card.contains("It never says that it is safe to return"));
    assert!(card.contains("28 days by the rule of amateur"));
    let sparring = "kind=sparring&date=2026-09-22&rounds=6&exertion=7&minutes=45";
    assert!(gym.post("/athlete/A05/session", sparring).await.refused().contains("barred"));
}

#[tokio::test]
async fn only_a_doctor_who_signed_in_lengthens_and_clears() {
    let gym = Gym::open_at("2026-10-14T17:00:00Z").await;
    gym.stopped().await;
    let doctor = gym.enter("Teska Hollowbridge", "doctor", "").await;
    let physio = gym.enter("Imre Vossbury", "physio", "").await;
    let clear = format!("{STAND_DOWN}&on=2026-10-14");
    for device in [None, Some(physio.as_str())] {
        let refused = gym.post_as("/people/A05/clear", &clear, device).await.refused();
        assert!(refused.starts_with("That needs the word of a doctor."), "{refused}");
    }
    let extend = |until: &str| format!("{STAND_DOWN}&until={until}");
    let by_coach = gym.post("/people/A05/extend", &extend("2026-11-01")).await.refused();
    assert!(by_coach.contains("a doctor"), "{by_coach}");
    let shorter = gym.post_as("/people/A05/extend", &extend("2026-09-30"), Some(&doctor)).await;
    assert!(shorter.refused().contains("It only gets longer"), "{}", shorter.text);
    assert!(gym.post_as("/people/A05/extend", &extend("2026-10-13"), Some(&doctor)).await.kept());
    assert!(
        gym.get("/people/A05")
            .await
            .text
            .contains("✕ out until a doctor clears, not before 13 October 2026")
    );
    assert!(gym.post_as("/people/A05/clear", &clear, Some(&doctor)).await.kept());
    let card = gym.get("/people/A05").await.text;
    assert!(card.contains("✓ in"));
    let on_record = "✓ 14 October: training (medical stand-down), by Teska Hollowbridge, doctor.<";
    assert!(card.contains(on_record), "{card}");
    // A number that was replaced is named beside every word given under it.
    let taken = "name=Teska Hollowbridge&role=doctor&child=&reason=lost the slip";
    assert!(gym.post("/people", taken).await.kept());
    let doubted = "Their own number was replaced on 14 October 2026 by";
    assert!(gym.get("/people/A05").await.text.contains(doubted));
}

#[tokio::test]
async fn an_assistant_sees_what_to_avoid_and_no_diagnosis() {
    let gym = Gym::open().await;
    let physio = gym.enter("Imre Vossbury", "physio", "").await;
    let assistant = gym.enter("Pim Hasselrook", "assistant", "").await;
    let bar = "exercise=landmine-punch-throw&side=right&until=2026-09-27&ground=right hand, physio's word&instead=the left hand";
    assert!(gym.post_as("/people/A05/restrict", bar, Some(&physio)).await.kept());
    let consent = "to=health-notes&given=yes&giver=athlete&name=Tavish Quillmarrow";
    assert!(gym.post("/people/A05/consent", consent).await.kept());
    let note =
        gym.post_as("/people/A05/medical-note", "text=sprain of the knuckle", Some(&physio)).await;
    assert!(note.kept(), "{}", note.text);

    let card = gym.get_as("/people/A05", Some(&assistant)).await.text;
    assert!(card.contains("with the right before 27 September 2026: right hand, physio"), "{card}");
    assert!(card.contains("Instead: the left hand"));
    for device in [None, Some(assistant.as_str())] {
        assert!(!gym.get_as("/people/A05", device).await.text.contains("sprain"), "{device:?}");
    }
    assert!(gym.get_as("/people/A05", Some(&physio)).await.text.contains("sprain of the knuckle"));
    let coachs_file = gym.get("/people/A05/everything.csv").await.text;
    let physios_file = gym.get_as("/people/A05/everything.csv", Some(&physio)).await.text;
    assert!(!coachs_file.contains("sprain") && physios_file.contains("sprain"));

    let sent_on = gym.get_as("/athlete/A05", Some(&assistant)).await;
    assert_eq!(sent_on.location.as_deref(), Some("/people/A05"));
    for path in [
        "/athlete/A05/mass",
        "/athlete/A05/load",
        "/close",
        "/kit",
        "/live?page=%2Fathlete%2FA05%2Fmass",
        "/live?page=/",
    ] {
        let answer = gym.get_as(path, Some(&assistant)).await;
        assert!(answer.status == StatusCode::FORBIDDEN || answer.location.is_some(), "{path}");
    }
    assert_eq!(gym.get_as("/floor/1", Some(&assistant)).await.status, StatusCode::OK);
    let entered = gym.post_as("/people", "name=Someone&role=doctor", Some(&assistant)).await;
    assert!(!entered.text.contains("\"kept\":true"));
}

#[tokio::test]
async fn once_the_coach_has_a_number_a_device_left_lying_is_an_assistants() {
    let gym = Gym::open().await;
    assert_eq!(gym.get("/athlete/A05").await.status, StatusCode::OK);
    let coach = gym.enter("Wren Alderquist", "coach", "").await;
    assert_eq!(gym.get("/athlete/A05").await.location.as_deref(), Some("/people/A05"));
    assert_eq!(gym.get_as("/athlete/A05", Some(&coach)).await.status, StatusCode::OK);
    assert!(
        gym.post_as("/role", "what=out", Some(&coach)).await.cookie.unwrap().contains("Max-Age=0")
    );
    assert_eq!(
        gym.get_as("/athlete/A05", Some(&coach)).await.location.as_deref(),
        Some("/people/A05")
    );
    let wrong = gym.post("/role", "name=Wren Alderquist&pin=0").await;
    assert!(wrong.refused().contains("do not belong together"));
    for _ in 0..4 {
        gym.post("/role", "name=Wren Alderquist&pin=0").await;
    }
    let closed = gym.post("/role", "name=Wren Alderquist&pin=0").await;
    assert!(closed.refused().contains("Too many wrong numbers"));
}

#[tokio::test]
async fn each_role_stands_in_the_record_under_the_name_it_signed_in_with() {
    let gym = Gym::open().await;
    for (name, role) in [
        ("Pim Dallowhite", "assistant"),
        ("Teska Hollowbridge", "doctor"),
        ("Imre Vossbury", "physio"),
        ("Wren Alderquist", "coach"),
    ] {
        let device = gym.enter(name, role, "").await;
        let renew = "what=renew&author=Somebody+Else";
        assert!(gym.post_as("/role", renew, Some(&device)).await.text.contains("\"kept\":true"));
        let ledger = gym.house.keeper.ledger();
        assert_eq!(ledger.operations().last().unwrap().author.name, name);
    }
}

#[tokio::test]
async fn a_number_is_shown_once_and_kept_as_a_hash() {
    let gym = Gym::open().await;
    let given = gym.numbered("Teska Hollowbridge", "doctor", "").await;
    let doctor = gym.sign_in("Teska Hollowbridge", &given).await;
    let renewed = gym.post_as("/role", "what=renew", Some(&doctor)).await;
    let own = gym.shown(&renewed).await;
    assert!(
        gym.post("/role", &format!("name=Teska Hollowbridge&pin={given}"))
            .await
            .refused()
            .contains("do not belong together")
    );
    gym.sign_in("Teska Hollowbridge", &own).await;
    for device in [None, Some(doctor.as_str())] {
        for path in ["/people", "/role", "/people/A05"] {
            let seen = gym.get_as(path, device).await.text;
            assert!(!seen.contains(&own) && !seen.contains(&given), "{path}");
        }
    }
    assert!(gym.get("/people").await.text.contains("their own"));
    let ledger = gym.house.keeper.ledger();
    let kept = format!("{:?}", ledger.operations());
    assert!(!kept.contains(&own) && !kept.contains(&given), "no number lies in the record");
    assert!(kept.contains("argon2id:"));
}

#[tokio::test]
async fn a_word_on_a_stand_down_needs_a_number_the_coach_has_not_seen() {
    let gym = Gym::open().await;
    gym.stopped().await;
    let given = gym.numbered("Teska Hollowbridge", "doctor", "").await;
    let doctor = gym.sign_in("Teska Hollowbridge", &given).await;
    let extend = format!("{STAND_DOWN}&until=2026-10-13");
    let refused = gym.post_as("/people/A05/extend", &extend, Some(&doctor)).await.refused();
    assert!(refused.contains("The coach has seen this number"), "{refused}");
    assert!(gym.post_as("/role", "what=renew", Some(&doctor)).await.kept());
    assert!(gym.post_as("/people/A05/extend", &extend, Some(&doctor)).await.kept());
}

#[tokio::test]
async fn a_number_of_an_older_store_is_hashed_when_it_is_opened_and_still_opens() {
    use cornerwork_core::camp::permission::Role;
    use cornerwork_core::camp::safety_change::{Member, SafetyChange};
    use cornerwork_core::session::operation::{Change, Operation, OperationId};
    use cornerwork_io::store::SqliteStore;
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let member = Member {
        name: "Imre Vossbury".into(),
        role: Role::Physio,
        pin: Some("314159".into()),
        pin_is_private: true,
        child: None,
    };
    let change = Change::Safety(SafetyChange::MemberEntered(member));
    let at = "2025-01-02T03:04:05Z".parse().unwrap();
    let old = Operation { id: OperationId(5), at, author: "coach".into(), change };
    store.append(&[old]).await.unwrap();
    store.close().await;
    let gym = Gym::open_in(folder, "2026-09-23T17:00:00Z").await;
    let kept = {
        let ledger = gym.house.keeper.ledger();
        assert_eq!(ledger.operations()[0].id, OperationId(5), "the same entry");
        ledger.gym().safety().member("Imre Vossbury").unwrap().clone()
    };
    assert!(kept.pin.as_deref().unwrap().starts_with("argon2id:") && kept.pin_is_private);
    let wrong = gym.post("/role", "name=Imre Vossbury&pin=314158").await;
    assert!(wrong.refused().contains("do not belong together"));
    gym.sign_in("Imre Vossbury", "314159").await;
}

#[tokio::test]
async fn a_number_of_ones_own_is_replaced_only_with_a_reason_that_stays() {
    let gym = Gym::open().await;
    let doctor = gym.enter("Teska Hollowbridge", "doctor", "").await;
    let anew = "name=Teska Hollowbridge&role=doctor&child=";
    let why = gym.post("/people", anew).await.refused();
    assert!(why.contains("Teska Hollowbridge has a number of their own"), "{why}");
    let demoted = "name=Teska Hollowbridge&role=assistant&child=&reason=";
    assert!(gym.post("/people", demoted).await.refused().contains("a number of their own"));
    // The device that signed in before still is the doctor's, and only they renew without a word.
    let renewed = gym.post_as("/role", "what=renew", Some(&doctor)).await;
    assert!(renewed.kept());

    let given = gym.post("/people", &format!("{anew}&reason=lost the slip")).await;
    let number = gym.shown(&given).await;
    let people = gym.get("/people").await.text;
    let told = "23 September 2026 by this device, strength and conditioning coach: lost the slip";
    assert!(people.contains(told), "{people}");
    let cookie = gym.sign_in("Teska Hollowbridge", &number).await;
    assert!(gym.get_as("/role", Some(&cookie)).await.text.contains(told), "the doctor reads it");
    gym.stopped().await;
    let extend = format!("{STAND_DOWN}&until=2026-12-01");
    let refused = gym.post_as("/people/A05/extend", &extend, Some(&cookie)).await.refused();
    assert!(refused.contains("The coach has seen this number"), "{refused}");
    gym.post_as("/role", "what=renew", Some(&cookie)).await;
    assert!(gym.post_as("/people/A05/extend", &extend, Some(&cookie)).await.kept());
    assert!(gym.get("/people").await.text.contains(told), "for as long as the record is kept");

    // Nor is it taken back.
    let ids: Vec<String> = {
        use cornerwork_core::camp::safety_change::SafetyChange;
        use cornerwork_core::session::operation::Change;
        let ledger = gym.house.keeper.ledger();
        let members = ledger.operations().iter().filter(|one| {
            matches!(
                one.change,
                Change::Safety(
                    SafetyChange::MemberEntered(_) | SafetyChange::MemberTakenOver { .. }
                )
            )
        });
        members.map(|one| one.id.to_string()).collect()
    };
    for id in ids {
        let why = gym.post("/undo", &format!("operation={id}")).await.refused();
        assert!(why.contains("entered anew"), "{why}");
    }
}

#[tokio::test]
async fn a_guardian_sees_the_child_and_nobody_else() {
    let gym = Gym::open().await;
    let guardian = gym.enter("Ines Merrowdene", "guardian", "A06").await;
    assert_eq!(gym.get_as("/people/A06", Some(&guardian)).await.status, StatusCode::OK);
    assert_eq!(gym.get_as("/people/A05", Some(&guardian)).await.status, StatusCode::NOT_FOUND);
    let home = gym.get_as("/", Some(&guardian)).await;
    assert_eq!(home.location.as_deref(), Some("/people/A06"));
    let orphan = gym.post("/people", "name=Nobody&role=guardian&child=").await;
    assert!(orphan.refused().contains("type the code"));
}

#[tokio::test]
async fn a_junior_trains_with_consent_and_jumps_from_low_boxes() {
    let gym = Gym::open().await;
    let word = |given| format!("to=training&given={given}&giver=guardian&name=Ines Merrowdene");
    assert!(gym.post("/people/A06/consent", &word("no")).await.kept());
    let refused = gym.post("/floor/1/rep", "athlete=A06&text=27.4").await.refused();
    assert!(refused.contains("guardian's consent to train here is not on record"), "{refused}");
    assert!(gym.post("/people/A06/consent", &word("yes")).await.kept());
    let no_box = gym.post("/floor/1/rep", "athlete=A06&text=27.4").await.refused();
    assert!(no_box.contains("needs a box"), "{no_box}");
    let high = gym.post("/floor/1/box", "athlete=A06&cm=35").await.refused();
    assert!(high.contains("cap of 20 cm"), "whatever the body mass: {high}");
    assert!(gym.post("/floor/1/box", "athlete=A06&cm=20").await.kept());
    assert!(gym.post("/floor/1/rep", "athlete=A06&text=27.4").await.kept());
    assert!(gym.post("/athlete/A06/mass", "text=57.3").await.kept());
    let high = gym.post("/floor/1/box", "athlete=A06&cm=35").await.refused();
    assert!(high.contains("cap of 20 cm for Suhaila: under 18"), "{high}");

    let assistant = gym.enter("Pim Hasselrook", "assistant", "").await;
    let confirm = "exercise=depth-jump&cm=30&reason=lands well from 20 for six weeks";
    let by_assistant = gym.post_as("/people/A06/confirm-box", confirm, Some(&assistant)).await;
    assert!(by_assistant.refused().contains("the coach"), "{}", by_assistant.text);
    let no_reason = gym.post("/people/A06/confirm-box", "exercise=depth-jump&cm=30&reason=").await;
    assert!(no_reason.refused().contains("A reason is needed"));
    assert!(gym.post("/people/A06/confirm-box", confirm).await.kept());
    assert!(gym.post("/floor/1/box", "athlete=A06&cm=30").await.kept());
    let higher = gym.post("/floor/1/box", "athlete=A06&cm=35").await.refused();
    assert!(higher.contains("cap of 30 cm"), "{higher}");
}

#[tokio::test]
async fn a_junior_is_shown_no_limit() {
    let gym = Gym::open().await;
    let limit = "text=57 kg&weigh_in=2026-10-17&bout=2026-10-17&body=";
    let refused = gym.post("/athlete/A06/limit", limit).await.refused();
    assert!(refused.contains("under 18: no limit"), "{refused}");
    let page = gym.get("/athlete/A06/mass").await.text;
    for word in ["Save limit", "Check-weights", "limit of"] {
        assert!(!page.contains(word), "{word}");
    }
}

#[tokio::test]
async fn a_photo_of_a_junior_is_refused_until_both_have_said_yes() {
    let gym = Gym::open().await;
    let card = |gym: &Gym| {
        let house = Arc::clone(&gym.house);
        async move {
            let ledger = house.keeper.ledger();
            let junior = ledger.gym().athlete(&AthleteId::new("A06").unwrap()).unwrap();
            ledger
                .gym()
                .photo_allowed(junior, house.clock().today())
                .map_err(|refusal| refusal.to_string())
        }
    };
    let refusal = card(&gym).await.unwrap_err();
    assert_eq!(
        refusal,
        "No consent of Suhaila to photo and video on record. Ask, and record it on the card."
    );
    for giver in ["guardian", "athlete"] {
        let form = format!("to=photo&given=yes&giver={giver}&name=Someone");
        assert!(gym.post("/people/A06/consent", &form).await.kept());
    }
    assert_eq!(card(&gym).await, Ok(()));
}

#[tokio::test]
async fn the_camera_opens_only_with_consent() {
    let gym = Gym::open().await;
    let station = async |who: &str| {
        assert!(gym.post("/floor/1/turn", &format!("athlete={who}")).await.kept());
        gym.get("/floor/1").await.text
    };
    let refused = station("A06").await;
    assert!(refused.contains("No consent of Suhaila to photo and video on record"), "{refused}");
    assert!(!refused.contains("data-film"), "no camera without consent");
    let consent = |giver: &str| format!("to=photo&given=yes&giver={giver}&name=Someone");
    assert!(gym.post("/people/A06/consent", &consent("guardian")).await.kept());
    assert!(!station("A06").await.contains("data-film"), "the own word is missing");
    assert!(gym.post("/people/A06/consent", &consent("athlete")).await.kept());
    assert!(station("A06").await.contains("data-film"));
    assert!(!station("A05").await.contains("data-film"), "no word is no");
}

#[tokio::test]
async fn pounds_are_asked_about_and_both_are_shown() {
    let gym = Gym::open().await;
    assert!(gym.post("/athlete/A05/mass", "text=64.0").await.kept());
    let dates = "weigh_in=2026-11-20&bout=2026-11-21&body=WBC";
    let asked = gym.post("/athlete/A05/limit", &format!("text=130&{dates}")).await.json();
    assert_eq!(asked["kept"], false);
    assert_eq!(asked["offers"][0]["sentence"], "130 lb = 58.97 kg?");
    let in_kilograms = gym.post("/athlete/A05/limit", &format!("text=130 kg&{dates}")).await.json();
    assert_eq!(in_kilograms["offers"], asked["offers"], "the unit of a contract is copied wrongly");
    let nothing = gym.post("/athlete/A05/mass", "text=").await.refused();
    assert_eq!(nothing, "Type the body mass, like 64.2.");
    let chosen = asked["offers"][0]["fields"][0][1].as_str().unwrap();
    let kept = gym.post("/athlete/A05/limit", &format!("text=130&chosen={chosen}&{dates}")).await;
    assert!(kept.kept());
    let page = gym.get("/athlete/A05/mass").await.text;
    assert!(page.contains("58.97 kg (130 lb)"), "{page}");
    // 58.967 kg with 10, 5 and 3 % on top, 30, 14 and 7 days before 21 November.
    for words in [
        "22 October 2026",
        "64.86 kg",
        "7 November 2026",
        "61.92 kg",
        "14 November 2026",
        "60.74 kg",
        "to be confirmed in the current rules",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let late =
        gym.post("/athlete/A05/limit", "text=60&weigh_in=2026-11-22&bout=2026-11-21&body=").await;
    assert!(late.refused().contains("lies after the bout"), "{}", late.text);
    let undated =
        gym.post("/athlete/A05/limit", "text=60&weigh_in=soon&bout=2026-11-21&body=").await;
    assert!(undated.refused().contains("is no day for the weigh-in"));
}

#[tokio::test]
async fn a_right_hand_that_is_barred_does_not_throw_as_the_rear_one() {
    let gym = Gym::open().await;
    let bar = "exercise=landmine-punch-throw&side=right&until=&clearance=yes&ground=right hand";
    assert!(gym.post("/people/A05/restrict", bar).await.kept());
    // An orthodox boxer's right hand is the rear one.
    let rep =
        async |side: &str| gym.post("/floor/2/rep", &format!("athlete=A05{side}&text=2.6")).await;
    for side in ["&side=rear", "&side=right"] {
        let refused = rep(side).await.refused();
        assert!(
            refused.contains("Tavish is barred from landmine punch throw"),
            "{side}: {refused}"
        );
    }
    let unsaid = rep("").await.refused();
    assert!(unsaid.contains("this entry does not say which"), "{unsaid}");
    let lead = rep("&side=lead").await;
    assert!(lead.kept(), "{}", lead.text);
}

#[tokio::test]
async fn a_body_mass_far_from_the_last_is_asked_about() {
    let gym = Gym::open().await;
    assert!(gym.post("/athlete/A05/mass", "text=77.6").await.kept());
    let asked = gym.post("/athlete/A05/mass", "text=67.7").await.json();
    assert_eq!(asked["ask"], "Tavish: 67.7 kg? Expected about 77.6.");
    assert_eq!(asked["offers"][0]["sentence"], "Keep 67.7 kg");
    assert!(gym.post("/athlete/A05/mass", "text=76.9").await.kept());
}

#[tokio::test]
async fn one_tap_on_a_sign_ends_the_session_and_says_whom_to_call() {
    let gym = Gym::open().await;
    assert!(gym.post("/floor/1/stop", "athlete=A05&sign=chest").await.kept());
    let station = gym.get("/floor/1").await.text;
    assert!(station.contains("Call the emergency number now, then the doctor."));
    assert!(station.contains("A slip of the thumb"));
    assert!(
        gym.post("/floor/1/rep", "athlete=A05&text=32.4")
            .await
            .refused()
            .contains("session stopped")
    );
    let nonsense = gym.post("/floor/1/stop", "athlete=A05&sign=tired").await;
    assert_eq!(nonsense.refused(), "Choose the sign that was seen.");
    // Closing what was done before the sign is still possible.
    let close = "kind=strength&exertion=6&minutes=40&note=cut short&next=rest first";
    assert!(gym.post("/athlete/A05/session", close).await.kept());
    assert!(gym.get("/close").await.text.contains("Tavish (stopped early) trained"));
}

#[tokio::test]
async fn each_head_coach_gets_a_line_about_their_own() {
    let gym = Gym::open().await;
    let line = ">0 trained, Tavish and Suhaila without a rep.<";
    assert!(gym.get("/close").await.text.contains(line), "in, but nobody knows more");
    for code in ["A05", "A06"] {
        let close = "kind=strength&exertion=5&minutes=60";
        assert!(gym.post(&format!("/athlete/{code}/session"), close).await.kept());
    }
    assert!(gym.get("/close").await.text.contains(">Tavish and Suhaila trained.<"));
    gym.numbered("Dorran Pikestaff", "head-coach", "").await;
    gym.numbered("Imre Vossbury", "physio", "").await;
    let why = gym.post("/people/A05/head-coach", "name=Imre Vossbury").await.refused();
    assert!(why.contains("works here as no head coach"), "{why}");
    assert!(gym.post("/people/A05/head-coach", "name=Dorran Pikestaff").await.kept());
    assert!(gym.post("/floor/1/stop", "athlete=A06&sign=chest").await.kept());
    let page = gym.get("/close").await.text;
    let own = page.split("To Dorran Pikestaff").nth(1).unwrap();
    let (own, others) = own.split_once("Of athletes without a named head coach").unwrap();
    assert!(own.contains(">Tavish trained.<") && !own.contains("Suhaila"), "{own}");
    assert!(others.contains("Suhaila (stopped early) trained."), "{others}");
    assert!(!page.contains("chest"), "no diagnosis");
    assert!(gym.post("/people/A05/head-coach", "name=").await.kept());
    assert!(gym.get("/close").await.text.contains(">Tavish and Suhaila (stopped early) trained.<"));
}

#[tokio::test]
async fn closing_takes_one_form_and_gives_the_line_to_the_head_coach() {
    let gym = Gym::open().await;
    let page = gym.get("/close").await.text;
    assert!(page.contains("Nobody has a rep on record yet."), "{page}");
    let minutes = "name=\"minutes-A05\" inputmode=\"numeric\" size=\"4\"";
    assert!(
        page.contains(&format!("{minutes} autocomplete")),
        "nobody did a rep: no minutes, not 0"
    );
    let table = "felt-A05=6&minutes-A05=75&note-A05=sharp&next-A05=one step up\
                 &minutes-A06=&note-A06=&next-A06=";
    assert!(gym.post("/close", &format!("what=save&{table}")).await.kept());
    let page = gym.get("/close").await.text;
    // What was saved stands in the table, to be corrected there.
    for kept in [
        "no rep, rated 6",
        "id=\"felt-A05-6\" value=\"6\" checked",
        "maxlength=\"200\" value=\"sharp\"",
        "value=\"one step up\" selected",
        "value=\"75\"",
    ] {
        assert!(page.contains(kept), "{kept}");
    }
    let line =
        page.split("class=\"message\">").nth(1).and_then(|rest| rest.split('<').next()).unwrap();
    assert!(line.matches(". ").count() < 4, "at most four sentences: {line}");
    // One is closed; of the other there is neither a rep nor a closing.
    assert!(line.starts_with("Tavish trained"), "{line}");
    assert!(line.contains("Suhaila without a rep"), "{line}");
    assert!(gym.get("/athlete/A05/load").await.text.contains("450 units in the last seven days"));
    assert!(
        gym.get("/athlete/A05/debrief")
            .await
            .text
            .contains("1 session closed, 1 with rating and minutes: 450 units of load.")
    );
    for (form, words) in [
        ("kind=strength&exertion=11", "from 0 to 10"),
        ("kind=strength&exertion=hard", "from 0 to 10"),
        ("kind=strength&minutes=long", "no number of minutes"),
        ("kind=strength&minutes=999", "minutes cannot be 999"),
        ("kind=strength&rounds=4", "sparring and bouts only"),
        ("kind=sparring&rounds=80", "Rounds cannot be 80"),
        ("kind=dancing", "what kind of session"),
        ("kind=strength&date=tomorrow", "is no day"),
        ("kind=strength&date=2026-09-24", "has not come yet"),
    ] {
        let refused = gym.post("/athlete/A05/session", form).await.refused();
        assert!(refused.contains(words), "{form}: {refused}");
    }
}

#[tokio::test]
async fn bad_dates_and_empty_words_are_refused_with_a_sentence() {
    let gym = Gym::open().await;
    let unchosen = "kind=stopped-head-blows&on=2026-09-12&body=";
    let why = gym.post("/people/A05/stoppage", unchosen).await.refused();
    assert_eq!(why, "Choose whose rules bind: the days out follow from them.");
    let doctor = gym.enter("Teska Hollowbridge", "doctor", "").await;
    for (path, form) in [
        ("/people/A05/stoppage", "kind=stopped-head-blows&on=&body=Wisconsin"),
        ("/people/A05/stoppage", "kind=stopped-head-blows&on=2026-12-01&body=Wisconsin"),
        ("/people/A05/stoppage", "kind=tired&on=2026-09-12&body=Wisconsin"),
        ("/people/A05/stoppage", "kind=stopped&on=2026-09-12&body=nobody"),
        ("/people/A05/clear", "restriction=none&on=2026-09-23"),
        ("/people/A05/extend", "restriction=none&until=x"),
        ("/people/A05/restrict", "ground=&exercise="),
        ("/people/A05/restrict", "ground=x&exercise=dancing"),
        ("/people/A05/restrict", "ground=x&exercise=&until=2026-09-01"),
        ("/people/A05/consent", "to=photo&given=yes&giver=athlete&name="),
        ("/people/A05/consent", "to=everything&given=yes&giver=athlete&name=x"),
        ("/people/A05/medical-note", "text=seen today"),
        ("/people/A05/cycle-note", "symptoms=2"),
        ("/people/A05/confirm-box", "exercise=depth-jump&cm=30&reason=x"),
        ("/people/A05/dance", ""),
        ("/people/A99/stoppage", "kind=stopped&on=2026-09-12&body=Wisconsin"),
        ("/people", "name=&role=doctor"),
        ("/people", "name=x&role=owner"),
    ] {
        let answer = gym
            .post_as(
                path,
                form,
                Some(&doctor).filter(|_| path.contains("A05/m")).map(String::as_str),
            )
            .await;
        assert_eq!(
            answer.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{path} {form}: {}",
            answer.text
        );
        let sentence = answer.refused();
        assert!(sentence.ends_with('.') && sentence.len() > 12, "{path} {form}: {sentence}");
    }
    assert!(gym.get("/people/A05").await.text.contains("✓ in"), "nothing was changed");
}

#[tokio::test]
async fn an_athlete_takes_everything_along_and_leaves_nothing() {
    let gym = Gym::open().await;
    assert!(gym.post("/athlete/A05/mass", "text=77.6").await.kept());
    assert!(gym.post("/floor/1/box", "athlete=A05&cm=30").await.kept());
    assert!(gym.post("/floor/1/rep", "athlete=A05&text=32.4").await.kept());
    let csv = gym.get("/people/A05/everything.csv").await.text;
    assert!(
        csv.starts_with(
            "at,what,exercise,side,load_kg,box_height_m,contact_time_s,value,unit,note"
        )
    );
    assert!(csv.contains("body mass,,,,,,77.6,kg") && csv.contains("0.324,m"), "{csv}");

    let wrong = gym.post("/people/A05/forget", "code=A06").await;
    assert!(wrong.refused().contains("Type the code, A05"));
    let gone = gym.post("/people/A05/forget", "code=a05").await;
    assert_eq!(gone.json()["go"], "/people", "{}", gone.text);
    for path in ["/athlete/A05", "/people/A05", "/athlete/A05/mass", "/people/A05/everything.csv"] {
        assert_eq!(gym.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    for path in ["/", "/people", "/floor", "/floor/1", "/wall", "/close"] {
        assert!(!gym.get(path).await.text.contains("Tavish"), "{path}");
    }
    assert!(gym.get("/people").await.text.contains("one athlete, "));
    for entry in std::fs::read_dir(gym.folder.path()).unwrap() {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        for name in [&b"Tavish"[..], b"Quillmarrow"] {
            assert!(!bytes.windows(name.len()).any(|window| window == name), "{}", path.display());
        }
    }
}

#[tokio::test]
async fn nobody_is_deleted_out_of_a_stand_down() {
    let gym = Gym::open().await;
    gym.stopped().await;
    let refused = gym.post("/people/A05/forget", "code=A05").await.refused();
    assert!(refused.contains("A doctor has to clear this athlete first"), "{refused}");
}

#[tokio::test]
async fn private_notes_exist_for_those_they_were_shared_with() {
    let gym = Gym::open().await;
    let nutritionist = gym.enter("Calla Munderfield", "nutritionist", "").await;
    let consent = "to=cycle-and-mood&given=yes&giver=athlete&name=Tavish&shared=coach";
    assert!(gym.post("/people/A05/consent", consent).await.kept());
    assert!(gym.post("/people/A05/cycle-note", "symptoms=2&text=tired").await.kept());
    assert!(gym.get("/people/A05").await.text.contains("symptoms 2 of 3. tired"));
    let other = gym.get_as("/people/A05", Some(&nutritionist)).await.text;
    assert!(!other.contains("Shared with you") && !other.contains("symptoms"));
    let csv = gym.get("/people/A05/everything.csv").await.text;
    assert!(!csv.contains("symptoms") && !csv.contains("tired"));
}

#[tokio::test]
async fn an_athlete_is_corrected_on_the_card_and_the_correction_is_undone() {
    let gym = Gym::open().await;
    let form = "name=Tavish Quillmarow&sex=male&born=2009-02-28&stance=southpaw&level=novice";
    assert!(gym.post("/people/A05/correct", form).await.kept());
    let card = gym.get("/people/A05").await.text;
    for words in ["Tavish Quillmarow", "17 years, born 28 February 2009", "southpaw", "novice"] {
        assert!(card.contains(words), "{words}");
    }
    assert!(card.contains("A05") && card.contains("Under 18"), "the code stays, the rules follow");
    let unsexed = gym.post("/people/A05/correct", "name=Tavish&sex=&stance=orthodox").await;
    assert_eq!(unsexed.refused(), "Choose female or male.");
    let operation = card.split("name=\"operation\" value=\"").nth(1).unwrap();
    let operation = &operation[..32];
    assert!(gym.post("/undo", &format!("operation={operation}")).await.kept());
    let card = gym.get("/people/A05").await.text;
    assert!(card.contains("Tavish Quillmarrow") && card.contains("orthodox"));
    assert!(card.contains("19 years, by the age entered (19 on 23 September 2026)"));
}

#[tokio::test]
async fn an_athlete_without_a_code_gets_the_next_free_one() {
    let gym = Gym::open().await;
    let form = "name=Ottilie Marrowby&born=2003-01-09&sex=female&stance=orthodox&level=amateur";
    let answer = gym.post("/athlete", form).await;
    assert_eq!(answer.json()["go"], "/athlete/A01");
    assert!(gym.get("/athlete/A01").await.text.contains("23 years, born 9 January 2003"));
    let unborn = gym.post("/athlete", &form.replace("2003", "2027")).await.refused();
    assert_eq!(unborn, "That makes the age 0. From 6 to 90 can be entered.");
}

// An adult who was never asked has refused nothing, and is not asked about training.
#[tokio::test]
async fn consent_says_who_was_asked_and_no_adult_is_shown_a_refusal() {
    let gym = Gym::open().await;
    let adult = gym.get("/people/A05").await.text;
    let consent = adult.split("aria-label=\"Consent\"").nth(1).unwrap();
    assert!(consent.contains("not asked yet") && !consent.contains("✕"));
    assert!(!consent.contains("training here"));
    let minor = gym.get("/people/A06").await.text;
    assert!(minor.contains("training here") && minor.contains("No answer counts as no."));
    let no = "to=photo&given=no&giver=athlete&name=Tavish Quillmarrow";
    assert!(gym.post("/people/A05/consent", no).await.kept());
    assert!(gym.get("/people/A05").await.text.contains("✕ no"));
}
