//! Filming a set to look at it together: only with consent, and nothing is kept.

use crate::flow::floor::UpView;
use cornerwork_core::session::gym::Gym;
use jiff::civil::Date;
use maud::{Markup, html};

/// The device's camera where the athlete has consented; the refusal where not.
pub(super) fn film(gym: &Gym, up: &UpView<'_>, today: Date) -> Markup {
    html! {
        details.more #film {
            summary { "Film the set" }
            @match gym.photo_allowed(up.athlete, today) {
                Ok(()) => {
                    p { "To look at it together, on this device: the program keeps no picture, and it is gone with the page." }
                    label { "Camera" input type="file" accept="video/*,image/*" capture="environment" data-film; }
                    div.film {}
                }
                Err(refusal) => p { (refusal) },
            }
        }
    }
}
