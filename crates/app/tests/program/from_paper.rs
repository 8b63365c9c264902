//! Typing in from paper: by the order of the sheet, under the same guards as at the rack, once.

use super::{Gym, words};
use cornerwork_core::session::rep::Rep;

impl Gym {
    /// The reps of an athlete at a station as they stand.
    async fn reps(&self, code: &str, station: u8) -> Vec<Rep> {
        let ledger = self.house.keeper.ledger();
        let reps = ledger.gym().reps.iter();
        reps.filter(|rep| rep.entry.athlete.as_str() == code)
            .filter(|rep| rep.entry.station == Some(station))
            .cloned()
            .collect()
    }

    /// Prints the sheets of a session.
    async fn print(&self, session: &str) {
        self.page(&session.replace("/session/", "/paper/floor/")).await;
    }
}

/// The rows of the page in their order: "s2-K01-rear".
fn rows(page: &str) -> Vec<&str> {
    page.split("<form class=\"row\" id=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect()
}

fn field<'a>(page: &'a str, row: &str, name: &str) -> Option<&'a str> {
    let row = page.split(&format!("<form class=\"row\" id=\"{row}\"")).nth(1)?;
    let input = row.split("</form>").next()?.split(&format!("name=\"{name}\"")).nth(1)?;
    let input = input.split('>').next()?;
    input.split("value=\"").nth(1)?.split('"').next()
}

const REAR: &str = "station=2&athlete=K01&side=rear";

#[tokio::test]
async fn a_number_typed_in_is_a_rep_of_its_session_and_stands_once() {
    let gym = Gym::new().await;
    let session = gym.session("power").await;
    let path = format!("{session}/paper");
    gym.kept(&path, &format!("{REAR}&blank-1-1=2.61")).await;
    gym.kept(&path, &format!("{REAR}&blank-1-2=-")).await;
    let reps = gym.reps("K01", 2).await;
    assert_eq!(reps.iter().map(|rep| rep.entry.value).collect::<Vec<_>>(), [Some(2.61), None]);
    assert!(reps.iter().all(|rep| rep.from_paper && rep.set == 1));
    let clock = gym.house.clock();
    assert_eq!(clock.date_of(reps[0].entry.at), clock.today());
    assert!(reps[0].entry.at <= clock.now());
    assert!(words(&gym.page(&format!("/rep/{}", reps[0].id)).await).contains("from paper"));
    // The same again changes nothing, from this device or another.
    let before = gym.operations().await;
    gym.kept(&path, &format!("{REAR}&blank-1-1=2.61")).await;
    gym.kept(&path, &format!("{REAR}&blank-1-1=2,61&blank-1-2=-&blank-1-3=")).await;
    assert_eq!(gym.operations().await, before);
    // The page shows what stands, and what is empty stays empty.
    let page = gym.page(&path).await;
    assert_eq!(field(&page, "s2-K01-rear", "blank-1-1"), Some("2.61"));
    assert_eq!(field(&page, "s2-K01-rear", "blank-1-2"), Some("-"));
    assert_eq!(field(&page, "s2-K01-rear", "blank-1-3"), None);
    // Another number corrects it and keeps the first; emptied, the rep is taken back.
    gym.kept(&path, &format!("{REAR}&blank-1-1=2.64")).await;
    let [rep, _] = gym.reps("K01", 2).await.try_into().unwrap();
    assert_eq!((rep.entry.value, rep.changes.len()), (Some(2.64), 1));
    gym.kept(&path, &format!("{REAR}&blank-1-1=")).await;
    assert_eq!(gym.reps("K01", 2).await.len(), 1);
    // Undoing that brings it back as it was.
    let withdrawal = {
        let ledger = gym.house.keeper.ledger();
        ledger.operations().last().unwrap().id
    };
    gym.kept("/undo", &format!("operation={withdrawal}")).await;
    assert_eq!(gym.reps("K01", 2).await.len(), 2);
}

#[tokio::test]
async fn a_whole_row_is_taken_up_to_the_first_doubt() {
    let gym = Gym::new().await;
    let path = format!("{}/paper", gym.session("power").await);
    let row = format!("{REAR}&blank-1-1=2.61&blank-1-2=264&blank-1-3=2.58");
    let asked = gym.post(&path, &row).await;
    let doubt = asked["ask"].as_str().unwrap();
    assert!(doubt.starts_with("Ottilie, set 1, rep 2:"), "{doubt}");
    assert_eq!(gym.reps("K01", 2).await.len(), 1, "what was read before the doubt is kept");
    gym.kept(&path, &format!("{row}&chosen=2.64")).await;
    let values: Vec<_> = gym.reps("K01", 2).await.iter().map(|rep| rep.entry.value).collect();
    assert_eq!(values, [Some(2.61), Some(2.64), Some(2.58)]);
}

#[tokio::test]
async fn a_step_of_load_the_rack_refuses_is_asked_about_on_paper() {
    let gym = Gym::new().await;
    let session = gym.session("power").await;
    let jump = "what=station&exercise=trap-bar-jump&sets=2&reps=2&rest=3:00&rule=fixed&amount=60";
    gym.kept(&session, jump).await;
    let row = "station=5&athlete=K01&hung=60";
    let path = format!("{session}/paper");
    let asked = gym.post(&path, &format!("{row}&blank-1-1=17.0")).await;
    let doubt = asked["ask"].as_str().unwrap_or_else(|| panic!("{asked}"));
    // Nothing on record, and 60 kg written over the bare bar of 20 kg that the sheet says.
    let says = "60 kg is too big a step for Ottilie. Next: 20 kg at most. Did 60 kg hang?";
    assert!(doubt.contains(says), "{doubt}");
    assert!(gym.reps("K01", 5).await.is_empty(), "a question keeps nothing");
    // A jump whose number nobody has carried the load all the same.
    let asked = gym.post(&path, &format!("{row}&blank-1-1=-")).await;
    assert!(asked["ask"].as_str().is_some_and(|doubt| doubt.contains(says)), "{asked}");
    assert!(asked["offers"][0]["sentence"] == "done with 60.0 kg, no number", "{asked}");
    assert!(gym.reps("K01", 5).await.is_empty(), "a question keeps nothing");
    let chosen = asked["offers"][0]["fields"][0][1].as_str().unwrap_or_default().to_owned();
    gym.kept(&path, &format!("{row}&blank-1-1=-&chosen={chosen}")).await;
    gym.kept(&path, &format!("{row}&blank-2-1=16.1")).await;
    let values: Vec<_> = gym.reps("K01", 5).await.iter().map(|rep| rep.entry.value).collect();
    assert_eq!(values.len(), 2, "answered once, for the rows that follow as well");
    assert!(values.contains(&None), "without a number, and no zero in its place");
    for blank in ["blank-1-1", "blank-2-1"] {
        gym.kept(&path, &format!("{row}&{blank}=")).await;
    }
    gym.kept(&path, &format!("{row}&blank-1-1=17.0&chosen=0.17")).await;
    gym.kept(&path, &format!("{row}&blank-1-2=16.4")).await;
    assert_eq!(gym.reps("K01", 5).await.len(), 2, "answered once");
}

#[tokio::test]
async fn what_the_rack_refuses_paper_does_not_get_in() {
    let gym = Gym::new().await;
    let session = gym.session("power").await;
    let path = format!("{session}/paper");
    for (row, says) in [
        (format!("{REAR}&blank-1-1=fast"), "Ottilie, set 1, rep 1:"),
        (format!("{REAR}&blank-9-1=2.6"), "no such blank"),
        ("station=7&athlete=K01&blank-1-1=2.6".to_owned(), "no such blank"),
        ("station=2&athlete=K09&side=rear&blank-1-1=2.6".to_owned(), "no such blank"),
        (
            format!("{REAR}&hung=21&blank-1-1=2.6"),
            "cannot be hung with the bars and plates here. The nearest is",
        ),
        (format!("{REAR}&hung=heavy&blank-1-1=2.6"), "is no number"),
    ] {
        let refused = gym.refused(&path, &row).await;
        assert!(refused.contains(says), "{row}: {refused}");
    }
    // Another load, written over the printed one, is the load of that rep alone.
    gym.kept(&path, &format!("{REAR}&hung=25&blank-1-1=2.2&chosen=2.2")).await;
    assert!((gym.reps("K01", 2).await[0].entry.load.total.in_kilograms() - 25.0).abs() < 1e-9);
    // Nothing of a day to come, and nothing of a template.
    let tomorrow = gym.house.clock().today().tomorrow().unwrap();
    let answer = gym.kept("/sessions", &format!("template=power&day={tomorrow}")).await;
    let ahead = format!("{}/paper", answer["go"].as_str().unwrap());
    assert!(
        gym.refused(&ahead, &format!("{REAR}&blank-1-1=2.6")).await.contains("when it is done")
    );
    assert!(
        gym.refused("/session/power/paper", &format!("{REAR}&blank-1-1=2.6"))
            .await
            .contains("not planned")
    );
}

#[tokio::test]
async fn a_bar_set_before_the_sheet_binds_and_one_of_the_same_evening_came_later() {
    let gym = Gym::new().await;
    let path = format!("{}/paper", gym.session("power").await);
    let bar = |code: &str| {
        (
            format!("/people/{code}/restrict"),
            "exercise=landmine-punch-throw&side=rear&ground=hand, physio's word&clearance=yes"
                .to_owned(),
        )
    };
    // Barred before any sheet was printed: the row is not on it.
    let (at, form) = bar("K02");
    gym.kept(&at, &form).await;
    gym.print(path.trim_end_matches("/paper")).await;
    let barred = "station=2&athlete=K02&side=rear&blank-1-1=2.6";
    gym.refused(&path, barred).await;
    assert!(!rows(&gym.page(&path).await).contains(&"s2-K02-rear"));
    // Hurt in the session itself: what was done before can be typed in, and the page says so.
    let (at, form) = bar("K01");
    gym.kept(&at, &form).await;
    assert!(words(&gym.page(&path).await).contains("Type in only what was done before that."));
    gym.kept(&path, &format!("{REAR}&blank-1-1=2.61")).await;
}

#[tokio::test]
async fn the_page_keeps_the_order_and_the_loads_of_the_sheet_that_was_printed() {
    let gym = Gym::new().await;
    let session = gym.session("power").await;
    let path = format!("{session}/paper");
    assert!(words(&gym.page(&path).await).contains("were never printed"));
    gym.print(&session).await;
    let printed = gym.page(&path).await;
    let order = rows(&printed).into_iter().map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(order.len(), 3 * (1 + 2 + 1 + 2), "three athletes, two stations of two sides");
    let hung = field(&printed, "s3-K01-both", "hung").map(str::to_owned);
    // Printed again without a change: nothing new.
    let before = gym.operations().await;
    gym.print(&session).await;
    assert_eq!(gym.operations().await, before);
    // Jumps that change the loads, a plan that changes the doses.
    gym.kept("/athlete/K01/mass", "text=61").await;
    for (load, height) in
        [("none", "32"), ("hex:20000", "24"), ("hex:40000", "17"), ("hex:60000", "11")]
    {
        gym.kept("/athlete/K01/jump", &format!("load={load}&text={height}")).await;
    }
    gym.kept(&session, "what=no-station&station=4").await;
    let later = gym.page(&path).await;
    assert_eq!(rows(&later), order);
    assert_eq!(field(&later, "s3-K01-both", "hung").map(str::to_owned), hung);
    // Printed anew, the new sheet stands.
    gym.print(&session).await;
    let anew = gym.page(&path).await;
    assert!(rows(&anew).len() < order.len());
    // The one that hangs on the wall may be the first all the same.
    assert!(anew.contains(&format!("href=\"{path}?sheet=1\"")), "{anew}");
    let first = gym.page(&format!("{path}?sheet=1")).await;
    assert_eq!(rows(&first), order);
    let gone = "station=4&athlete=K01&side=left&blank-1-1=1.60";
    gym.refused(&path, gone).await;
    gym.kept(&path, &format!("sheet=1&{gone}")).await;
    assert_ne!(field(&anew, "s3-K01-both", "hung").map(str::to_owned), hung);
}

#[tokio::test]
async fn a_session_on_paper_is_closed_like_one_on_the_floor() {
    let gym = Gym::new().await;
    let session = gym.session("power").await;
    gym.kept(&format!("{session}/paper"), &format!("{REAR}&blank-1-1=2.61&blank-1-2=2.58")).await;
    let close = format!("/close?session={}", session.trim_start_matches("/session/"));
    let page = words(&gym.page(&close).await);
    assert!(page.contains("Ottilie Marrowby 2 reps"), "{page}");
    assert!(page.contains("1 not rated yet: Ottilie."), "{page}");
    let done = words(&gym.page(&session).await);
    assert!(done.contains("Type in from paper") && done.contains("2 of 18"), "{done}");
}
