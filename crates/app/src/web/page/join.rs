//! How a tablet or the television joins: scan a code, or type the address.

use super::super::Site;
use super::super::shell::Page;
use axum::extract::State;
use axum::response::Html;
use maud::{Markup, PreEscaped, html};
use qrcode::QrCode;
use qrcode::render::svg;

/// The page.
pub(in super::super) async fn show(State(site): State<Site>) -> Html<String> {
    let invented = site.house.keeper.ledger().gym().invented;
    let region = html! {
        h1 { "Join" }
        p { "Tablets and the television use the gym's own network. Scan, or type the address." }
        @if site.addresses.is_empty() {
            p { "This program listens on this computer only. Start it with "
                code { "--listen 0.0.0.0:8080" } " to let other devices in." }
        }
        ul.addresses { @for address in site.addresses.iter() { li { (code(address)) code { (address) } } } }
    };
    Page { now: Some(site.house.clock().now()), ..Page::desk("Join", region, invented) }.html()
}

fn code(address: &str) -> Markup {
    let Ok(code) = QrCode::new(address) else { return html! {} };
    let picture = code.render::<svg::Color<'_>>().min_dimensions(220, 220).build();
    let picture = picture.split_once("?>").map_or(picture.as_str(), |(_, svg)| svg);
    html! { div role="img" aria-label={ "code for " (address) } { (PreEscaped(picture)) } }
}
