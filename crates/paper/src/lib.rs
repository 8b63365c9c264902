//! Papers as PDF: a document model in, the bytes of a tagged A4 document out.
//!
//! Nothing of the trade is decided here. Text reaches the typesetter as data, never as source, so
//! that no name can be read as an instruction. The figures are the SVG of the pages in literal
//! colours, laid out at the width they have on the sheet.

mod inputs;

use cornerwork_core::report::document::Document;
use std::sync::LazyLock;
use typst_as_lib::{TypstEngine, TypstTemplateMainFile};
use typst_layout::PagedDocument;

const SHEET: &str = include_str!("sheet.typ");
const REGULAR: &[u8] = include_bytes!("../fonts/Arimo-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../fonts/Arimo-Bold.ttf");

/// Reads the template and the fonts once; no file system, no network, no packages.
static ENGINE: LazyLock<TypstEngine<TypstTemplateMainFile>> =
    LazyLock::new(|| TypstEngine::builder().main_file(SHEET).fonts([REGULAR, BOLD]).build());

/// Why a paper could not be set.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// The typesetter refused the document.
    #[error("The paper could not be set: {0}")]
    Set(String),
    /// The pages could not be written as PDF.
    #[error("The paper could not be written as PDF: {0}")]
    Write(String),
}

/// The document as the bytes of a PDF with embedded fonts and a text alternative for each figure.
///
/// # Errors
/// When the typesetter refuses what it was given; never for a word a person typed.
pub fn pdf(document: &Document) -> Result<Vec<u8>, PaperError> {
    let paged: PagedDocument = ENGINE
        .compile_with_input(inputs::of(document))
        .output
        .map_err(|error| PaperError::Set(error.to_string()))?;
    typst_pdf::pdf(&paged, &typst_pdf::PdfOptions::default())
        .map_err(|errors| PaperError::Write(format!("{errors:?}")))
}
