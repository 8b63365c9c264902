//! Every kind of block is set, words stay words, and the same document gives the same bytes.

use cornerwork_core::estimate::Interval;
use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Figure, Strip};

fn strip() -> Figure {
    Strip {
        title: "Jump of 23 September".into(),
        description: "31.0 cm is inside the usual band.".into(),
        axis: Axis::new("mean of the jumps", "cm", Decimals::UpTo(1)),
        bands: vec![Band { over: Interval::between(29.5, 32.0), name: "usual".into() }],
        earlier: vec![30.0, 30.5, 31.4],
        earlier_name: "earlier days".into(),
        now: None,
        marks: vec![],
    }
    .into()
}

fn document(words: &str) -> Document {
    Document {
        title: words.into(),
        subtitle: words.into(),
        foot: words.into(),
        lies: Lies::Across,
        blocks: vec![
            Block::Heading(words.into()),
            Block::Answer(words.into()),
            Block::Sentence(words.into()),
            Block::Caution(words.into()),
            Block::Figures(vec![strip(), strip()]),
            Block::Grid(Grid {
                columns: vec![
                    Column::words("who"),
                    Column::numbers("kg"),
                    Column::words("1").share(1),
                ],
                rows: vec![vec![Cell::Strong(words.into()), Cell::Text(words.into()), Cell::Blank]],
                size: Size::Wall,
            }),
            Block::NewSheet { title: words.into(), subtitle: String::new() },
        ],
    }
}

#[test]
fn every_block_is_set_on_two_sheets() {
    let pdf = cornerwork_paper::pdf(&document("Oriel")).unwrap();
    if let Ok(path) = std::env::var("CORNERWORK_KEEP_PAPER") {
        std::fs::write(path, &pdf).unwrap();
    }
    assert!(pdf.starts_with(b"%PDF-1.7"));
    let text = String::from_utf8_lossy(&pdf);
    assert_eq!(text.matches("/Type /Page\n").count().max(text.matches("/Type/Page/").count()), 2);
}

#[test]
fn words_are_never_read_as_instructions() {
    for words in ["#panic(1)", "$x", "*bold", "] }", "\\", "\"", "<a>", "", "Ünïcødé 拳", "a\u{0}b"]
    {
        cornerwork_paper::pdf(&document(words))
            .unwrap_or_else(|error| panic!("{words:?}: {error}"));
    }
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let once = cornerwork_paper::pdf(&document("Oriel")).unwrap();
    assert_eq!(once, cornerwork_paper::pdf(&document("Oriel")).unwrap());
}
