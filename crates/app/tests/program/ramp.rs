//! Loads that a careful coach would hang: one value on every page and paper, which also bounds what
//! may be hung; boxes for whoever steps off one.

use super::{Gym, words};

impl Gym {
    /// Calls an athlete up at a station of the evening that runs.
    async fn call_up(&self, station: u8, code: &str) {
        self.kept(&format!("/floor/{station}/turn"), &format!("athlete={code}")).await;
    }

    async fn jumps(&self, code: &str, jumps: &[(&str, &str)]) {
        for (load, height) in jumps {
            let form = format!("load={load}&text={height}");
            self.kept(&format!("/athlete/{code}/jump"), &form).await;
        }
    }
}

#[tokio::test]
async fn after_one_jump_with_the_bare_bar_every_page_says_the_same_small_step() {
    let gym = Gym::new().await;
    gym.kept("/athlete/K01/mass", "text=92").await;
    gym.jumps("K01", &[("none", "38"), ("hex:20000", "30")]).await;
    let session = gym.session("power").await;
    // A quarter of 92 kg is 23: 43 at most, and 42.5 is the heaviest these plates make.
    let athlete = words(&gym.page("/athlete/K01").await);
    assert!(athlete.contains("Next load: 42.5 kg"), "{athlete}");
    assert!(!athlete.contains("45.00 kg"), "what may not be hung is not in the list");
    assert!(athlete.contains("not known yet, tested to 20 kg"), "{athlete}");
    assert!(!athlete.contains("Use "), "{athlete}");
    let planned = words(&gym.page(&session).await);
    assert!(planned.contains("42.5 kg, hex"), "{planned}");
    gym.kept(&session, "what=open").await;
    gym.call_up(3, "K01").await;
    let floor = words(&gym.page("/floor/3").await);
    assert!(floor.contains("Hang 42.5 kg"), "{floor}");
    assert!(floor.contains("On the way to about"), "{floor}");
    let desk = words(&gym.page("/").await);
    assert!(desk.contains("not known yet, tested to 20 kg"), "{desk}");
    let squad = words(&gym.page("/squad").await);
    assert!(squad.contains("not known yet, tested to 20 kg"), "{squad}");
    // The offer is taken, and a gram more than the ramp leaves is not.
    let refused = gym.refused("/floor/3/load", "athlete=K01&load=hex:45000").await;
    assert_eq!(refused, "45 kg is too big a step for Ottilie. Next: 43 kg at most.");
    gym.kept("/floor/3/load", "athlete=K01&load=hex:42500").await;
}

#[tokio::test]
async fn juniors_novices_and_the_first_load_take_half_a_step_by_whatever_page() {
    let gym = Gym::new().await;
    let person = "name=Wrenna Holt&age=26&sex=female&stance=orthodox&level=novice";
    gym.kept("/athlete", &format!("code=K09&{person}")).await;
    gym.kept("/athlete/K09/mass", "text=60").await;
    gym.kept("/athlete/K01/mass", "text=60").await;
    let refused = gym.refused("/athlete/K01/jump", "load=hex:22500&text=25").await;
    assert_eq!(refused, "22.5 kg is too big a step for Ottilie. Next: 20 kg at most.");
    gym.jumps("K01", &[("hex:20000", "25"), ("hex:40000", "18")]).await;
    gym.jumps("K09", &[("hex:20000", "25"), ("hex:30000", "22")]).await;
    let refused = gym.refused("/athlete/K09/jump", "load=hex:42500&text=18").await;
    assert_eq!(refused, "42.5 kg is too big a step for Wrenna. Next: 40 kg at most.");
}

#[tokio::test]
async fn a_depth_jump_without_a_box_is_no_depth_jump() {
    let gym = Gym::new().await;
    gym.kept("/athlete/K01/mass", "text=60").await;
    let session = gym.session("power").await;
    gym.kept(&session, "what=open").await;
    gym.call_up(1, "K01").await;
    let refused = gym.refused("/floor/1/rep", "athlete=K01&text=29.5").await;
    assert_eq!(refused, "Depth jump for height needs a box. Set the one Ottilie steps off first.");
    gym.kept("/floor/1/box", "athlete=K01&cm=30").await;
    gym.kept("/floor/1/rep", "athlete=K01&text=29.5").await;
    // On paper the same: the sheet has no box for him, and the rep is not taken without one.
    let blank = "station=1&athlete=K02&side=&blank-1-1=31";
    let refused = gym.refused(&format!("{session}/paper"), blank).await;
    assert!(refused.contains("needs a box"), "{refused}");
    gym.kept(&format!("{session}/paper"), &format!("{blank}&hung=30")).await;
}

#[tokio::test]
async fn what_comes_back_by_undoing_an_undo_is_judged_like_new() {
    let gym = Gym::new().await;
    gym.kept("/athlete/K01/mass", "text=80").await;
    gym.jumps("K01", &[("hex:20000", "25"), ("hex:40000", "20"), ("hex:60000", "15")]).await;
    let last = |back: usize| {
        let ledger = gym.house.keeper.ledger();
        let operations = ledger.operations();
        operations[operations.len() - 1 - back].id
    };
    let (heavy, middle) = (last(0), last(1));
    gym.kept("/undo", &format!("operation={heavy}")).await;
    let undo_of_heavy = last(0);
    gym.kept("/undo", &format!("operation={middle}")).await;
    let undo_of_middle = last(0);
    // 60 kg would stand alone above 20 kg now.
    let refused = gym.refused("/undo", &format!("operation={undo_of_heavy}")).await;
    assert_eq!(refused, "60 kg is too big a step for Ottilie. Next: 40 kg at most.");
    gym.kept("/undo", &format!("operation={undo_of_middle}")).await;
    gym.kept("/undo", &format!("operation={undo_of_heavy}")).await;
}

#[tokio::test]
async fn inside_the_flat_range_and_within_a_set_the_load_stays() {
    let gym = Gym::new().await;
    gym.kept("/athlete/K01/mass", "text=80").await;
    let ladder = [
        ("none", "42"),
        ("none", "42.4"),
        ("hex:20000", "33"),
        ("hex:40000", "23"),
        ("hex:60000", "14.6"),
        ("hex:40000", "23.2"),
        ("hex:60000", "14.8"),
        ("hex:20000", "33.3"),
    ];
    gym.jumps("K01", &ladder).await;
    let session = gym.session("power").await;
    gym.kept(&session, "what=open").await;
    gym.call_up(3, "K01").await;
    gym.kept("/floor/3/load", "athlete=K01&load=hex:40000").await;
    let floor = words(&gym.page("/floor/3").await);
    assert!(floor.contains("Keep 40 kg"), "{floor}");
    assert!(!floor.contains("Hang 3") && !floor.contains("Hang 4"), "{floor}");
    gym.kept("/floor/3/rep", "athlete=K01&text=23.1").await;
    let floor = words(&gym.page("/floor/3").await);
    assert!(floor.contains("Keep 40 kg for this set."), "{floor}");
    let planned = words(&gym.page(&session).await);
    assert!(planned.contains("40.0 kg, hex"), "{planned}");
}
