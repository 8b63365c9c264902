//! The document model as the dictionary the template reads.

use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::report::figure::Figure;
use cornerwork_io::charts::{self, Layout, Theme};
use typst::foundations::{Array, Bytes, Dict, IntoValue, Value, dict};

/// Width of the text in CSS pixels (a pixel is 0.75 pt): A4 less a margin of 15 mm on each side.
const fn text_width_px(lies: Lies) -> f64 {
    const PIXELS_A_MM: f64 = 96.0 / 25.4;
    match lies {
        Lies::Upright => 180.0 * PIXELS_A_MM,
        Lies::Across => 267.0 * PIXELS_A_MM,
    }
}

/// Height of a plot that has one, so that three pictures and their words fit a sheet.
const PLOT_HEIGHT_PX: f64 = 270.0;

/// Room between figures side by side, in pixels: as in the template.
const GUTTER_PX: f64 = 24.0;

/// What the template reads under `sys.inputs`.
pub(crate) fn of(document: &Document) -> Dict {
    let mut figures = 0;
    let blocks: Array = document
        .blocks
        .iter()
        .map(|block| block_value(block, document.lies, &mut figures).into_value())
        .collect();
    dict! {
        "title" => document.title.as_str(),
        "subtitle" => document.subtitle.as_str(),
        "foot" => document.foot.as_str(),
        "across" => document.lies == Lies::Across,
        "blocks" => blocks,
    }
}

fn block_value(block: &Block, lies: Lies, figures: &mut usize) -> Dict {
    let said = |kind: &str, text: &str| dict! { "kind" => kind, "text" => text };
    match block {
        Block::Heading(text) => said("heading", text),
        Block::Answer(text) => said("answer", text),
        Block::Sentence(text) => said("sentence", text),
        Block::Caution(text) => said("caution", text),
        Block::Figures(row) => figure_row(row, lies, figures),
        Block::Grid(grid) => grid_value(grid),
        Block::NewSheet { title, subtitle } => dict! {
            "kind" => "new-sheet",
            "title" => title.as_str(),
            "subtitle" => subtitle.as_str(),
        },
    }
}

fn figure_row(row: &[Figure], lies: Lies, drawn: &mut usize) -> Dict {
    let count = row.len().max(1) as f64;
    let width = (text_width_px(lies) - GUTTER_PX * (count - 1.0)) / count;
    let pictures: Array = row
        .iter()
        .map(|figure| {
            *drawn += 1;
            let layout = Layout::new(format!("figure-{drawn}"), width)
                .with_height(PLOT_HEIGHT_PX)
                .with_text(text_px(figure));
            let svg = charts::svg(figure, &layout, Theme::Ink);
            dict! {
                "title" => figure.title(),
                "finding" => figure.description(),
                "svg" => Bytes::from_string(svg),
            }
            .into_value()
        })
        .collect();
    dict! { "kind" => "figures", "pictures" => pictures }
}

/// As large as a sheet leaves room for where the picture is for the wall.
fn text_px(figure: &Figure) -> f64 {
    match figure {
        Figure::Turns(turns) if turns.lanes() <= 12 => 15.0,
        Figure::Turns(_) => 12.0,
        _ => 13.0,
    }
}

fn grid_value(grid: &Grid) -> Dict {
    let columns: Array =
        grid.columns.iter().map(|column| column_value(column).into_value()).collect();
    let rows: Array = grid
        .rows
        .iter()
        .map(|row| row.iter().map(cell_value).collect::<Array>().into_value())
        .collect();
    dict! {
        "kind" => "grid",
        "wall" => grid.size == Size::Wall,
        "columns" => columns,
        "rows" => rows,
    }
}

fn column_value(column: &Column) -> Dict {
    dict! {
        "title" => column.title.as_str(),
        "share" => i64::from(column.share.unwrap_or(0)),
        "numbers" => column.numbers,
    }
}

fn cell_value(cell: &Cell) -> Value {
    let (kind, text) = match cell {
        Cell::Text(text) => ("text", text.as_str()),
        Cell::Strong(text) => ("strong", text.as_str()),
        Cell::Blank => ("blank", ""),
    };
    dict! { "kind" => kind, "text" => text }.into_value()
}
