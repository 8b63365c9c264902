//! What a station asks for before it can work, each given by one tap, and reps nothing measures.

use super::{Gym, words};

impl Gym {
    /// The session of the usual stations, begun, with one athlete called up at a station.
    async fn up_at(&self, station: u8, code: &str) -> String {
        let path = self.session("power").await;
        self.kept(&path, &format!("what=people&athlete={code}")).await;
        self.kept(&path, "what=open").await;
        let floor = format!("/floor/{station}");
        self.kept(&format!("{floor}/turn"), &format!("athlete={code}")).await;
        floor
    }

    async fn floor_words(&self, floor: &str) -> String {
        words(&self.page(floor).await)
    }
}

#[tokio::test]
async fn the_station_takes_a_weighing_and_jumps_without_a_load() {
    let gym = Gym::new().await;
    let floor = gym.up_at(3, "K01").await;
    let page = gym.floor_words(&floor).await;
    assert!(page.contains("Ottilie has no jump without a load lately. Start with one."), "{page}");
    assert!(page.contains("Body mass of Ottilie, kg"), "{page}");
    gym.kept("/athlete/K01/mass", "text=61").await;
    gym.kept(&format!("{floor}/unloaded"), "athlete=K01").await;
    for height in ["32", "33.1"] {
        gym.kept(&format!("{floor}/rep"), &format!("athlete=K01&text={height}")).await;
    }
    let page = gym.floor_words(&floor).await;
    assert!(page.contains("two or three, the best counts"), "{page}");
    assert!(!page.contains("Body mass of Ottilie"), "{page}");
    {
        let ledger = gym.house.keeper.ledger();
        let jumped: Vec<_> = ledger.gym().reps_at(3).map(|rep| &rep.entry).collect();
        assert_eq!(jumped.len(), 2);
        for entry in jumped {
            assert_eq!(entry.exercise.as_str(), "countermovement-jump");
            assert_eq!(entry.load.total.in_kilograms(), 0.0);
        }
    }
    // Then the bare bar: hanging it is going on.
    gym.kept(&format!("{floor}/load"), "athlete=K01&load=hex:20000").await;
    let page = gym.floor_words(&floor).await;
    assert!(!page.contains("no jump without a load lately"), "{page}");
    gym.kept(&format!("{floor}/rep"), "athlete=K01&text=26").await;
    let ledger = gym.house.keeper.ledger();
    let last = &ledger.gym().reps_at(3).next_back().unwrap().entry;
    assert_eq!(last.exercise.as_str(), "trap-bar-jump");
    assert_eq!(last.load.total.in_kilograms(), 20.0);
}

#[tokio::test]
async fn no_load_in_the_list_of_loads_is_a_jump_without_a_bar() {
    let gym = Gym::new().await;
    let floor = gym.up_at(3, "K01").await;
    gym.kept(&format!("{floor}/load"), "athlete=K01&load=hex:20000").await;
    assert!(gym.floor_words(&floor).await.contains("no load: a jump without a bar"));
    gym.kept(&format!("{floor}/load"), "athlete=K01&load=none").await;
    gym.kept(&format!("{floor}/rep"), "athlete=K01&text=31").await;
    gym.kept(&format!("{floor}/loaded"), "athlete=K01").await;
    let ledger = gym.house.keeper.ledger();
    let state = ledger.gym();
    let station = state.evening.as_ref().unwrap().plan.station(3).unwrap();
    let id = super::AthleteId::new("K01").unwrap();
    assert_eq!(state.exercise_at(station, &id).0.as_str(), "trap-bar-jump");
    assert_eq!(state.load_at(station, &id).total.in_kilograms(), 20.0, "as it hung before");
}

#[tokio::test]
async fn a_straight_bar_serves_the_landmine_by_one_tap() {
    let gym = Gym::empty().await;
    gym.athletes().await;
    gym.kept("/kit", "what=bar&name=The 20&kind=straight&text=20&weighed=yes").await;
    gym.kept("/kit", "what=plates&text=10/5/2.5").await;
    let floor = gym.up_at(2, "K01").await;
    let page = gym.floor_words(&floor).await;
    assert!(page.contains("No landmine bar here yet."), "{page}");
    assert!(page.contains("Use The 20, 20.0 kg, here"), "{page}");
    let tap = "what=bar&name=The 20&text=20&weighed=yes&kind=straight&kind=landmine";
    gym.kept("/kit", tap).await;
    let page = gym.floor_words(&floor).await;
    assert!(!page.contains("No landmine bar here yet."), "{page}");
    // The bare bar first, as for every load.
    let hang = "athlete=K01&load=the-20%2Blandmine:20000";
    gym.kept(&format!("{floor}/load"), hang).await;
    assert!(words(&gym.page("/kit").await).contains("straight, landmine"));
}

#[tokio::test]
async fn a_first_box_is_added_at_the_station() {
    let gym = Gym::empty().await;
    gym.athletes().await;
    let floor = gym.up_at(1, "K01").await;
    assert!(gym.floor_words(&floor).await.contains("No box yet. Height of one, cm"));
    gym.kept("/kit", "what=box&text=30").await;
    gym.kept("/kit", "what=box&text=20").await;
    assert!(!gym.floor_words(&floor).await.contains("No box yet. Height"));
    assert!(words(&gym.page("/kit").await).contains("Heights in cm: 20, 30."));
}

#[tokio::test]
async fn throws_are_counted_or_rated_by_eye_where_nothing_measures_them() {
    let gym = Gym::new().await;
    let floor = gym.up_at(2, "K01").await;
    let page = gym.floor_words(&floor).await;
    assert!(page.contains("No sensor? By eye it was fast as wanted slow"), "{page}");
    assert!(page.contains("3 reps done"), "{page}");
    let missed = format!("{floor}/missed");
    gym.kept(&missed, "athlete=K01&side=rear&seen=slow").await;
    let page = gym.floor_words(&floor).await;
    assert!(page.contains("slow, by eye"), "{page}");
    assert!(page.contains("2 reps done"), "{page}");
    let twice = "athlete=K01&side=rear&reps=2&id=0190a1b2c3d4e5f60718293a4b5c6d7e";
    gym.kept(&missed, twice).await;
    gym.kept(&missed, twice).await;
    {
        let ledger = gym.house.keeper.ledger();
        let reps: Vec<_> = ledger.gym().reps_at(2).collect();
        assert_eq!(reps.len(), 3, "sent twice is done once");
        assert!(reps.iter().all(|rep| rep.entry.value.is_none()));
        assert!(reps.iter().all(|rep| rep.entry.load.total.in_kilograms() > 0.0), "with its load");
    }
    let page = words(&gym.page("/athlete/K01").await);
    assert!(page.contains("by eye: slow"), "{page}");
}

#[tokio::test]
async fn a_station_that_is_not_there_shows_the_way() {
    let gym = Gym::new().await;
    let request = super::Request::get("/floor/1").body(super::Body::empty()).unwrap();
    let (status, page) = gym.send(request).await;
    assert_eq!(status, super::StatusCode::NOT_FOUND);
    assert!(words(&page).contains("No evening is open. Open one at the desk."));
    assert!(page.contains("href=\"/\""));
}
