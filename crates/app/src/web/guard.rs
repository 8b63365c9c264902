//! Who may post: only this program's own pages. And what a page may load: only this program's own
//! files.

use axum::extract::Request;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, HeaderName, ORIGIN, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

const SEC_FETCH_SITE: HeaderName = HeaderName::from_static("sec-fetch-site");
const POLICY: &str = "default-src 'self'; style-src 'self' 'unsafe-inline'; \
                      img-src 'self' data: blob:; media-src 'self' blob:; base-uri 'none'; \
                      frame-ancestors 'none'; form-action 'self'";

/// Refuses a change asked for by a page of another site, and sends every answer with a policy
/// that keeps other sites' scripts out.
pub(super) async fn check(request: Request, next: Next) -> Response {
    if request.method() == Method::POST && from_elsewhere(request.headers()) {
        let sentence = "Only the gym's own pages may change its record.";
        return (StatusCode::FORBIDDEN, sentence).into_response();
    }
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    // A page out of a cache would show the gym as it was.
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("same-origin"));
    response
}

fn from_elsewhere(headers: &HeaderMap) -> bool {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    if text(SEC_FETCH_SITE).is_some_and(|site| site != "same-origin" && site != "none") {
        return true;
    }
    match (text(ORIGIN), text(HOST)) {
        (Some(origin), Some(host)) => {
            origin.split_once("://").is_none_or(|(_, origin_host)| origin_host != host)
        }
        // Programs that are no browser send no origin; a browser always does with a foreign post.
        _ => false,
    }
}
