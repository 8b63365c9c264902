//! Style and script, inside the binary, named by their content so that browsers may keep them.

use axum::extract::Path;
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::LazyLock;

struct Asset {
    name: String,
    kind: &'static str,
    body: &'static str,
}

static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    named("style", "css", "text/css; charset=utf-8", include_str!("assets/style.css"))
});
static TRACE_SCRIPT: LazyLock<Asset> = LazyLock::new(|| {
    let body = include_str!("assets/trace.js");
    named("trace", "js", "text/javascript; charset=utf-8", body)
});
static SCRIPT: LazyLock<Asset> = LazyLock::new(|| {
    named(
        "cornerwork",
        "js",
        "text/javascript; charset=utf-8",
        include_str!("assets/cornerwork.js"),
    )
});

fn named(stem: &str, ending: &str, kind: &'static str, body: &'static str) -> Asset {
    let mut hasher = DefaultHasher::new();
    body.hash(&mut hasher);
    Asset { name: format!("{stem}-{:016x}.{ending}", hasher.finish()), kind, body }
}

/// Address of the style sheet.
pub(super) fn style() -> String {
    format!("/assets/{}", STYLE.name)
}

/// Address of the script.
pub(super) fn script() -> String {
    format!("/assets/{}", SCRIPT.name)
}

/// Address of the script of the recordings' pages.
pub(super) fn trace_script() -> String {
    format!("/assets/{}", TRACE_SCRIPT.name)
}

/// One file.
pub(super) async fn serve(Path(name): Path<String>) -> Response {
    let found = [&*STYLE, &*SCRIPT, &*TRACE_SCRIPT].into_iter().find(|asset| asset.name == name);
    match found {
        Some(asset) => (
            [(CONTENT_TYPE, asset.kind), (CACHE_CONTROL, "public, max-age=31536000, immutable")],
            asset.body,
        )
            .into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}
