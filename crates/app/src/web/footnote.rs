//! Facts of the trade without a source bear a mark, and one line at the foot of the page says what
//! it means. The sentences themselves say it in full, so that they stand alone on paper and in a
//! terminal.

use maud::{Markup, PreEscaped, html};

/// What a sentence or a source says of a fact without one, and what a page shows in its place.
const SAID: [(&str, &str); 5] = [
    (" (common practice, no source, to be confirmed)", "†"),
    (" (common practice, no source)", "†"),
    ("(common practice, no source)", "†"),
    ("; common practice, no source)", ")†"),
    (">common practice, no source</span>", ">†</span>"),
];

/// A region with its marks and, where there are any, the line they lead to.
pub(super) fn marked(region: &Markup) -> Markup {
    let marked = SAID.iter().fold(region.0.clone(), |text, (said, mark)| text.replace(said, mark));
    let any = marked.len() != region.0.len();
    html! {
        (PreEscaped(marked))
        @if any { p.quiet.footnote { "† common practice, no source" } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_three_times_is_explained_once() {
        let region = html! {
            p { "A week keeps what is built (common practice, no source)." }
            p { "40 to 50 % (rule of thumb; common practice, no source)" }
            li { "Step down. " span.source { "common practice, no source" } }
        };
        let shown = marked(&region).into_string();
        assert_eq!(shown.matches("common practice").count(), 1, "{shown}");
        assert_eq!(shown.matches('†').count(), 4, "{shown}");
        assert!(shown.contains("what is built†.") && shown.contains("(rule of thumb)†"), "{shown}");
    }

    #[test]
    fn a_page_with_nothing_to_explain_stays_as_it_is() {
        let region = html! { p { "Jump without a bar." } };
        assert_eq!(marked(&region).into_string(), region.into_string());
    }
}
