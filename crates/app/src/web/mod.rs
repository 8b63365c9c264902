//! Pages over HTTP: server-rendered HTML, forms that work without script, one stream a page.

mod act;
mod assets;
mod camp;
mod door;
mod footnote;
mod form;
mod guard;
mod live;
mod page;
mod paper_act;
mod program;
mod safety;
mod shell;
mod trace_act;

use crate::flow::house::House;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::routing::{get, post};
use std::sync::Arc;
use tokio_util::sync::CancellationToken;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;

/// What every handler has at hand.
#[derive(Clone)]
pub struct Site {
    /// The gym.
    pub house: Arc<House>,
    /// Addresses other devices reach this program at, best first.
    pub addresses: Arc<Vec<String>>,
    /// Cancelled when the program stops: streams end, so that nothing waits for them.
    pub stopping: CancellationToken,
}

/// Largest form taken: everything typed here is short.
const LARGEST_FORM: usize = 64 * 1024;
/// Largest batch of recordings in one form, for browsers without script; with script each file
/// comes by itself. They are taken one after another, so memory holds one.
const LARGEST_BATCH: usize = 1024 * 1024 * 1024;

/// All routes.
pub fn router(site: Site) -> Router {
    Router::new()
        .route("/", get(page::desk::show))
        .route("/squad", get(page::squad::show))
        .route("/athlete", post(act::athlete_entered))
        .route("/athlete/{code}", get(page::athlete::show))
        .route("/athlete/{code}/jump", post(act::jump))
        .route("/athlete/{code}/mass", get(page::body_mass::show).post(act::mass))
        .route("/athlete/{code}/limit", post(safety::limit))
        .route("/athlete/{code}/load", get(page::load::show))
        .route("/athlete/{code}/session", post(safety::session))
        .route("/athlete/{code}/debrief", get(page::debrief::show))
        .route("/close", get(page::close::show).post(act::close))
        .route("/people", get(page::people::show).post(safety::people))
        .route("/people/{code}", get(page::person::show))
        .route("/people/{code}/{what}", get(safety::everything).post(safety::person))
        .route("/role", get(page::role::show).post(safety::role))
        .route("/role/number/{token}", get(page::role::number))
        .route("/rep/{id}", get(page::rep::show).post(act::rep_changed))
        .route("/floor", get(page::floor::all))
        .route("/floor/rotate", post(act::rotate))
        .route("/floor/{station}", get(page::floor::one))
        .route("/floor/{station}/rep", post(act::rep))
        .route("/floor/{station}/{what}", post(act::station))
        .route("/evening", post(act::evening))
        .route("/kit", get(page::kit::show).post(act::kit))
        .route("/sessions", get(page::sessions::show).post(program::new_session))
        .route("/session/{id}", get(page::session::show).post(program::session))
        .route("/session/{id}/rotation", get(page::rotation::show))
        .route("/session/{id}/paper", get(page::typing::show).post(paper_act::typed))
        .route("/exercises", get(page::exercises::all).post(program::exercises))
        .route("/exercise/{id}", get(page::exercises::one).post(program::exercise))
        .route("/paper", get(page::paper::list))
        .route("/paper/floor/{session}", get(page::paper::floor))
        .route("/paper/camp/{bout}", get(page::paper::camp))
        .route("/paper/hand-over/{code}", get(page::paper::hand_over))
        .route("/paper/squad", get(page::paper::squad))
        .route("/paper/athlete/{code}", get(page::paper::athlete))
        .route("/plan", get(page::plan::all).post(camp::new_bout))
        .route("/plan/{id}", get(page::plan::one).post(camp::bout))
        .route("/plan/{id}/change", get(page::plan::change))
        .route("/floor/answer", post(camp::answer))
        .route("/undo", post(act::undo))
        .route("/wall", get(page::wall::show))
        .route("/join", get(page::join::show))
        .route("/live", get(live::stream))
        .route("/assets/{name}", get(assets::serve))
        .route("/trace/{id}", get(page::trace::show).post(trace_act::mended))
        .route("/trace/{id}/file", get(page::trace::as_received))
        .route("/traces/columns", post(trace_act::columns))
        .route("/traces/forget", post(trace_act::forget_reading))
        .layer(RequestBodyLimitLayer::new(LARGEST_FORM))
        .merge(recordings())
        .layer(axum::middleware::from_fn_with_state(site.clone(), door::check))
        .layer(axum::middleware::from_fn(guard::check))
        .layer(CompressionLayer::new())
        .with_state(site)
}

/// Recordings are larger than forms.
fn recordings() -> Router<Site> {
    Router::new()
        .route("/traces", get(page::traces::show).post(trace_act::handed_in))
        .layer(DefaultBodyLimit::disable())
        .layer(RequestBodyLimitLayer::new(LARGEST_BATCH))
}
