//! The record under a running program: who did what, a disk that says no, a clean stop.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

mod support;

use axum::body::Body;
use axum::http::Request;
use axum::http::header::{ACCEPT, CONTENT_TYPE, COOKIE, HOST, SET_COOKIE};
use cornerwork::flow::clock::Clock;
use cornerwork::flow::house::House;
use cornerwork::flow::keeper::{Kept, NotKept, Submission};
use cornerwork_core::session::operation::{Author, Change, OperationId};
use cornerwork_io::store::SqliteStore;
use jiff::tz::TimeZone;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

async fn house(folder: &Path) -> Arc<House> {
    support::house(folder, Clock::machine(TimeZone::UTC)).await
}

fn named(number: u128) -> Submission {
    let change = Change::GymNamed { name: format!("Hall {number}"), invented: false };
    Submission { id: OperationId(number), author: "Wren".into(), change }
}

fn name(house: &House) -> String {
    house.keeper.ledger().gym().name.clone()
}

/// Posts a form as the script does, with these cookies; gives the cookies the answer sets.
async fn post(house: &Arc<House>, path: &str, form: &str, cookies: &str) -> Vec<String> {
    let request = Request::post(path)
        .header(HOST, "gym.local:8080")
        .header(ACCEPT, "application/json")
        .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
        .header("content-length", form.len())
        .header(COOKIE, cookies);
    let request = request.body(Body::from(form.to_owned())).unwrap();
    let answer = support::pages(Arc::clone(house)).oneshot(request).await.unwrap();
    let set = answer.headers().get_all(SET_COOKIE).iter();
    set.map(|cookie| cookie.to_str().unwrap().split(';').next().unwrap().to_owned()).collect()
}

fn last_author(house: &House) -> Author {
    house.keeper.ledger().operations().last().unwrap().author.clone()
}

#[tokio::test]
async fn the_author_of_a_change_is_whoever_signed_in_whatever_the_form_says() {
    let folder = TempDir::new().unwrap();
    let house = house(folder.path()).await;
    let given = post(&house, "/kit", "what=name&text=Hall&author=Teska+Hollowbridge", "").await;
    let first = last_author(&house);
    assert_eq!(first.name, "not signed in");
    let device = first.device.unwrap();
    assert_eq!(given, [format!("cornerwork-id={device}")], "the device keeps its id");

    // The same device again, and another.
    let cookie = format!("cornerwork-id={device}");
    assert!(post(&house, "/kit", "what=name&text=Hall+2", &cookie).await.is_empty());
    assert_eq!(last_author(&house).device.as_ref(), Some(&device));
    post(&house, "/kit", "what=name&text=Hall+3", "cornerwork-id=not-an-id").await;
    assert!(last_author(&house).device.is_some_and(|other| other != device && other.len() == 12));
}

#[cfg(unix)]
#[tokio::test]
async fn while_nothing_can_be_kept_it_is_said_and_what_comes_after_is_kept() {
    let folder = TempDir::new().unwrap();
    let house = house(folder.path()).await;
    assert_eq!(house.keeper.submit(named(1)).await.unwrap(), Kept::Stored);
    assert_eq!(house.keeper.trouble(), None);
    let (file, aside) = (folder.path().join("gym.sqlite"), folder.path().join("aside"));
    fs::rename(&file, &aside).unwrap();
    for number in [2, 3] {
        let refused = house.keeper.submit(named(number)).await;
        assert!(matches!(refused, Err(NotKept::Store(_))), "{refused:?}");
        assert!(house.keeper.trouble().unwrap().contains("taken away"));
        assert_eq!(name(&house), "Hall 1", "no page shows what was not kept");
    }
    fs::rename(&aside, &file).unwrap();
    assert_eq!(house.keeper.submit(named(3)).await.unwrap(), Kept::Stored);
    assert_eq!((house.keeper.trouble(), name(&house)), (None, "Hall 3".to_owned()));
}

#[tokio::test]
async fn a_clean_stop_keeps_what_lines_up_and_leaves_one_whole_file() {
    let folder = TempDir::new().unwrap();
    let house = house(folder.path()).await;
    let waiting: Vec<_> = (1..=200)
        .map(|number| {
            let keeper = house.keeper.clone();
            tokio::spawn(async move { keeper.submit(named(number)).await.is_ok() })
        })
        .collect();
    tokio::task::yield_now().await;
    house.keeper.close().await;
    let mut kept = 0;
    for one in waiting {
        kept += usize::from(one.await.unwrap());
    }
    let late = house.keeper.submit(named(999)).await;
    assert!(matches!(late, Err(NotKept::Stopping)), "{late:?}");
    // The file alone, without the journal beside it.
    let alone = TempDir::new().unwrap();
    fs::copy(folder.path().join("gym.sqlite"), alone.path().join("gym.sqlite")).unwrap();
    let store = SqliteStore::open_existing(alone.path()).await.unwrap();
    assert_eq!(store.load().await.unwrap().len(), kept, "as many as were told so");
    assert!(store.check().await.unwrap().is_sound());
}
